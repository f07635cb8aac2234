"""The least sum of amounts, held against scipy's linear programming (HiGHS) on random sections."""

from __future__ import annotations

from fractions import Fraction as F
from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import linprog

from deckclause.placement.constraints import Distance
from deckclause.placement.solve import solve
from deckclause.variance.least_sum import least_sum, let_out
from deckclause.variance.settle import reach

DATUMS = ("band top", "band bottom", "ledger top", "ledger bottom", "upper row", "lower row")
EIGHTHS = st.integers(-80, 80).map(lambda n: F(n, 8))


@st.composite
def _distances(draw: st.DrawFn) -> Distance:
    start, end = draw(st.lists(st.sampled_from(DATUMS), min_size=2, max_size=2, unique=True))
    low, high = sorted((draw(EIGHTHS), draw(EIGHTHS)))
    which = draw(st.sampled_from(("least", "most", "both")))
    return Distance(start, end, None if which == "most" else low, None if which == "least" else high, "a limit")  # fmt: skip


def _by_linprog(fixed: list[Distance], loose: list[Distance]) -> float | None:
    """Positions are free, one amount for each bound of each loose limit; amounts are minimised."""
    places = {name: i for i, name in enumerate(DATUMS)}
    bounds_of = [(d, b) for d in loose for b in ("least", "most") if getattr(d, b) is not None]
    width = len(DATUMS) + len(bounds_of)
    rows, right = [], []
    for item in [*fixed, *loose]:
        for bound, sign in (("most", 1), ("least", -1)):
            value = getattr(item, bound)
            if value is None:
                continue
            row = [0.0] * width
            row[places[item.end]], row[places[item.start]] = sign, -sign
            for index, (other, side) in enumerate(bounds_of):
                if other is item and side == bound:
                    row[len(DATUMS) + index] = -1.0
            rows.append(row)
            right.append(sign * float(value))
    cost = [0.0] * len(DATUMS) + [1.0] * len(bounds_of)
    limits = [(None, None)] * len(DATUMS) + [(0, None)] * len(bounds_of)
    found = linprog(cost, A_ub=rows, b_ub=right, bounds=limits, method="highs")
    assert found.status in (0, 2), found.message
    return float(found.fun) if found.status == 0 else None


@given(
    st.lists(_distances(), min_size=1, max_size=7), st.lists(_distances(), min_size=1, max_size=3)
)
def test_the_least_sum_is_that_of_a_linear_program(
    fixed: list[Distance], loose: list[Distance]
) -> None:
    expected = _by_linprog(fixed, loose)
    found = least_sum(fixed, loose)
    assert (found is None) is (expected is None)
    if found is not None:
        assert float(sum(found.values())) == pytest.approx(expected, abs=1e-7)
        assert all(amount > 0 for amount in found.values())
        relaxed = [let_out(d, n, found) for n, d in enumerate(loose)]
        assert solve([*fixed, *relaxed]).is_feasible


def test_no_order_of_clauses_reaches_the_least_sum() -> None:
    """Three limits, each pair of them 2 in short: 1 in of each is 3 in; one by one it is 4 in."""
    names = ("a", "b", "c")
    loose = [Distance(n, f"{n} end", None, F(0), n) for n in names]
    pairs = [(one, two) for one in names for two in names if one != two]
    fixed = [Distance(f"{one} end", two, None, F(-1), "between") for one, two in pairs]
    assert set(least_sum(fixed, loose).values()) == {F(1)}
    assert sum(_one_by_one(fixed, loose)) == F(4)


def _one_by_one(fixed: list[Distance], loose: list[Distance]) -> list[F]:
    best: list[F] | None = None
    for order in permutations(loose):
        kept, amounts = list(fixed), []
        for item in order:
            low, _ = reach(kept, item.start, item.end)
            short = max(F(0), low - item.most) if low is not None else F(0)
            amounts.append(short)
            kept.append(Distance(item.start, item.end, None, item.most + short, "let out"))
        if best is None or sum(amounts) < sum(best):
            best = amounts
    return best
