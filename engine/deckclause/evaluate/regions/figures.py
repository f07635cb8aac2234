"""Conditions and values read on a region. Mirrors the generated evaluator, all inputs known."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from deckclause.evaluate.regions.linear import Form
from deckclause.evaluate.regions.view import View
from deckclause.evaluate.runtime import BEYOND, FORBIDDEN, UNSEEN, Special
from deckclause.rulesets.clauses import (
    NOT_PERMITTED,
    NOT_SEEN,
    AllOf,
    AnyOf,
    Arithmetic,
    Axis,
    ByChoice,
    Cases,
    Condition,
    Fixed,
    Lookup,
    Not,
    Reads,
    Table,
    Test,
    Value,
)

Figure = Form | str | bool | Special | None
"""A linear form, a choice, yes/no, no figure for a reason, or unknown."""
FREE = object()
"""What a fact source answers for a quantity that is an input of its own."""


class Beyond(Exception):
    """A quantity that a clause could not provide was read: outside what is prescribed."""


class NotLinear(Exception):
    """A product of two quantities: its regions are not cut by straight lines."""


class Reader:
    """Reads conditions and values on one region; `source` gives what clauses and places provide."""

    def __init__(self, view: View, source: Callable[[str], object] | None = None) -> None:
        self.view = view
        self.source = source or (lambda name: FREE)

    # -- facts --------------------------------------------------------------------------------

    def fact(self, name: str) -> Figure:
        """Return a quantity's value as a figure; an input that is a choice is never asked whole."""
        found = self.source(name)
        if found is BEYOND:
            raise Beyond(name)
        if found is not FREE:
            return found  # type: ignore[return-value]
        if self.view.quantities[name].dimension is not None:
            return Form.of(name)
        order = self.view.quantities[name].choices
        if order:
            return self.view.choice(name, order)
        return self.view.is_one_of(name, frozenset((True,)))

    def is_one_of(self, name: str, options: frozenset[str | bool]) -> bool | None:
        """Tell whether a choice is one of `options`; None where it is unknown."""
        found = self.source(name)
        if found is BEYOND:
            raise Beyond(name)
        if found is FREE:
            return self.view.is_one_of(name, options)
        return None if found is None else found in options

    # -- conditions ---------------------------------------------------------------------------

    def condition(self, condition: Condition) -> bool | None:
        """Tell whether a condition holds; None where what it reads is unknown."""
        if isinstance(condition, Test):
            return self._test(condition)
        if isinstance(condition, Not):
            inner = self.condition(condition.part)
            return None if inner is None else not inner
        assert isinstance(condition, AllOf | AnyOf)
        go = isinstance(condition, AllOf)
        result: bool | None = go
        for part in condition.parts:
            found = self.condition(part)
            if found is (not go):
                return found
            if found is None:
                result = None
        return result

    def _test(self, test: Test) -> bool | None:
        if test.options is not None:
            return self.is_one_of(test.quantity, frozenset(test.options))
        fact = self.fact(test.quantity)
        bounds = [
            (bound, open_, low)
            for bound, open_, low in (
                (test.low, test.low_open, True),
                (test.high, test.high_open, False),
            )
            if bound is not None
        ]
        figures = [self.value(bound) for bound, _, _ in bounds]
        if fact is None or any(f is None or f is UNSEEN for f in figures):
            return None
        if any(isinstance(f, Special) for f in figures):
            return False  # nothing lies within a figure that there is not
        for figure, (_, open_, low) in zip(figures, bounds, strict=True):
            one, two = (figure, fact) if low else (fact, figure)
            assert isinstance(one, Form)
            assert isinstance(two, Form)
            if not self.view.at_most(one, two, strict=open_):
                return False
        return True

    # -- values -------------------------------------------------------------------------------

    def value(self, value: Value) -> Figure:
        """Read a value."""
        if isinstance(value, Fixed):
            return Form.fixed(value.value) if isinstance(value.value, Fraction) else value.value
        if isinstance(value, Reads):
            return self.fact(value.quantity)
        if isinstance(value, ByChoice):
            return self._by_choice(value)
        if isinstance(value, Cases):
            for condition, case in value.cases:
                holds = self.condition(condition)
                if holds is None:
                    return None
                if holds:
                    return self.value(case)
            return BEYOND
        if isinstance(value, Arithmetic):
            return self._arithmetic(value)
        return self._lookup(value)

    def _by_choice(self, value: ByChoice) -> Figure:
        for choice, case in value.cases:
            holds = self.is_one_of(value.quantity, frozenset((choice,)))
            if holds is None:
                return None
            if holds:
                return self.value(case)
        return BEYOND

    def _arithmetic(self, value: Arithmetic) -> Figure:
        parts = [self.value(part) for part in value.parts]
        for part in parts:
            if part is None or isinstance(part, Special):
                return part
        forms = [part for part in parts if isinstance(part, Form)]
        total = forms[0]
        for form in forms[1:]:
            total = self._combined(value.operation, total, form)
        return total

    def _combined(self, operation: str, one: Form, two: Form) -> Form:
        if operation == "sum":
            return one.plus(two)
        if operation == "product":
            if one.is_constant:
                return two.times(one.constant)
            if two.is_constant:
                return one.times(two.constant)
            raise NotLinear(operation)
        smaller = self.view.at_most(one, two)
        return one if smaller is (operation == "least") else two

    def _lookup(self, value: Lookup) -> Figure:
        table = value.table
        fixed = dict(value.fixed)
        facts: list[Figure] = []
        for axis in table.axes:
            key = fixed.get(axis.quantity)
            if key is None:
                facts.append(self.fact(axis.quantity))
            else:
                facts.append(key if isinstance(key, str) else Form.fixed(key))
        if any(fact is None for fact in facts):
            return None
        places: list[int] = []
        for axis, fact in zip(table.axes, facts, strict=True):
            if axis.between == "interpolate" and axis is table.axes[-1]:
                return self._interpolated(value, tuple(places), fact)
            place = self.place(axis, fact)
            if place is None:
                return BEYOND
            places.append(place)
        return self.cell(table, table.position(tuple(places)))

    def place(self, axis: Axis, fact: Figure) -> int | None:
        """Return which key of an axis is read; None beyond its keys."""
        if isinstance(fact, str):
            return axis.keys.index(fact) if fact in axis.keys else None
        assert isinstance(fact, Form)
        forms = [Form.fixed(key) for key in axis.keys if isinstance(key, Fraction)]
        if axis.between == "next_larger":
            for i, key in enumerate(forms):
                if self.view.at_most(fact, key):
                    return i
            return None
        if axis.between == "next_smaller":
            place: int | None = None
            for i, key in enumerate(forms):
                if not self.view.at_most(key, fact):
                    break
                place = i
            return place
        for i, key in enumerate(forms):
            if self.view.at_most(fact, key):
                return i if self.view.at_most(key, fact) else None
        return None

    def _interpolated(self, value: Lookup, places: tuple[int, ...], fact: Figure) -> Figure:
        table = value.table
        axis = table.axes[-1]
        keys = [key for key in axis.keys if isinstance(key, Fraction)]
        assert isinstance(fact, Form)
        if not self.view.at_most(Form.fixed(keys[0]), fact):
            return BEYOND
        for upper, key in enumerate(keys):
            if not self.view.at_most(fact, Form.fixed(key)):
                continue
            high = self.cell(table, table.position((*places, upper)))
            if upper == 0 or self.view.at_most(Form.fixed(key), fact):
                return high
            low = self.cell(table, table.position((*places, upper - 1)))
            for figure in (low, high):
                if not isinstance(figure, Form):
                    return figure
            assert isinstance(low, Form)
            assert isinstance(high, Form)
            slope = (high.constant - low.constant) / (key - keys[upper - 1])
            return low.plus(fact.minus(Form.fixed(keys[upper - 1])).times(slope))
        return BEYOND

    def cell(self, table: Table, place: int) -> Figure:
        """Return the figure of one cell."""
        cell = table.cells[place]
        if isinstance(cell, Fraction):
            return Form.fixed(cell)
        return {NOT_PERMITTED: FORBIDDEN, NOT_SEEN: UNSEEN}.get(cell, cell)
