"""The 2021 post height table for southern pine: a concentric column in wet service.

The other groups' rows and the AWC guide's 6x6 heights do not come out of this and are not
claimed: `NOT_REPRODUCED` says so wherever a post is explained.
"""

from __future__ import annotations

from fractions import Fraction

from deckclause.engineering.basis import Basis, Check
from deckclause.engineering.cautions import for_topic
from deckclause.engineering.members.adjustment import Service, adjust
from deckclause.engineering.members.columns import greatest_height_in
from deckclause.engineering.members.sizes import dressed_section
from deckclause.engineering.members.species import design_values
from deckclause.engineering.rounding import Rounding
from deckclause.engineering.tables.explanation import Explanation, finish
from deckclause.engineering.tables.groups import is_incised, members_of, species_group
from deckclause.engineering.tables.loads import LIVE_LOAD, DeckLoad
from deckclause.quantities import AREA, Quantity

HEIGHT_CAP_IN = 168

NOT_REPRODUCED = (
    "southern pine cells as remembered stand about 1 in under this calculation, for a reason not "
    "found; other groups' cells differ by more, and the AWC guide's 6x6 heights fall off faster "
    "than concentric buckling does. Read the table, not this, for a height",
)


def explain_height(
    group: str, size: str, area: Quantity, load: DeckLoad = LIVE_LOAD
) -> Explanation:
    """Explain a post height by tributary area: concentric load, Ke = 1, wet, 14 ft cap.

    Raises DimensionError if `area` is not an area, UnknownLumberError where no design values
    are held (6x6 and larger but for southern pine).

    >>> from deckclause.quantities import parse_quantity as q
    >>> explain_height("southern pine", "4x4", q("80 sq ft")).cell_text
    '9-7'
    """
    group = species_group(group)
    section = dressed_section(size)
    service = Service(
        wet=True, incised=is_incised(group), repetitive=False, load_duration=load.duration
    )
    area.need(AREA, "tributary area")
    force = load.total * area
    heights = []
    for species in members_of(group):
        values = adjust(design_values(species, "No.2", section), section, service)
        heights.append((greatest_height_in(section, values, load=force), species, values))
    raw, species, values = min(heights, key=lambda one: one[0])
    return Explanation(
        family="posts",
        keys=(("group", group), ("size", size),
              ("tributary area", f"{float(area.value / Fraction(144)):g} sq ft"),
              ("load", load.text)),
        basis=Basis.CALCULATION,
        inputs=(
            f"{species} No.2: Fc* {values.fc_psi:.0f} psi, Emin' {values.emin_psi:.0f} psi",
            f"load {float(force.value):.0f} lb, concentric; effective length the full height",
        ),
        factors=values.compression_factors + values.stiffness_factors,
        checks=(Check("column stability", raw, "in", "NDS 3.7.1"),),
        governed_by=f"column stability, {species}",
        unrounded_in=raw if raw else None,
        rounding=Rounding.NEAREST,
        cell_in=finish(raw, Rounding.NEAREST, HEIGHT_CAP_IN) if raw else None,
        in_feet=True,
        fitted=(),
        notes=NOT_REPRODUCED,
        cautions=for_topic("posts"),
    )  # fmt: skip
