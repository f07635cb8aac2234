"""What a program may count on of the columns it is compiled for: which, how large, how full."""

from __future__ import annotations

from collections.abc import Hashable, Iterable
from fractions import Fraction
from typing import Any

import numpy as np
from msgspec import Struct

from deckclause.evaluate.columns.columns import ChoiceColumn, Column, NumberColumn
from deckclause.evaluate.columns.derive import FactTable, Pair
from deckclause.evaluate.columns.forms import UNKNOWN, Coded, Known, Linear, Ratio
from deckclause.evaluate.columns.graph import FALSE, Graph

Name = tuple[str, str | Pair]
"""(part of the deck, quantity or pair of datums)."""


class Shape(Struct, frozen=True):
    """One column's shape: how large its numbers are, what its codes mean, whether any is unknown."""

    bound: int = 0
    den: int = 0
    den_bound: int = 0
    choices: tuple[str | bool, ...] = ()
    may_miss: bool = False


class Layout(Struct, frozen=True):
    """The shapes of the columns a rule set reads; columns absent are unknown on every row."""

    shapes: tuple[tuple[Name, Shape], ...]

    def key(self) -> Hashable:
        """Tell one layout from another."""
        return self.shapes


def _bound(values: Any) -> int:
    """Return a bound on the size of numbers, coarse so that like blocks share a program."""
    most = max(abs(int(values.max(initial=0))), abs(int(values.min(initial=0))))
    bits = max(8, -(-most.bit_length() // 4) * 4)
    return int(2**bits - 1)


def shape_of(column: Column) -> Shape:
    """Return the shape of a column."""
    if isinstance(column, ChoiceColumn):
        return Shape(choices=column.choices, may_miss=column.may_miss)
    missing = column.known is not None
    if isinstance(column.den, int):
        return Shape(_bound(column.num), column.den, may_miss=missing)
    return Shape(_bound(column.num), 0, _bound(column.den), may_miss=missing)


def layout_of(table: FactTable, names: Iterable[Name]) -> Layout:
    """Return the layout of the columns named that the table has."""
    shapes = []
    for name in sorted(set(names), key=str):
        column = column_named(table, name)
        if column is not None:
            shapes.append((name, shape_of(column)))
    return Layout(tuple(shapes))


def column_named(table: FactTable, name: Name) -> Column | None:
    """Return the column of a name, or None."""
    group, what = name
    if isinstance(what, str):
        return table.columns.get((group, what))
    return table.distances.get((group, what))


def inputs_of(table: FactTable, layout: Layout) -> dict[Any, Any]:
    """Return the arrays a program of this layout runs on."""
    inputs: dict[Any, Any] = {}
    for name, shape in layout.shapes:
        column = column_named(table, name)
        if isinstance(column, ChoiceColumn):
            inputs[name, "codes"] = column.codes
        elif isinstance(column, NumberColumn):
            inputs[name, "num"] = column.num
            if not isinstance(column.den, int):
                inputs[name, "den"] = column.den
            if shape.may_miss:
                known = column.known
                inputs[name, "unknown"] = np.zeros(table.count, bool) if known is None else ~known
    return inputs


def known_column(graph: Graph, name: Name, shape: Shape | None, ticks: int) -> Known:
    """Return the value a column gives; `ticks` are the rule set's ticks of its kind."""
    if shape is None:
        return UNKNOWN
    if shape.choices:
        node = graph.node("in", (name, "codes"))
        none = graph.equal_code(node, len(shape.choices)) if shape.may_miss else FALSE
        return Known(Coded(node, shape.choices), none)
    number = graph.number(shape.bound, "in", (name, "num"))
    none = graph.node("in", (name, "unknown")) if shape.may_miss else FALSE
    if shape.den:
        return Known(Linear(number, Fraction(ticks, shape.den)), none)
    den = graph.number(shape.den_bound, "in", (name, "den"))
    return Known(Ratio(number, den, Fraction(ticks)), none)
