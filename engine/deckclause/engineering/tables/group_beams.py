"""The 2021 code's beam rows for one species group outside southern pine.

Earlier editions gave all other species one row, which `beams` explains. The rows by group come out
in part: the members' own values with the ply factors found for southern pine, the least over the
group. The cells met and missed are counted in docs/validation.md.
"""

from __future__ import annotations

from deckclause.engineering.basis import Basis
from deckclause.engineering.cautions import for_topic
from deckclause.engineering.members.adjustment import AdjustedValues, adjust
from deckclause.engineering.members.beams import SpanResult
from deckclause.engineering.members.sizes import dressed_section
from deckclause.engineering.members.species import design_values
from deckclause.engineering.rounding import Rounding
from deckclause.engineering.tables.beams import (
    FITTED_ALL,
    REPETITION_BY_PLIES,
    beam_spans,
    loaded_by,
    plies_of,
    repeated,
    wet_service,
)
from deckclause.engineering.tables.explanation import Explanation, UnknownCellError, finish
from deckclause.engineering.tables.groups import is_incised, members_of, species_group
from deckclause.engineering.tables.loads import LIVE_LOAD, DeckLoad
from deckclause.quantities import LENGTH, Quantity

FITTED_GROUP = (
    "repetition factors 1.10 for two plies and 1.15 for three, as found for southern pine",
    "the least over the species of the group, the douglas fir-larch group incised for treatment",
)


def explain_group_beam(
    group: str, size: str, joist_span: Quantity, load: DeckLoad = LIVE_LOAD
) -> Explanation:
    """Explain a beam span of one species group: least over its species, nearest inch.

    `size` is written `1-2x8` to `3-2x12`. Raises UnknownCellError for a size or group with no row,
    DimensionError for a joist span that is no length.

    >>> from deckclause.quantities import parse_quantity as q
    >>> explain_group_beam("hem-fir", "3-2x10", q("10 ft")).cell_text
    '9-8'
    """
    group = species_group(group)
    least = min(
        (_of_species(name, group, size, joist_span, load) for name in members_of(group)),
        key=lambda one: one[2].span_in,
    )
    species, values, spans = least
    feet = f"{float(joist_span.value) / 12:g} ft"
    return Explanation(
        family="beams by species group",
        keys=(("group", group), ("size", size), ("joist span", feet), ("load", load.text)),
        basis=Basis.FITTED,
        inputs=(
            loaded_by(load),
            f"{species} No.2: adjusted Fb' {values.fb_psi:.0f}, Fv' {values.fv_psi:.0f}, "
            f"E' {values.e_psi:.0f} psi",
            "centre to centre of posts",
        ),
        factors=values.bending_factors + values.stiffness_factors,
        checks=spans.checks,
        governed_by=f"{spans.governing.name}, {species}",
        unrounded_in=spans.span_in,
        rounding=Rounding.NEAREST,
        cell_in=finish(spans.span_in, Rounding.NEAREST),
        in_feet=True,
        fitted=FITTED_ALL + FITTED_GROUP,
        notes=(),
        cautions=for_topic("beams"),
    )


def _of_species(
    species: str, group: str, size: str, joist_span: Quantity, load: DeckLoad
) -> tuple[str, AdjustedValues, SpanResult]:
    plies, nominal = plies_of(size)
    if plies not in REPETITION_BY_PLIES or not nominal.startswith("2x"):
        raise UnknownCellError(f"no beam row '{size}'; write 1-2x8, 2-2x8 or 3-2x8, 2x6 to 2x12")
    joist_span.need(LENGTH, "joist span")
    section = dressed_section(nominal, plies)
    service = wet_service(load, incised=is_incised(group))
    values = adjust(design_values(species, "No.2", section), section, service)
    values = repeated(values, REPETITION_BY_PLIES[plies], plies)
    return species, values, beam_spans(section, values, joist_span, load)
