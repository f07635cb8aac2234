"""Sums as a carpenter reads them, on the trade's own figures."""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from deckclause.placement.answers import Ask
from deckclause.placement.boards import BAND_TOP, LEDGER_TOP
from deckclause.placement.conflicts import all_conflicts
from deckclause.placement.constraints import Distance
from deckclause.placement.solve import solve
from deckclause.placement.sums import conflict_text, extreme_text
from placement.trade_limits import system_2012


@pytest.mark.parametrize(
    ("size", "drop"),
    [("2x10", F(3, 4)), ("2x12", F(7, 4))],
)
def test_greatest_drop_in_the_trade_s_worked_figures(size: str, drop: F) -> None:
    """2012 limits, like ledger on like band joist: common practice, no published source."""
    extreme = solve(system_2012(size, size), [Ask(BAND_TOP, LEDGER_TOP)]).extremes[0]
    assert extreme.value == drop


def test_the_greatest_drop_reads_as_a_sum() -> None:
    extreme = solve(system_2012("2x10", "2x10"), [Ask(BAND_TOP, LEDGER_TOP)]).extremes[0]
    assert extreme_text(extreme) == (
        "9-1/4 in (2x10 band joist depth) - 2 in (band joist bottom edge, Table R507.2.1) - "
        "6-1/2 in (lower row below ledger top, Table R507.2.1 note d) = 3/4 in"
    )


def test_a_2x12_ledger_has_no_place_on_a_2x10_band_joist() -> None:
    found = all_conflicts(system_2012("2x12", "2x10")).conflicts
    assert [conflict_text(c) for c in found] == [
        "7-1/2 in (lower row below ledger top, Table R507.2.1 note d) + "
        "2 in (band joist bottom edge, Table R507.2.1) - 9-1/4 in (2x10 band joist depth) = "
        "1/4 in too much (adding 0 in: ledger stands against the band joist)"
    ]


def test_nothing_to_bound_it_is_said() -> None:
    system = [Distance("a", "b", F(2), None, "at least")]
    answer = solve(system, [Ask("a", "b"), Ask("b", "a", "least")])
    assert extreme_text(answer.extremes[0]) == "nothing bounds how great a to b may be"
    assert extreme_text(answer.extremes[1]) == "nothing bounds how small b to a may be"


def test_a_datum_from_itself_is_nothing() -> None:
    system = [Distance("a", "b", F(2), None, "at least")]
    assert extreme_text(solve(system, [Ask("a", "a")]).extremes[0]) == "0 in = 0 in"
