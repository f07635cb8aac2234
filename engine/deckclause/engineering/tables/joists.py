"""The joist span tables: assumptions, spans, cantilevers and overhangs.

The AWC guide states its assumptions beside its table: No. 2, wet service, L/360 on the main
span, cantilever to a quarter of the span, L/180 at a tip under 220 lb, incising for one group.
The code's tables follow from the same model but for three 2x6 cells.
"""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct

from deckclause.engineering.basis import Basis, Factor
from deckclause.engineering.cautions import Caution, for_topic
from deckclause.engineering.members.adjustment import (
    AdjustedValues,
    LoadDuration,
    Service,
    adjust,
)
from deckclause.engineering.members.beams import (
    SpanResult,
    back_span_for_share_in,
    cantilever_for_deflection_in,
    greatest_simple_span,
)
from deckclause.engineering.members.sizes import Section, dressed_section
from deckclause.engineering.members.species import design_values
from deckclause.engineering.rounding import Rounding
from deckclause.engineering.tables.explanation import Explanation, finish
from deckclause.engineering.tables.groups import is_incised, members_of, species_group
from deckclause.engineering.tables.loads import LIVE_LOAD, DeckLoad, length_in
from deckclause.quantities import FORCE, LENGTH, PRESSURE, Quantity

SPAN_CAP_IN = 216
TIP_LOAD = Quantity(220, FORCE)
SPAN_LIMIT, TIP_LIMIT = 360, 180
QUARTER = 0.25
GUIDE_OVERHANG_LESS_IN = 3.0
OVERHANG_FITTED = (
    "3 in is taken off the calculated overhang, chosen so that the guide's 36 cells come out",
)
STRICT_NOTE = (
    "the 2015 and 2018 code print 8-8, 7-2 (douglas fir-larch group 2x6 at 16 and 24 in) and 7-0 "
    "(redwood group 2x6 at 24 in), more than this; the AWC guide prints what is calculated here. "
    "Douglas fir-larch 2x6 has Fb x CF = 1170 psi, just over the 1150 psi step, so that wet service "
    "takes 15 percent off; the code's cells are hem-fir's own, and western cedar's own. A compliant "
    "joist is not thereby a failing one"
)


class SpeciesSpan(Struct, frozen=True):
    """The greatest span of one species in a group, with its working."""

    species: str
    section: Section
    values: AdjustedValues
    spans: SpanResult


def species_spans(
    group: str, size: str, spacing: Quantity, load: DeckLoad = LIVE_LOAD
) -> tuple[SpeciesSpan, ...]:
    """Return the greatest simple span of each species of a group at a spacing.

    Raises DimensionError if the spacing is no length, UnknownCellError for an unknown group.
    """
    group = species_group(group)
    section = dressed_section(size)
    service = Service(
        wet=True, incised=is_incised(group), repetitive=True, load_duration=load.duration
    )
    found = []
    spacing.need(LENGTH, "joist spacing")
    for species in members_of(group):
        values = adjust(design_values(species, "No.2", section), section, service)
        spans = greatest_simple_span(
            section,
            values,
            total_load=load.total * spacing,
            deflection_load=load.variable * spacing,
            deflection_limit=SPAN_LIMIT,
        )
        found.append(SpeciesSpan(species, section, values, spans))
    return tuple(found)


def explain_span(
    group: str, size: str, spacing: Quantity, load: DeckLoad = LIVE_LOAD
) -> Explanation:
    """Explain a joist span without cantilever: least over the group, nearest inch, 18 ft cap.

    >>> from deckclause.quantities import parse_quantity as q
    >>> explain_span("southern pine", "2x8", q("16 in")).cell_text
    '11-10'
    """
    least = min(species_spans(group, size, spacing, load), key=lambda one: one.spans.span_in)
    raw = least.spans.span_in
    return _explain(
        "joists", group, size, spacing, load, least,
        unrounded=raw, cell=finish(raw, Rounding.NEAREST, SPAN_CAP_IN),
        governed_by=f"{least.spans.governing.name}, {least.species}",
    )  # fmt: skip


def explain_span_with_cantilever(group: str, size: str, spacing: Quantity) -> Explanation:
    """Explain the 2015 column for joists that cantilever to a quarter of the span.

    The span is the lesser of the plain span and the one at which a quarter-span cantilever's
    tip deflects L/180 under 220 lb.
    """
    every = species_spans(group, size, spacing)
    least = min(every, key=lambda one: one.spans.span_in)
    by_tip = min(every, key=_quarter_span)
    limit = _quarter_span(by_tip)
    tip_governs = limit < least.spans.span_in
    chosen = by_tip if tip_governs else least
    governed = "cantilever tip L/180 under 220 lb" if tip_governs else least.spans.governing.name
    raw = min(limit, least.spans.span_in)
    return _explain(
        "joists with cantilever", group, size, spacing, LIVE_LOAD, chosen,
        unrounded=raw, cell=finish(raw, Rounding.NEAREST, SPAN_CAP_IN),
        governed_by=f"{governed}, {chosen.species}",
    )  # fmt: skip


def explain_overhang(group: str, size: str, spacing: Quantity, *, guide: bool) -> Explanation:
    """Explain the greatest overhang at a joist's own greatest span.

    The lesser of span/4 and the tip limit, least over the group; the AWC guide (`guide`) shows
    3 in less than the tip limit, a choice fitted to its table.
    """
    every = species_spans(group, size, spacing)
    least = min(every, key=lambda one: one.spans.span_in)
    by_tip = min(every, key=_tip_reach)
    less = GUIDE_OVERHANG_LESS_IN if guide else 0.0
    reach = _tip_reach(by_tip) - less
    quarter = min(least.spans.span_in, SPAN_CAP_IN) * QUARTER
    raw = min(reach, quarter)
    governed = f"tip L/180 under 220 lb, {by_tip.species}" if reach < quarter else "a quarter span"
    return _explain(
        "joist overhangs", group, size, spacing, LIVE_LOAD, by_tip,
        unrounded=raw, cell=finish(raw, Rounding.NEAREST), governed_by=governed,
        fitted=OVERHANG_FITTED if guide else (),
    )  # fmt: skip


def explain_cantilever(
    group: str, size: str, back_span: Quantity, load: DeckLoad = LIVE_LOAD
) -> Explanation:
    """Explain the 2021 cantilever by actual back span, at the least joist spacing.

    Nothing is permitted where the back span exceeds the size's greatest span under the load; the
    tip is held under 220 lb whatever the load.
    """
    spacing = length_in(12)
    every = species_spans(group, size, spacing, load)
    span = back_span.need(LENGTH, "back span")
    longest = min(*(one.spans.span_in for one in every), float(SPAN_CAP_IN))
    softest = min(every, key=lambda one: one.values.e_psi)
    reach = cantilever_for_deflection_in(
        softest.section,
        tip_load=TIP_LOAD,
        back_span=back_span,
        modulus=_modulus(softest),
        deflection_limit=TIP_LIMIT,
    )
    quarter = float(span) * QUARTER
    permitted = float(span) <= longest
    raw = min(reach, quarter) if permitted else None
    governed = "tip L/180 under 220 lb" if reach < quarter else "a quarter of the back span"
    return _explain(
        "joist cantilevers", group, size, spacing, load, softest,
        unrounded=raw, cell=None if raw is None else finish(raw, Rounding.NEAREST),
        governed_by=governed if permitted else "the back span is over the size's greatest span",
        extra_keys=(("back span", f"{float(span) / 12:g} ft"),),
    )  # fmt: skip


def _modulus(one: SpeciesSpan) -> Quantity:
    """Adjusted E as a quantity (the float is exact in binary; only the API wants a Quantity)."""
    return Quantity(Fraction(one.values.e_psi), PRESSURE)


def _quarter_span(one: SpeciesSpan) -> float:
    return back_span_for_share_in(
        one.section, tip_load=TIP_LOAD, modulus=_modulus(one), share=QUARTER,
        deflection_limit=TIP_LIMIT,
    )  # fmt: skip


def _tip_reach(one: SpeciesSpan) -> float:
    own_span = Quantity(Fraction(min(one.spans.span_in, float(SPAN_CAP_IN))), LENGTH)
    return cantilever_for_deflection_in(
        one.section, tip_load=TIP_LOAD, back_span=own_span, modulus=_modulus(one),
        deflection_limit=TIP_LIMIT,
    )  # fmt: skip


def _explain(  # noqa: PLR0913 - one gathering point for the four explanations above
    family: str,
    group: str,
    size: str,
    spacing: Quantity,
    load: DeckLoad,
    chosen: SpeciesSpan,
    *,
    unrounded: float | None,
    cell: int | None,
    governed_by: str,
    fitted: tuple[str, ...] = (),
    extra_keys: tuple[tuple[str, str], ...] = (),
) -> Explanation:
    values = chosen.values
    fitted = fitted + _species_fitted(chosen.species)
    spacing_in = float(spacing.value)
    small_wide = size == "2x6" and spacing_in >= 16 and load.duration is LoadDuration.OCCUPANCY
    return Explanation(
        family=family,
        keys=(("group", species_group(group)), ("size", size), ("spacing", f"{spacing_in:g} in"),
              ("load", load.text), *extra_keys),
        basis=Basis.FITTED if fitted else Basis.CALCULATION,
        inputs=(
            f"{chosen.species} No.2, {values.reference.standing.value} "
            f"({values.reference.source}): Fb {values.reference.fb_psi:g}, "
            f"Fv {values.reference.fv_psi:g}, E {values.reference.e_psi:g} psi",
            f"adjusted Fb' {values.fb_psi:.0f}, Fv' {values.fv_psi:.0f}, E' {values.e_psi:.0f} psi",
            "clear span; wet service; three or more joists share the load",
        ),
        factors=_shown(values.bending_factors, values.stiffness_factors),
        checks=chosen.spans.checks,
        governed_by=governed_by,
        unrounded_in=unrounded,
        rounding=Rounding.NEAREST,
        cell_in=cell,
        in_feet=True,
        fitted=fitted,
        notes=(STRICT_NOTE,) if small_wide and not group.startswith("south") else (),
        cautions=_cautions(values),
    )  # fmt: skip


def _shown(*groups: tuple[Factor, ...]) -> tuple[Factor, ...]:
    return tuple(factor for group in groups for factor in group)


def _species_fitted(species: str) -> tuple[str, ...]:
    if species != "northern species":
        return ()
    return ("northern species Fb = 625 psi was chosen so that this group's cells come out",)


def _cautions(values: AdjustedValues) -> tuple[Caution, ...]:
    return for_topic("joists", *(("near_a_limit",) if values.near_step else ()))
