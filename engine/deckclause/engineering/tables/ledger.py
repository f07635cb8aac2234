"""The ledger fastener spacing table, read backwards, and what may be said of it.

The table rests on tests at two universities of lag screws and bolts through wall sheathing:
NDS does not cover sheathing between the boards nor a lag only 1-1/2 in deep. One capacity a
row, rounded down to the whole inch and capped at 36 in, gives every cell. That capacity is
`implied by a table`: it describes the table and is a strength of nothing else.
"""

from __future__ import annotations

import math
from enum import Enum
from fractions import Fraction

from msgspec import Struct

from deckclause.engineering.basis import Basis, Check, Factor, Standing
from deckclause.engineering.cautions import for_topic
from deckclause.engineering.dowels.connections import (
    LateralResult,
    WoodMember,
    bolt_single_shear,
)
from deckclause.engineering.rounding import Rounding
from deckclause.engineering.tables.explanation import Explanation, finish
from deckclause.engineering.tables.loads import LIVE_LOAD, DeckLoad, length_in
from deckclause.quantities import FORCE, LENGTH, Quantity

SPACING_CAP_IN = 36
GREATEST_JOIST_SPAN_IN = 216


class LedgerRow(Enum):
    """Rows of the table; the value is the capacity implied for one fastener, pounds."""

    LAG_SCREW = 385
    THROUGH_BOLT = 727
    THROUGH_BOLT_THICK_ASSEMBLY = 618
    RIM_1_IN = 300
    RIM_1_1_8_IN = 350


ROW_TEXT = {
    LedgerRow.LAG_SCREW: "1/2 in lag screw, thin sheathing, 2x band joist",
    LedgerRow.THROUGH_BOLT: "1/2 in bolt, thin sheathing, 2x band joist",
    LedgerRow.THROUGH_BOLT_THICK_ASSEMBLY: "1/2 in bolt, up to 1 in of sheathing or washers",
    LedgerRow.RIM_1_IN: "1/2 in lag screw or bolt, 1 in engineered rim",
    LedgerRow.RIM_1_1_8_IN: "1/2 in lag screw or bolt, 1-1/8 in engineered rim",
}

IMPLIED_NOTE = (
    "implied by the table's own cells; not an NDS value, not a test result seen here, and not to "
    "be used for any other fastener, wood, sheathing or span"
)


class CapacityInterval(Struct, frozen=True):
    """Capacities, pounds, that give every cell of a row: at least `least`, under `under`."""

    least_lb: float
    under_lb: float

    @property
    def exists(self) -> bool:
        """Whether any capacity gives the whole row."""
        return self.least_lb < self.under_lb


class LedgerComparison(Struct, frozen=True):
    """The NDS value of a bolt beside the capacity the table implies: context, never a verdict."""

    calculation: LateralResult
    implied_lb: float
    ratio: float
    statement: str


def line_load_per_inch(joist_span: Quantity, load: DeckLoad) -> Quantity:
    """Return the load on a ledger: total load over half the joist span (a load per length)."""
    joist_span.need(LENGTH, "joist span")
    return load.total * joist_span * Fraction(1, 2)


def spacing_in(row: LedgerRow, joist_span: Quantity, load: DeckLoad = LIVE_LOAD) -> float:
    """Return the unrounded spacing a row's implied capacity gives, inches.

    s = CD P / w, with w the load over half the joist span.
    """
    per_inch = float(line_load_per_inch(joist_span, load).value)
    return load.duration.value * row.value / per_inch


def capacity_interval(
    cells: dict[int, int], *, rounding: Rounding = Rounding.DOWN, load: DeckLoad = LIVE_LOAD
) -> CapacityInterval:
    """Return the capacities that give printed spacings `{joist span ft: spacing in}`.

    A cell at the 36 in cap only sets a least capacity.

    >>> lags = {6: 30, 8: 23, 10: 18, 12: 15, 14: 13, 16: 11, 18: 10}
    >>> interval = capacity_interval(lags)
    >>> round(interval.least_lb, 1), round(interval.under_lb, 1)
    (383.3, 387.5)
    """
    below, above = (0.5, 0.5) if rounding is Rounding.NEAREST else (0.0, 1.0)
    least, under = 0.0, math.inf
    for feet, spacing in cells.items():
        per_inch = float(line_load_per_inch(length_in(12 * feet), load).value)
        per_inch /= load.duration.value
        least = max(least, (spacing - below) * per_inch)
        if spacing < SPACING_CAP_IN:
            under = min(under, (spacing + above) * per_inch)
    return CapacityInterval(least, under)


def force_per_fastener(spacing: Quantity, joist_span: Quantity, load: DeckLoad) -> Quantity:
    """Return the force on one fastener at a spacing, exactly.

    >>> from deckclause.quantities import parse_quantity as q
    >>> force_per_fastener(q("15 in"), q("12 ft"), LIVE_LOAD) == q("375 lb")
    True
    """
    spacing.need(LENGTH, "fastener spacing")
    force = line_load_per_inch(joist_span, load) * spacing
    force.need(FORCE, "force on one fastener")
    return force


def explain_spacing(
    row: LedgerRow, joist_span: Quantity, load: DeckLoad = LIVE_LOAD
) -> Explanation:
    """Explain one cell of the ledger table; ValueError past the table's 18 ft.

    >>> from deckclause.quantities import parse_quantity as q
    >>> explain_spacing(LedgerRow.THROUGH_BOLT, q("12 ft")).cell_text
    '29'
    """
    if joist_span.need(LENGTH, "joist span") > GREATEST_JOIST_SPAN_IN:
        raise ValueError("the ledger table ends at 18 ft joists; past that, engineering is needed")
    raw = spacing_in(row, joist_span, load)
    duration = Factor(
        "CD", load.duration.value, load.text, "read back from the table's snow rows",
        Standing.DERIVED,
    )  # fmt: skip
    return Explanation(
        family="ledger",
        keys=(("row", ROW_TEXT[row]), ("joist span", f"{float(joist_span.value) / 12:g} ft"),
              ("load", load.text)),
        basis=Basis.IMPLIED,
        inputs=(f"{row.value} lb a fastener, {IMPLIED_NOTE}",
                f"line load {float(line_load_per_inch(joist_span, load).value) * 12:.0f} plf"),
        factors=(duration,),
        checks=(Check("implied capacity over line load", raw, "in", "the table read backwards"),),
        governed_by="36 in cap" if raw >= SPACING_CAP_IN else "implied capacity",
        unrounded_in=raw,
        rounding=Rounding.DOWN,
        cell_in=finish(raw, Rounding.DOWN, SPACING_CAP_IN),
        in_feet=False,
        fitted=("one capacity a row, chosen inside the interval the row's cells allow",),
        notes=("between two joist spans use the longer column unless the edition interpolates",),
        cautions=for_topic("ledger"),
    )  # fmt: skip


def compare_with_nds(
    ledger: WoodMember,
    band_joist: WoodMember,
    *,
    gap: Quantity,
    factors: tuple[Factor, ...] = (),
) -> LedgerComparison:
    """Return the NDS value of a 1/2 in bolt beside the capacity the bolt row implies.

    The two rest on different bases. A ledger that follows the table complies whatever this
    says, and the ratio is no reserve of strength.
    """
    result = bolt_single_shear(
        band_joist, ledger, length_in(Fraction(1, 2)), gap=gap, factors=factors
    )
    implied = float(LedgerRow.THROUGH_BOLT.value)
    ratio = implied / result.adjusted_lb
    statement = (
        f"NDS gives {result.adjusted_lb:.0f} lb for this bolt; the code table, which rests on tests "
        f"that NDS does not cover, implies about {implied:.0f} lb ({ratio:.1f} times). Neither "
        "contradicts the other: a ledger fastened to the table complies, and the difference is not "
        "spare strength."
    )
    return LedgerComparison(result, implied, ratio, statement)
