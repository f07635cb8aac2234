"""The deck beam tables: a model that explains them, with its fitted choices named.

Unlike the joists, the beam tables only come out after several choices made by looking at
them. They are listed in `FITTED` and travel with every explanation: use this to understand a
cell, never to extend the table.
"""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct

from deckclause.engineering.basis import Basis, Factor, Standing
from deckclause.engineering.cautions import for_topic
from deckclause.engineering.members.adjustment import (
    AdjustedValues,
    Service,
    adjust,
)
from deckclause.engineering.members.beams import SpanResult, greatest_simple_span
from deckclause.engineering.members.sizes import Section, dressed_section, rectangle
from deckclause.engineering.members.species import DesignValues, design_values
from deckclause.engineering.rounding import Rounding
from deckclause.engineering.tables.explanation import (
    Explanation,
    UnknownCellError,
    finish,
)
from deckclause.engineering.tables.groups import species_group
from deckclause.engineering.tables.loads import DEAD, LIVE_LOAD, DeckLoad, length_in
from deckclause.quantities import LENGTH, Quantity

TRIBUTARY_SHARE = Fraction(25, 32)
"""Joists over a quarter-span cantilever load a beam by (1 + 1/4)^2 / 2 of their span."""

DEAD_SHARE = Fraction(1, 2)
"""Share of the dead load that deflects a beam beside the whole live or snow load."""
GUIDE_LESS_IN = 3.0
"""The AWC guide gives clear spans, 3 in under the code's centre-to-centre spans."""

REPETITION_BY_PLIES = {1: 1.0, 2: 1.10, 3: 1.15}
OTHER_FB_PSI, OTHER_E_PSI, OTHER_FV_ADJUSTED_PSI = 625.0, 1.0e6, 106.0
_TIMBER_CF = {"4x6": 1.3, "4x8": 1.3, "4x10": 1.1, "4x12": 1.0}

FITTED_ALL = (
    "deflection L/360 under live (or snow) load and half the dead load",
    "shear at the support without the depth allowance, nearest inch",
)
FITTED_SOUTHERN = ("repetition factor 1.10 for two plies (NDS has none under three)",)
FITTED_OTHER = (
    "the row for all other species uses northern species bending (625 psi), cedar and redwood "
    "stiffness (1,000,000 psi), adjusted shear 106 psi, and no incising",
    "two plies are computed as one solid 3x, 2-1/2 in wide, because the row names both",
    "size factors 1.3, 1.3, 1.1, 1.0 for 4x6 to 4x12",
)


class _Model(Struct, frozen=True):
    section: Section
    values: AdjustedValues
    repetition: float
    fitted: tuple[str, ...]


def explain_beam(
    group: str,
    size: str,
    joist_span: Quantity,
    load: DeckLoad = LIVE_LOAD,
    *,
    guide: bool = False,
) -> Explanation:
    """Explain a beam span of the 2015 and 2018 tables (or, `guide`, the AWC guide's).

    `size` is written as the tables do: `2-2x8`, `3-2x10`, `1-2x6`, `4x8`, or `3x8 or 2-2x8`.
    Spans are centre to centre of posts in the code and clear in the guide. Raises
    UnknownCellError for a size or group with no row.

    >>> from deckclause.quantities import parse_quantity as q
    >>> explain_beam("southern pine", "2-2x8", q("14 ft")).cell_text
    '5-9'
    """
    group = species_group(group)
    model = _southern(size, load) if group == "southern pine" else _other(size, load)
    spans = beam_spans(model.section, model.values, joist_span, load)
    less = GUIDE_LESS_IN if guide else 0.0
    raw = spans.span_in - less
    cell = finish(raw, Rounding.NEAREST)
    return Explanation(
        family="beams",
        keys=(("group", group), ("size", size), ("joist span", _feet(joist_span)),
              ("load", load.text)),
        basis=Basis.FITTED,
        inputs=(
            loaded_by(load),
            f"adjusted Fb' {model.values.fb_psi:.0f}, Fv' {model.values.fv_psi:.0f}, "
            f"E' {model.values.e_psi:.0f} psi",
            "clear span, 3 in under centre to centre" if guide else "centre to centre of posts",
        ),
        factors=model.values.bending_factors + model.values.stiffness_factors,
        checks=spans.checks,
        governed_by=spans.governing.name,
        unrounded_in=raw,
        rounding=Rounding.NEAREST,
        cell_in=cell,
        in_feet=True,
        fitted=FITTED_ALL + model.fitted,
        notes=(),
        cautions=for_topic("beams"),
    )  # fmt: skip


def beam_spans(
    section: Section, values: AdjustedValues, joist_span: Quantity, load: DeckLoad = LIVE_LOAD
) -> SpanResult:
    """Return the greatest beam spans under joists that cantilever to a quarter of their span."""
    joist_span.need(LENGTH, "joist span")
    tributary = joist_span * TRIBUTARY_SHARE
    return greatest_simple_span(
        section,
        values,
        total_load=load.total * tributary,
        deflection_load=(load.variable + DEAD * DEAD_SHARE) * tributary,
        deflection_limit=360,
    )


def loaded_by(load: DeckLoad) -> str:
    """Say what loads a beam."""
    total = float(load.total.value) * 144
    return (
        f"uniform load {total:g} psf over 25/32 of the joist span (joists cantilever to a quarter)"
    )


def _feet(length: Quantity) -> str:
    return f"{float(length.value) / 12:g} ft"


def plies_of(size: str) -> tuple[int, str]:
    """Split `2-2x8` in (2, `2x8`); a size without plies is one piece."""
    count, dash, nominal = size.partition("-")
    return (int(count), nominal) if dash and count.isdigit() else (1, size)


def _southern(size: str, load: DeckLoad) -> _Model:
    plies, nominal = plies_of(size)
    if plies not in REPETITION_BY_PLIES or not nominal.startswith("2x"):
        raise UnknownCellError(
            f"no southern pine beam row '{size}'; write 1-2x8, 2-2x8 or 3-2x8, 2x6 to 2x12"
        )
    section = dressed_section(nominal, plies)
    values = adjust(design_values("southern pine", "No.2", section), section, wet_service(load))
    repetition = REPETITION_BY_PLIES[plies]
    fitted = FITTED_SOUTHERN if plies == 2 else ()
    return _Model(section, repeated(values, repetition, plies), repetition, fitted)


def _other(size: str, load: DeckLoad) -> _Model:
    row = size.rsplit(" or ", maxsplit=1)[-1]
    plies, nominal = plies_of(row)
    if nominal.startswith("2x") and plies in (2, 3):
        width = Fraction(5, 2) if plies == 2 else Fraction(9, 2)
        repetition = 1.15 if plies == 3 else 1.0
        size_factor = _dimension_cf(nominal)
    elif nominal in _TIMBER_CF and plies == 1:
        width, repetition, size_factor = Fraction(7, 2), 1.0, _TIMBER_CF[nominal]
    else:
        raise UnknownCellError(
            f"no beam row '{size}' for other species; write 2-2x8, 3-2x8 or 4x8, 6 to 12 deep"
        )
    base = dressed_section(nominal)
    section = rectangle(length_in(width), length_in(base.depth), nominal)
    values = adjust(_other_values(), section, wet_service(load))
    duration = load.duration.value
    values = _with(
        values,
        OTHER_FB_PSI * size_factor * duration,
        OTHER_FV_ADJUSTED_PSI * duration,
        size_factor,
    )
    return _Model(section, repeated(values, repetition, plies), repetition, FITTED_OTHER)


def wet_service(load: DeckLoad, *, incised: bool = False) -> Service:
    """Return the service of a beam on a deck; the repetition factor is taken apart."""
    return Service(wet=True, incised=incised, repetitive=False, load_duration=load.duration)


def _dimension_cf(nominal: str) -> float:
    factors = {"2x6": 1.3, "2x8": 1.2, "2x10": 1.1, "2x12": 1.0}
    if nominal not in factors:
        raise UnknownCellError(f"no beam row of {nominal}; the sizes are 2x6 to 2x12")
    return factors[nominal]


def _other_values() -> DesignValues:
    return DesignValues(
        "all other species of the table", "No.2", OTHER_FB_PSI, 110, 350, 850, OTHER_E_PSI,
        370e3, True, Standing.MEMORY, "NDS-memory",
    )  # fmt: skip


def _with(
    values: AdjustedValues, fb_psi: float, fv_psi: float, size_factor: float
) -> AdjustedValues:
    size = Factor(
        "CF", size_factor, "size factor, fitted", "see the fitted choices", Standing.MEMORY
    )
    return AdjustedValues(
        values.reference, fb_psi, fv_psi, values.fc_perp_psi, values.fc_psi, values.e_psi,
        values.emin_psi, (size,), values.compression_factors, values.shear_factors,
        values.stiffness_factors, values.near_step,
    )  # fmt: skip


def repeated(values: AdjustedValues, factor: float, plies: int) -> AdjustedValues:
    """Return the values with a repetition factor on bending."""
    shown = Factor(
        "Cr", factor, f"{plies} {'ply' if plies == 1 else 'plies'}",
        "NDS 4.3.9; see the fitted choices", Standing.MEMORY,
    )  # fmt: skip
    return AdjustedValues(
        values.reference, values.fb_psi * factor, values.fv_psi, values.fc_perp_psi, values.fc_psi,
        values.e_psi, values.emin_psi, (*values.bending_factors, shown),
        values.compression_factors, values.shear_factors, values.stiffness_factors,
        values.near_step,
    )  # fmt: skip
