"""The verifier refuses whatever does not add up."""

from __future__ import annotations

from fractions import Fraction as F

import pytest
from msgspec.structs import replace

from deckclause.placement.answers import Ask, Conflict, Link, Solution
from deckclause.placement.boards import BAND_TOP, LEDGER_TOP
from deckclause.placement.constraints import Distance
from deckclause.placement.proof import (
    ProofError,
    check_conflict,
    check_extreme,
    check_positions,
    check_solution,
)
from deckclause.placement.solve import solve
from placement.trade_limits import system_2012

LOW = Distance("a", "b", F(3), None, "at least three")
HIGH = Distance("a", "b", None, F(2), "at most two")


def test_a_conflict_must_belong_join_and_add_up() -> None:
    links = (Link(LOW, "least"), Link(HIGH, "most"))
    check_conflict([LOW, HIGH], Conflict(links, F(1)))
    with pytest.raises(ProofError, match="not the shortfall"):
        check_conflict([LOW, HIGH], Conflict(links, F(2)))
    with pytest.raises(ProofError, match="not one of the distances"):
        check_conflict([LOW], Conflict(links, F(1)))
    with pytest.raises(ProofError, match="the chain ends at"):
        check_conflict([LOW, HIGH], Conflict(links[:1], F(3)))
    with pytest.raises(ProofError, match="the chain is at"):
        check_conflict([LOW, HIGH], Conflict((links[0], links[0]), F(3)))
    with pytest.raises(ProofError, match="at least one link"):
        check_conflict([LOW, HIGH], Conflict((), F(1)))
    with pytest.raises(ProofError, match="more than nothing"):
        check_conflict([LOW, HIGH], Conflict(links, F(0)))


def test_a_link_needs_the_bound_it_leans_on() -> None:
    with pytest.raises(ValueError, match="no most bound"):
        _ = Link(LOW, "most").length


def test_an_extreme_must_be_bounded_and_reached() -> None:
    system = system_2012("2x10", "2x10")
    extreme = solve(system, [Ask(BAND_TOP, LEDGER_TOP)]).extremes[0]
    check_extreme(system, extreme)
    with pytest.raises(ProofError, match="adds up to"):
        check_extreme(system, replace(extreme, value=F(1)))
    moved = {**extreme.positions, LEDGER_TOP: extreme.positions[LEDGER_TOP] + 1}
    with pytest.raises(ProofError, match="positions give"):
        check_extreme(system, replace(extreme, positions=moved))
    lax = solve(system, [Ask(BAND_TOP, LEDGER_TOP, "least")]).extremes[0]
    with pytest.raises(ProofError, match="positions given reach"):
        check_extreme(system, replace(extreme, positions=lax.positions))


def test_an_open_answer_must_really_be_open() -> None:
    extreme = solve([LOW], [Ask("a", "b")]).extremes[0]
    check_extreme([LOW], extreme)
    with pytest.raises(ProofError, match="within reach"):
        check_extreme([LOW, HIGH], extreme)
    with pytest.raises(ProofError, match="slides with one datum"):
        check_extreme([LOW], replace(extreme, sliding=frozenset("ab")))
    tied = Distance("b", "a", F(-4), None, "not four above")
    with pytest.raises(ProofError, match="within reach"):
        check_extreme([LOW, tied], extreme)


def test_a_solution_is_one_thing_or_the_other() -> None:
    both = Solution({"a": F(0), "b": F(3)}, Conflict((Link(LOW, "least"),), F(3)), ())
    with pytest.raises(ProofError, match="cannot both"):
        check_solution([LOW], both)
    with pytest.raises(ProofError, match="needs a conflict"):
        check_solution([LOW], Solution(None, None, ()))
    with pytest.raises(ProofError, match="no position is given"):
        check_positions([LOW], {"a": F(0)})
    with pytest.raises(ProofError, match="positions give"):
        check_positions([HIGH], {"a": F(0), "b": F(3)})
