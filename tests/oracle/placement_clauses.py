"""The oracle's clauses on where a fastener may go, on the ledger and on the band joist."""

from __future__ import annotations

from fractions import Fraction

from oracle.boards import (
    FIVE,
    THREE_QUARTERS,
    TWO,
    assembly_2009,
    assembly_2018,
    band_joist_depth,
    ledger_depth,
    spacing_cell,
)
from oracle.conditions import (
    ENGINEERING,
    MISSING,
    Facts,
    Finding,
    Truth,
    Value,
    all_of,
    any_of,
    at_least,
    at_most,
    equals,
    minus,
    negated,
    one_of,
    outside,
    plus,
    required,
    unless,
)


# --- where a fastener may go on the ledger ----------------------------------------------------
# 2009: contractor page quoting R502.2.2.1.1 (decks-ca.com). 2012: Fine Homebuilding, October 2012,
# and Professional Deck Builder magazine on the 2012 code. All figures: City of Edmonds deck tip
# sheet 5 (document 1487848), which reprints the 2015 table; 2018 carried over from memory.
def stagger(facts: Facts) -> Finding:
    return required(equals(facts.get("fasteners.staggered"), True))


def top_edge_2009(facts: Facts) -> Finding:
    # The strict reading: the rows stand at 2 in, not at 2 in or more.
    return required(equals(facts.get("fasteners.upper_row_below_ledger_top"), TWO), TWO)


def top_edge_2012(facts: Facts) -> Finding:
    return required(at_least(facts.get("fasteners.upper_row_below_ledger_top"), TWO), TWO)


def lower_row_above_ledger_bottom(facts: Facts) -> Fraction | None:
    return minus(ledger_depth(facts), facts.get("fasteners.lower_row_below_ledger_top"))


def bottom_edge_2009(facts: Facts) -> Finding:
    return required(equals(lower_row_above_ledger_bottom(facts), TWO), TWO)


def bottom_edge_2012(facts: Facts) -> Finding:
    above = lower_row_above_ledger_bottom(facts)
    return required(at_least(above, THREE_QUARTERS), THREE_QUARTERS)


LOWER_ROW = {"2x8": Fraction(11, 2), "2x10": Fraction(13, 2), "2x12": Fraction(15, 2)}
LOWER_ROW_2X8_ON_2X8 = Fraction(9, 2)


def lower_row(facts: Facts, row: str | None) -> Finding:
    board = facts.get("ledger.size")
    below = facts.get("fasteners.lower_row_below_ledger_top")
    if board is None:
        base: Finding = (MISSING, None)
    elif board not in LOWER_ROW:
        return ENGINEERING, None
    else:
        limit = LOWER_ROW[board]  # type: ignore[index]
        base = required(at_least(below, limit), limit)
    reduced = required(at_least(below, LOWER_ROW_2X8_ON_2X8), LOWER_ROW_2X8_ON_2X8)
    return unless(base, may_use_reduced_lower_row(facts, row), reduced)


def may_use_reduced_lower_row(facts: Facts, row: str | None) -> Truth:
    """2x8 ledger on a 2x8 band joist, with lag screws or bolts at the lag screws' spacing.

    Not with washer stacks, nor for the row with thick sheathing (from memory), nor, on the safe side,
    where the spacing table has no row for what lies between the boards.
    """
    kind, span = facts.get("fasteners.kind"), facts.get("joists.span")
    cell = spacing_cell("lag_screw", span)
    beyond_table = span is not None and cell is None
    close = False if beyond_table else closer_than(facts.get("fasteners.spacing"), cell)
    return all_of(
        equals(facts.get("ledger.size"), "2x8"),
        equals(facts.get("band_joist.kind"), "sawn_lumber"),
        equals(facts.get("band_joist.size"), "2x8"),
        any_of(equals(kind, "lag_screw"), all_of(equals(kind, "through_bolt"), close)),
        one_of(row, ("lag_screw", "through_bolt")),
        equals(facts.get("wall.drainage_washer_stack"), 0),
    )


def closer_than(value: Value | None, limit: Fraction | None) -> Truth:
    return None if limit is None else at_most(value, limit)


def lower_row_2012(facts: Facts) -> Finding:
    return lower_row(facts, assembly_2009(facts))


def lower_row_2018(facts: Facts) -> Finding:
    return lower_row(facts, assembly_2018(facts))


ROW_SPACING = (Fraction(13, 8), FIVE)


def row_spacing(facts: Facts) -> Finding:
    apart = minus(
        facts.get("fasteners.lower_row_below_ledger_top"),
        facts.get("fasteners.upper_row_below_ledger_top"),
    )
    least, most = ROW_SPACING
    return required(all_of(at_least(apart, least), at_most(apart, most)), ROW_SPACING)


def ledger_end(facts: Facts) -> Finding:
    return required(at_least(facts.get("fasteners.end_distance_on_ledger"), TWO), TWO)


def ledger_first(facts: Facts) -> Finding:
    return required(at_most(facts.get("fasteners.first_from_ledger_end"), FIVE), FIVE)


# --- where a fastener may go on the band joist (2012 on) --------------------------------------
def on_band_joist(facts: Facts, holds: Truth, limit: Fraction) -> Finding:
    # City of Edmonds tip sheet 5, placement note c: an engineered rim follows its maker instead.
    rim = equals(facts.get("band_joist.kind"), "engineered_rim_board")
    return outside(True, negated(rim)) or required(holds, limit)


def band_top(facts: Facts) -> Finding:
    below = plus(
        facts.get("fasteners.upper_row_below_ledger_top"), facts.get("ledger.below_band_joist")
    )
    return on_band_joist(facts, at_least(below, THREE_QUARTERS), THREE_QUARTERS)


def lower_row_above_band_bottom(facts: Facts) -> Fraction | None:
    below = plus(
        facts.get("fasteners.lower_row_below_ledger_top"), facts.get("ledger.below_band_joist")
    )
    return minus(band_joist_depth(facts), below)


def band_bottom_2012(facts: Facts) -> Finding:
    return on_band_joist(facts, at_least(lower_row_above_band_bottom(facts), TWO), TWO)


def band_bottom_2018(facts: Facts) -> Finding:
    # Placement note e of the same tip sheet: 3/4 in over direct bearing.
    above = lower_row_above_band_bottom(facts)
    borne = one_of(
        facts.get("band_joist.directly_supported_by"), ("mudsill", "header", "double_top_plate")
    )
    relieved = on_band_joist(facts, at_least(above, THREE_QUARTERS), THREE_QUARTERS)
    return unless(band_bottom_2012(facts), borne, relieved)


def band_end(facts: Facts) -> Finding:
    return on_band_joist(
        facts, at_least(facts.get("fasteners.end_distance_on_band_joist"), TWO), TWO
    )


def band_first(facts: Facts) -> Finding:
    return on_band_joist(
        facts, at_most(facts.get("fasteners.first_from_band_joist_end"), FIVE), FIVE
    )
