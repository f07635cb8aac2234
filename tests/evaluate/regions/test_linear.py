"""Fourier-Motzkin against scipy's linear programming, and points that satisfy what they solve."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog

from deckclause.evaluate.regions.linear import Form, Inequality, solve

NAMES = ("a", "b", "c")
SHARES = st.integers(-3, 3).map(Fraction)


@st.composite
def rows(draw: st.DrawFn) -> list[Inequality]:
    found = []
    for _ in range(draw(st.integers(1, 6))):
        form = Form.fixed(Fraction(draw(st.integers(-8, 8))))
        for name in NAMES:
            form = form.plus(Form.of(name).times(draw(SHARES)))
        found.append(Inequality(form, draw(st.booleans())))
    return found


@settings(max_examples=300, deadline=None)
@given(rows())
def test_solving_agrees_with_linear_programming(system: list[Inequality]) -> None:
    """scipy.optimize.linprog (HiGHS): the greatest slack by which strict rows can hold."""
    point = solve(system)
    if point is not None:
        values = {name: point.get(name, Fraction(0)) for name in NAMES}
        assert all(row.holds(values) for row in system)
    matrix = [
        [float(dict(r.form.terms).get(n, 0)) for n in NAMES] + [float(r.strict)] for r in system
    ]
    bound = [-float(r.form.constant) for r in system]
    result = linprog(
        np.array([0, 0, 0, -1.0]),
        A_ub=np.array(matrix),
        b_ub=np.array(bound),
        bounds=[(None, None)] * 3 + [(0, 1)],
    )
    any_strict = any(r.strict for r in system)
    feasible = result.status == 0 and (not any_strict or -result.fun > 1e-9)
    assert (point is not None) == feasible


@given(rows())
def test_a_negated_inequality_holds_exactly_where_it_does_not(system: list[Inequality]) -> None:
    for row in system:
        for x in range(-2, 3):
            point = {name: Fraction(x) for name in NAMES}
            assert row.holds(point) != row.negated().holds(point)
