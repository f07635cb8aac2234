"""Rigid bodies and their closure against the solver with proofs, on random systems."""

from __future__ import annotations

import random
from fractions import Fraction as F
from itertools import permutations

from hypothesis import given

from deckclause.placement.answers import Ask
from deckclause.placement.bodies import Bodies
from deckclause.placement.constraints import Distance, fixed
from deckclause.placement.solve import solve
from placement.random_systems import distances, random_system


def check(system: list[Distance]) -> bool:
    boards = [d for d in system if d.kind == "boards"]
    clauses = [d for d in system if d.kind == "clause"]
    bodies = Bodies(boards, clauses)
    matrix = bodies.closed(p for d in clauses for p in bodies.pulls(d))
    datums = sorted({d.start for d in system} | {d.end for d in system})
    asks = [Ask(a, b) for a, b in permutations(datums, 2)]
    answer = solve(system, asks)
    assert (matrix is not None) is answer.is_feasible
    if matrix is not None:
        found = [bodies.greatest(matrix, a.start, a.end) for a in asks]
        assert found == [e.value for e in answer.extremes]
    return answer.is_feasible


def test_agree_with_the_solver_on_random_systems() -> None:
    rng = random.Random(7)
    held = [check(random_system(rng)) for _ in range(400)]
    assert 50 < sum(held) < 350


@given(distances())
def test_agree_with_the_solver_on_any_system(system: list[Distance]) -> None:
    check(system)


def test_boards_that_contradict_one_another_never_close() -> None:
    boards = [fixed("a", "b", 2, "one"), fixed("a", "b", 3, "two")]
    assert Bodies(boards, ()).closed(()) is None


def test_a_limit_not_in_whole_ticks_stays_exact() -> None:
    bodies = Bodies([fixed("a", "b", 2, "board"), fixed("c", "d", 1, "board")], ())
    third = Distance("b", "c", None, F(1, 3), "a third")
    matrix = bodies.closed(bodies.pulls(third))
    assert matrix is not None
    assert bodies.greatest(matrix, "a", "d") == 2 + F(1, 3) + 1


def test_an_unknown_datum_is_not_tied() -> None:
    bodies = Bodies([fixed("a", "b", 2, "board")], ())
    matrix = bodies.closed(())
    assert matrix is not None
    assert bodies.greatest(matrix, "a", "z") is None
