"""The table of sizes under the 2012 limits, by hand from the clauses."""

from __future__ import annotations

from fractions import Fraction as F

from deckclause.placement.boards import Section, board_distances
from deckclause.placement.proof import check_conflict, check_extreme
from deckclause.placement.steps import Excluded, step_row, step_table
from placement.trade_limits import DRESSED, LOWER_ROW_DEPTH, provider_2012, system_2012

SIZES = ("2x6", "2x8", "2x10", "2x12")
TABLE = {
    (r.ledger_size, r.band_joist_size, r.joist_size): r
    for r in step_table(provider_2012, SIZES, SIZES, SIZES)
}


def test_every_combination_is_listed() -> None:
    assert len(TABLE) == 64
    assert all(r.excluded for (ledger, _, _), r in TABLE.items() if ledger == "2x6")


def test_drop_by_hand() -> None:
    """Greatest drop is the lesser of three sums; where it is below nothing there is no place.

    By the lower row: band depth - 2 - lower row depth; by the upper row: band depth - 2 - 1-5/8
    - 2. The ledger's own 3/4 in at the bottom never governs for these sizes.
    """
    for (ledger, band, _), row in TABLE.items():
        if ledger == "2x6":
            continue
        by_lower = DRESSED[band] - 2 - LOWER_ROW_DEPTH[ledger]
        by_upper = DRESSED[band] - 2 - F(13, 8) - 2
        expected = min(by_lower, by_upper)
        assert row.is_feasible is (expected >= 0)
        if row.is_feasible:
            assert row.drop is not None
            assert row.drop.greatest.value == expected
        else:
            assert row.shortfall == -expected


def test_step_down_by_hand() -> None:
    """Floor 1-1/2 in above the band joist, decking 1 in, joists level with the ledger's bottom."""
    row = TABLE["2x10", "2x10", "2x8"]
    assert row.step_down is not None
    assert row.joist_drop is not None
    assert row.joist_drop.greatest.value == F(3, 4) + 2
    assert row.step_down.greatest.value == F(3, 2) + F(3, 4) + 2 - 1
    assert row.step_down.least.value == F(3, 2) + 2 - 1
    assert row.allows_step_down(F(3))
    assert not row.allows_step_down(F(4))


def test_every_row_is_proved() -> None:
    for (ledger, band, joist), row in TABLE.items():
        if ledger == "2x6":
            continue
        system = system_2012(ledger, band, joist=joist)
        for found in (row.drop, row.joist_drop, row.step_down):
            if found is not None:
                check_extreme(system, found.least)
                check_extreme(system, found.greatest)
        for conflict in row.conflicts.conflicts:
            check_conflict(system, conflict)


def test_unknown_floor_leaves_the_step_down_untold() -> None:
    boards = board_distances(Section(F(37, 4), F(37, 4), decking=F(1)))
    row = step_row("2x10", "2x10", "2x10", boards)
    assert row.is_feasible
    assert row.step_down is None
    assert not row.allows_step_down(F(1))


def test_excluded_sizes_say_why() -> None:
    row = step_row("2x6", "2x10", "2x6", Excluded("too small", "Table X"))
    assert row.excluded == Excluded("too small", "Table X")
    assert row.shortfall is None
