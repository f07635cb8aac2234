"""Reference design values and specific gravities by species, grade and size.

Values are for normal duration and dry service (dimension lumber), in psi. Each row says where
it was seen. `memory` rows must be replaced from the NDS Supplement before anyone relies on
them. An unknown species, grade or size has no values and raises, so that nothing passes on a
guess.
"""

from __future__ import annotations

from difflib import get_close_matches

from msgspec import Struct

from deckclause.engineering.basis import Standing
from deckclause.engineering.members.sizes import Section


class UnknownLumberError(LookupError):
    """A species, grade or size for which no design values are held."""


class DesignValues(Struct, frozen=True):
    """Reference design values of one species, grade and size class, psi.

    `size_included` says that the size factor is already in Fb and Fc (southern pine).
    """

    species: str
    grade: str
    fb_psi: float
    fv_psi: float
    fc_perp_psi: float
    fc_psi: float
    e_psi: float
    emin_psi: float
    size_included: bool
    standing: Standing
    source: str


_C, _M = Standing.CONFIRMED, Standing.MEMORY

# species, grade: Fb, Fv, Fc perpendicular, Fc, E, Emin, standing, source key (NDS Supplement 4A)
_WESTERN: dict[tuple[str, str], tuple[float, float, float, float, float, float, Standing, str]] = {
    ("douglas fir-larch", "SS"): (1500, 180, 625, 1700, 1.9e6, 690e3, _C, "XC-lumber"),
    ("douglas fir-larch", "No.1"): (1000, 180, 625, 1500, 1.7e6, 620e3, _C, "XC-lumber"),
    ("douglas fir-larch", "No.2"): (900, 180, 625, 1350, 1.6e6, 580e3, _C, "XC-lumber"),
    ("douglas fir-larch", "No.3"): (525, 180, 625, 775, 1.4e6, 510e3, _C, "XC-lumber"),
    ("hem-fir", "SS"): (1400, 150, 405, 1500, 1.6e6, 580e3, _C, "XC-lumber"),
    ("hem-fir", "No.1"): (975, 150, 405, 1350, 1.5e6, 550e3, _C, "XC-lumber"),
    ("hem-fir", "No.2"): (850, 150, 405, 1300, 1.3e6, 470e3, _C, "XC-lumber"),
    ("hem-fir", "No.3"): (500, 150, 405, 725, 1.2e6, 440e3, _C, "XC-lumber"),
    ("spruce-pine-fir", "SS"): (1150, 135, 425, 1400, 1.5e6, 550e3, _C, "XC-lumber"),
    ("spruce-pine-fir", "No.1"): (875, 135, 425, 1150, 1.4e6, 510e3, _C, "XC-lumber"),
    ("spruce-pine-fir", "No.2"): (875, 135, 425, 1150, 1.4e6, 510e3, _C, "XC-lumber"),
    ("spruce-pine-fir", "No.3"): (500, 135, 425, 650, 1.2e6, 440e3, _C, "XC-lumber"),
    ("redwood", "No.2"): (925, 160, 650, 950, 1.2e6, 440e3, _M, "NDS-memory"),
    ("redwood open grain", "No.2"): (725, 160, 425, 700, 1.0e6, 370e3, _M, "NDS-memory"),
    ("western cedars", "No.2"): (700, 155, 425, 650, 1.0e6, 370e3, _M, "NDS-memory"),
    ("northern species", "No.2"): (625, 110, 350, 850, 1.1e6, 400e3, _M, "NDS-memory"),
}
NORTHERN_FB_FITTED = True
"""The 625 psi of northern species was chosen so that the joist table's cells come out."""

# southern pine No.2 from 1 June 2013, by nominal width: Fb, Fc (size factor included)
_SOUTHERN_NO2 = {4: (1100, 1450), 6: (1000, 1400), 8: (925, 1350), 10: (800, 1300), 12: (750, 1250)}
# the values before that date: Fb only is used here
_SOUTHERN_OLD_NO2 = {
    4: (1500, 1650),
    6: (1250, 1600),
    8: (1200, 1550),
    10: (1050, 1500),
    12: (975, 1450),
}

SPECIES_GROUPS: dict[str, tuple[str, ...]] = {
    "southern pine": ("southern pine",),
    "douglas fir-larch group": ("douglas fir-larch", "hem-fir", "spruce-pine-fir"),
    "redwood group": ("redwood open grain", "western cedars", "northern species"),
}
"""The three species groups of the deck tables; a cell is the least of its group.

Ponderosa and red pine stand under `northern species`, the grading group that gives them their
design values when bought as such.
"""

INCISED_GROUP = "douglas fir-larch group"
"""The group assumed incised for treatment (stated in the AWC guide's Table 2 notes)."""


def design_values(species: str, grade: str, section: Section) -> DesignValues:
    """Return the reference design values for a section of a species and grade.

    `southern pine (before June 2013)` holds the superseded No.2 values, to explain older
    tables. Raises UnknownLumberError where none are held.

    >>> from deckclause.engineering.members.sizes import dressed_section
    >>> design_values("southern pine", "No.2", dressed_section("2x8")).fb_psi
    925
    >>> design_values("hemfir", "No.2", dressed_section("2x8"))
    Traceback (most recent call last):
    ...
    deckclause.engineering.members.species.UnknownLumberError: no design values for 'hemfir' No.2 (2x8). Did you mean hem-fir?
    """
    if species.startswith("southern pine"):
        return _southern(species, grade, section)
    row = _WESTERN.get((species, grade))
    if row is None or section.is_timber:
        raise _unknown(species, grade, section)
    fb, fv, fc_perp, fc, e, emin, standing, source = row
    return DesignValues(species, grade, fb, fv, fc_perp, fc, e, emin, False, standing, source)


def _southern(species: str, grade: str, section: Section) -> DesignValues:
    if grade != "No.2":
        raise _unknown(species, grade, section)
    if section.is_timber and species == "southern pine":
        # NDS Supplement Table 4D: these values are already for wet service
        return DesignValues(
            species, grade, 850, 165, 375, 525, 1.2e6, 440e3, True, _M, "NDS-memory"
        )
    if species == "southern pine":
        table, e, emin, standing, source = _SOUTHERN_NO2, 1.4e6, 510e3, _C, "SFPA-metric"
    elif species == "southern pine (before June 2013)":
        table, e, emin, standing, source = _SOUTHERN_OLD_NO2, 1.6e6, 580e3, _M, "NDS-memory"
    else:
        raise _unknown(species, grade, section)
    if section.is_timber or section.nominal_depth not in table:
        raise _unknown(species, grade, section)
    fb, fc = table[section.nominal_depth]
    return DesignValues(species, grade, fb, 175, 565, fc, e, emin, True, standing, source)


def _unknown(species: str, grade: str, section: Section) -> UnknownLumberError:
    names = {key[0] for key in _WESTERN} | {"southern pine"}
    near = get_close_matches(species, names, n=1)
    hint = f" Did you mean {near[0]}?" if near and near[0] != species else ""
    return UnknownLumberError(
        f"no design values for '{species}' {grade} ({section.name}).{hint}"
        if hint
        else f"no design values are held for '{species}' {grade} ({section.name}); "
        f"species held: {', '.join(sorted(names))}"
    )


SPECIFIC_GRAVITY_SOURCE = "XC-lumber"

_GRAVITY: dict[str, float] = {
    "red oak": 0.67,
    "southern pine": 0.55,
    "mixed southern pine": 0.51,
    "douglas fir-larch": 0.50,
    "douglas fir-larch (north)": 0.49,
    "alaska cedar": 0.47,
    "douglas fir-south": 0.46,
    "hem-fir (north)": 0.46,
    "hem-fir": 0.43,
    "ponderosa pine": 0.43,
    "spruce-pine-fir": 0.42,
    "eastern hemlock-tamarack": 0.41,
    "aspen": 0.39,
    "redwood": 0.37,
    "redwood open grain": 0.37,
    "eastern softwoods": 0.36,
    "spruce-pine-fir (south)": 0.36,
    "western cedars": 0.36,
    "western woods": 0.36,
    "northern species": 0.35,
    "western cedars (north)": 0.35,
    "northern white cedar": 0.31,
}
"""NDS Table 12.3.3A, oven-dry; rows seen restated in a public source."""


def specific_gravity(species: str) -> float:
    """Return the specific gravity a species has for dowel connections (NDS Table 12.3.3A).

    Raises UnknownLumberError for a species not held.

    >>> specific_gravity("spruce-pine-fir")
    0.42
    """
    try:
        return _GRAVITY[species]
    except KeyError:
        near = get_close_matches(species, _GRAVITY, n=1)
        hint = f" Did you mean {near[0]}?" if near else ""
        raise UnknownLumberError(f"no specific gravity is held for '{species}'.{hint}") from None
