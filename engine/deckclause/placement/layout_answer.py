"""Lay one design's ledger out under one rule set: which rows, how many fasteners, where each."""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct

from deckclause.designs.design import Facts
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.status import (
    COMPLIES,
    DOES_NOT_COMPLY,
    INFORMATION_MISSING,
    NOT_REGULATED,
)
from deckclause.placement.from_rules import PlacementRules
from deckclause.placement.layout import Layout, lay_out
from deckclause.placement.line_from_rules import LineAnswer, line_of
from deckclause.placement.place import Placement, place
from deckclause.placement.schedule import ScheduleRow, schedule
from deckclause.placement.zones import permitted_zones, tidy_rows

LEDGER_THICKNESS = Fraction(3, 2)
"""Dressed thickness of nominal 2x lumber (PS 20)."""


class LayoutAnswer(Struct, frozen=True):
    """The layout of one design under one rule set, or why there is none.

    `status` is COMPLIES where `layout` holds; `row_depths` are the rows' distances below the
    ledger's top (inches), `rows_chosen` says whether they were chosen here rather than stated.
    """

    placement: Placement
    line: LineAnswer
    status: int
    layout: Layout | None = None
    row_depths: dict[str, Fraction] | None = None
    rows_chosen: bool = False
    schedule: tuple[ScheduleRow, ...] = ()

    @property
    def missing(self) -> tuple[str, ...]:
        """What would have to be known."""
        known = (
            self.placement.at_drop.missing if self.status == self.placement.at_drop.status else ()
        )
        return tuple(dict.fromkeys([*self.line.missing, *known]))


def layout_of(
    design: PreparedDesign, rules: PlacementRules, *, splices_unknown: bool = False
) -> LayoutAnswer:
    """Return the fewest fasteners along a design's ledger, proved least, with their schedule.

    No layout is given where the rows have no place at the drop stated, or where anything that
    decides it is unknown. Raises LayoutError for boards that cannot stand as stated.
    """
    placement = place(design, rules)
    line = line_of(design, rules, splices_unknown=splices_unknown)
    found = placement.asked
    if placement.boards.drop is None and found.status in (COMPLIES, NOT_REGULATED):
        return LayoutAnswer(placement, line, INFORMATION_MISSING)
    if found.status != COMPLIES and not (found.status == NOT_REGULATED and line.line):
        return LayoutAnswer(placement, line, found.status)
    if line.line is None:
        return LayoutAnswer(placement, line, line.status)
    depths, chosen = _row_depths(placement)
    if depths is None:
        return LayoutAnswer(placement, line, DOES_NOT_COMPLY)
    layout = lay_out(line.line)
    if not layout.is_feasible:
        return LayoutAnswer(placement, line, DOES_NOT_COMPLY, layout, depths, chosen)
    if line.line.rows == ("one",):
        depths = {"one": depths["lower"]}
    depth = placement.boards.facts["ledger.depth"]
    assert isinstance(depth, Fraction)
    rows = schedule(layout, depth, depths)
    return LayoutAnswer(placement, line, COMPLIES, layout, depths, chosen, rows)


def _row_depths(placement: Placement) -> tuple[dict[str, Fraction] | None, bool]:
    """Return the rows as stated, or a place on a tape mark near the middle of what is permitted."""
    if placement.boards.rows is not None:
        upper, lower = placement.boards.rows
        return {"lower": lower, "upper": upper}, False
    zone = permitted_zones(placement.at_drop.distances).both_from_ledger.two_rows
    rows = None if zone is None else tidy_rows(zone)
    if rows is None:
        return None, True
    return {"lower": rows[1], "upper": rows[0]}, True


def grip(facts: Facts) -> Fraction | None:
    """Return the thickness a fastener passes through, inches: ledger, gap, sheathing, band joist."""
    names = ("wall.gap_to_sheathing", "wall.sheathing_thickness", "band_joist.thickness")
    values = [facts.get(name) for name in names]
    known = [v for v in values if isinstance(v, Fraction)]
    stack = facts.get("wall.drainage_washer_stack")
    if len(known) < len(values) or not isinstance(stack, Fraction):
        return None
    return LEDGER_THICKNESS + max(stack, known[0]) + known[1] + known[2]


PAST_A_LAG_SCREW, PAST_A_BOLT = Fraction(1, 2), Fraction(1)
"""What a fastener needs past the boards (in): a lag screw's point beyond the band joist (the ledger
table's note on the tip, its length common practice), a bolt's washers and nut (common practice)."""


def least_length(facts: Facts) -> Fraction | None:
    """Return how long a ledger fastener must be at the least, inches; None where that is not known."""
    through = grip(facts)
    past = {"lag_screw": PAST_A_LAG_SCREW, "through_bolt": PAST_A_BOLT}.get(
        str(facts.get("fasteners.kind"))
    )
    return None if through is None or past is None else through + past
