"""Names of species groups as tables and rule files write them, mapped to the groups here."""

from __future__ import annotations

from deckclause.engineering.members.species import INCISED_GROUP, SPECIES_GROUPS
from deckclause.engineering.tables.explanation import UnknownCellError

OLD_SOUTHERN = "southern pine (before June 2013)"

_STARTS = (
    ("southern pine (before", OLD_SOUTHERN),
    ("southern", "southern pine"),
    ("douglas", "douglas fir-larch group"),
    ("hem", "douglas fir-larch group"),
    ("spruce", "douglas fir-larch group"),
    ("redwood", "redwood group"),
    ("western cedar", "redwood group"),
    ("ponderosa", "redwood group"),
    ("red pine", "redwood group"),
)


def species_group(text: str) -> str:
    """Return the group a name means; UnknownCellError if it means none.

    >>> species_group("Douglas_fir_larch / hem-fir / spruce-pine-fir")
    'douglas fir-larch group'
    """
    plain = text.strip().lower().replace("_", " ")
    for start, group in _STARTS:
        if plain.startswith(start):
            return group
    raise UnknownCellError(
        f"'{text}' is not a species group of the deck tables; they are southern pine, "
        "douglas fir-larch (with hem-fir, spruce-pine-fir) and redwood (with western cedars, "
        "ponderosa pine, red pine)"
    )


def members_of(group: str) -> tuple[str, ...]:
    """Return the grading species of a group; a cell is the least over them."""
    return (OLD_SOUTHERN,) if group == OLD_SOUTHERN else SPECIES_GROUPS[group]


def is_incised(group: str) -> bool:
    """Whether the tables assume the group incised for treatment."""
    return group == INCISED_GROUP
