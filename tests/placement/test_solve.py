"""The solver against plain rational arithmetic, linear programming and its own proofs."""

from __future__ import annotations

import random
from fractions import Fraction as F
from itertools import permutations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace
from scipy.optimize import linprog

from deckclause.placement.answers import Ask
from deckclause.placement.constraints import Distance
from deckclause.placement.proof import check_positions, check_solution
from deckclause.placement.solve import solve
from placement.random_systems import distances, random_system
from support.sizes import cases

INSTANCES = cases(1000, by_name=4000)


def all_asks(system: list[Distance]) -> list[Ask]:
    names = sorted({d.start for d in system} | {d.end for d in system})
    return [Ask(a, b, s) for a, b in permutations(names, 2) for s in ("least", "greatest")]  # type: ignore[arg-type]


@given(distances())
def test_every_answer_is_proved(system: list[Distance]) -> None:
    check_solution(system, solve(system))
    if solve(system).is_feasible:
        check_solution(system, solve(system, all_asks(system)))


@given(distances())
def test_ticks_agree_with_plain_rationals(system: list[Distance]) -> None:
    """All-pairs shortest paths over Fractions, in the plainest form (Floyd-Warshall)."""
    names = sorted({d.start for d in system} | {d.end for d in system})
    best: dict[tuple[str, str], F] = {(n, n): F(0) for n in names}
    for d in system:
        for tail, head, length in ((d.start, d.end, d.most), (d.end, d.start, d.least)):
            if length is not None:
                signed = length if length is d.most and tail == d.start else -length
                best[tail, head] = min(best.get((tail, head), signed), signed)
    for k in names:
        for i in names:
            for j in names:
                if (i, k) in best and (k, j) in best:
                    through = best[i, k] + best[k, j]
                    best[i, j] = min(best.get((i, j), through), through)
    feasible = all(best[n, n] >= 0 for n in names)
    answer = solve(system, all_asks(system))
    assert answer.is_feasible is feasible
    for extreme in answer.extremes:
        a, b = extreme.ask.start, extreme.ask.end
        expected = (
            best.get((a, b))
            if extreme.ask.sense == "greatest"
            else (-best[b, a] if (b, a) in best else None)
        )
        assert extreme.value == expected


def rows_of(system: list[Distance], names: list[str]) -> tuple[np.ndarray, np.ndarray]:
    rows, limits = [], []
    for d in system:
        for sign, length in ((1, d.most), (-1, d.least)):
            if length is not None:
                row = np.zeros(len(names))
                row[names.index(d.end)], row[names.index(d.start)] = sign, -sign
                rows.append(row)
                limits.append(sign * float(length))
    return np.array(rows), np.array(limits)


def test_feasibility_and_ranges_agree_with_linear_programming() -> None:
    """scipy.optimize.linprog (HiGHS) on random systems, sixteenths of an inch, some in conflict."""
    rng = random.Random(2012)
    infeasible = unbounded = 0
    for _ in range(INSTANCES):
        system = random_system(rng, rng.randint(3, 6), rng.randint(3, 10))
        names = sorted({d.start for d in system} | {d.end for d in system})
        start, end = rng.sample(names, 2)
        rows, limits = rows_of(system, names)
        goal = np.zeros(len(names))
        goal[names.index(end)], goal[names.index(start)] = -1, 1
        found = linprog(goal, rows, limits, bounds=(None, None), method="highs")
        answer = solve(system, [Ask(start, end)])
        if answer.is_feasible and answer.extremes[0].value is None:
            assert found.status in (3, 4), system
            unbounded += 1
        elif answer.is_feasible:
            assert found.status == 0, system
            assert abs(-found.fun - float(answer.extremes[0].value or 0)) < 1e-7
        else:
            assert found.status in (2, 4), system
            infeasible += 1
        check_solution(system, answer)
    assert infeasible > INSTANCES / 20
    assert unbounded > INSTANCES / 20


@given(distances(), st.data())
def test_loosening_never_shrinks_a_range(system: list[Distance], data: st.DataObject) -> None:
    before = solve(system, all_asks(system))
    index = data.draw(st.integers(0, len(system) - 1))
    by = data.draw(st.fractions(min_value=0, max_value=3, max_denominator=8))
    d = system[index]
    looser = replace(
        d,
        least=None if d.least is None else d.least - by,
        most=None if d.most is None else d.most + by,
    )
    after_system = [*system[:index], looser, *system[index + 1 :]]
    after = solve(after_system, all_asks(after_system))
    if not before.is_feasible:
        return
    assert after.is_feasible
    for old, new in zip(before.extremes, after.extremes, strict=True):
        if new.value is None or old.value is None:
            assert new.value is None
        elif new.ask.sense == "greatest":
            assert new.value >= old.value
        else:
            assert new.value <= old.value


def test_unbounded_is_said_with_the_datums_that_slide() -> None:
    answer = solve([Distance("a", "b", F(2), None, "at least")], [Ask("a", "b")])
    assert answer.extremes[0].value is None
    assert answer.extremes[0].sliding == {"b"}


def test_an_unknown_datum_is_named_with_those_known() -> None:
    with pytest.raises(KeyError, match=r"'c'.*a, b"):
        solve([Distance("a", "b", F(2), None, "at least")], [Ask("a", "c")])


def test_the_shortest_proof_is_given() -> None:
    system = [
        Distance("a", "b", None, F(1), "first half"),
        Distance("b", "c", None, F(1), "second half"),
        Distance("a", "c", None, F(2), "at once"),
    ]
    extreme = solve(system, [Ask("a", "c")]).extremes[0]
    assert [k.distance.label for k in extreme.chain] == ["at once"]


def test_positions_keep_every_limit_on_a_loose_end() -> None:
    system = [
        Distance("a", "b", None, F(1), "a to b"),
        Distance("c", "b", None, F(-4), "c well below b"),
    ]
    extreme = solve(system, [Ask("a", "b")]).extremes[0]
    check_positions(system, extreme.positions)
