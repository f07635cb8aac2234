"""Conditions and values worked out on exact facts, for what asks about one clause at a time.

The generated evaluator runs whole rule sets and gives one outcome for each clause. Here a caller
also learns which exceptions are undecided and what each branch would ask. The two agree: a test
runs both on the same designs.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from deckclause.evaluate.runtime import (
    BEYOND,
    FORBIDDEN,
    UNSEEN,
    Special,
    combine,
    interpolated,
    place_next_larger,
    place_next_smaller,
)
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
    Test,
    Value,
)

Known = Mapping[str, Any]
"""Facts by quantity in inch-pound-degree units; BEYOND where a clause could not provide one."""
SPECIAL_CELLS = {NOT_PERMITTED: FORBIDDEN, NOT_SEEN: UNSEEN}


class OutsideTables(Exception):
    """A quantity the rule set provides has no figure here; what reads it needs engineering."""

    def __init__(self, quantity: str) -> None:
        super().__init__(quantity)
        self.quantity = quantity


def read(name: str, facts: Known, missing: list[str]) -> Any:
    """Return a fact; where it is unknown, None, and note its name. Raises OutsideTables."""
    value = facts.get(name)
    if value is None:
        missing.append(name)
    elif value is BEYOND:
        raise OutsideTables(name)
    return value


def truth(condition: Condition, facts: Known, missing: list[str]) -> bool | None:
    """Return whether a condition holds, None where that is unknown.

    `missing` gains the names that leave it open, and none where it is decided. Raises
    OutsideTables where it reads a quantity that has no figure here.

    >>> truth(Test("ledger.size", options=("2x8",)), {"ledger.size": "2x8"}, [])
    True
    """
    if isinstance(condition, Test):
        return _test(condition, facts, missing)
    if isinstance(condition, Not):
        inner = truth(condition.part, facts, missing)
        return None if inner is None else not inner
    stop = isinstance(condition, AnyOf)
    assert isinstance(condition, AllOf | AnyOf)
    mark = len(missing)
    result: bool | None = not stop
    for part in condition.parts:
        inner = truth(part, facts, missing)
        if inner is stop:
            del missing[mark:]
            return stop
        if inner is None:
            result = None
    return result


def _test(test: Test, facts: Known, missing: list[str]) -> bool | None:
    fact = read(test.quantity, facts, missing)
    if test.options is not None:
        return None if fact is None else fact in test.options
    low, high = (
        None if bound is None else figure(bound, facts, missing) for bound in (test.low, test.high)
    )
    for bound, value in ((test.low, low), (test.high, high)):
        if bound is not None and (value is None or isinstance(value, Special)):
            return None
    if fact is None:
        return None
    if low is not None and not (fact > low if test.low_open else fact >= low):
        return False
    return high is None or bool(fact < high if test.high_open else fact <= high)


def figure(value: Value, facts: Known, missing: list[str]) -> Any:
    """Return a value: a figure, a choice, None where unknown, or a special result of a table.

    Raises OutsideTables as `truth` does.

    >>> from fractions import Fraction
    >>> depth = ByChoice("ledger.size", (("2x8", Fixed(Fraction(11, 2))),))
    >>> figure(depth, {"ledger.size": "2x6"}, [])
    <beyond>
    """
    if isinstance(value, Fixed):
        return value.value
    if isinstance(value, Reads):
        return read(value.quantity, facts, missing)
    if isinstance(value, ByChoice):
        return _by_choice(value, facts, missing)
    if isinstance(value, Cases):
        return _first_case(value, facts, missing)
    if isinstance(value, Arithmetic):
        parts = tuple(figure(part, facts, missing) for part in value.parts)
        return combine(value.operation, parts)
    return _lookup(value, facts, missing)


def _by_choice(value: ByChoice, facts: Known, missing: list[str]) -> Any:
    chosen = read(value.quantity, facts, missing)
    if chosen is None:
        return None
    for choice, case in value.cases:
        if choice == chosen:
            return figure(case, facts, missing)
    return BEYOND


def _first_case(value: Cases, facts: Known, missing: list[str]) -> Any:
    for condition, case in value.cases:
        holds = truth(condition, facts, missing)
        if holds is None:
            return None
        if holds:
            return figure(case, facts, missing)
    return BEYOND


def _lookup(value: Lookup, facts: Known, missing: list[str]) -> Any:
    fixed = dict(value.fixed)
    keys = [
        fixed[a.quantity] if a.quantity in fixed else read(a.quantity, facts, missing)
        for a in value.table.axes
    ]
    if any(key is None for key in keys):
        return None
    axes, cells = value.table.axes, value.table.cells
    last = axes[-1]
    between = last.between == "interpolate" and last.quantity not in fixed
    places = [_place(a, k) for a, k in zip(axes, keys, strict=True) if not (between and a is last)]
    if any(place < 0 for place in places):
        return BEYOND
    if not between:
        return _cell(cells[value.table.position(tuple(places))])
    start = value.table.position((*places, 0))
    row = tuple(_cell(c) for c in cells[start : start + len(last.keys)])
    return interpolated(last.keys, row, keys[-1])  # type: ignore[arg-type]


def _cell(cell: Any) -> Any:
    return SPECIAL_CELLS.get(cell, cell) if isinstance(cell, str) else cell


def _place(axis: Axis, key: Any) -> int:
    if axis.between == "next_larger" and not isinstance(key, str):
        return place_next_larger(axis.keys, key)  # type: ignore[arg-type]
    if axis.between == "next_smaller" and not isinstance(key, str):
        return place_next_smaller(axis.keys, key)  # type: ignore[arg-type]
    return axis.keys.index(key) if key in axis.keys else -1
