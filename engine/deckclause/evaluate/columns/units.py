"""The ticks each quantity's column counts in, so that its usual values are whole numbers."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from math import lcm

from msgspec import Struct

from deckclause.evaluate.scale import LENGTH_TICKS, LOAD_TICKS
from deckclause.reading.fold import nodes
from deckclause.reading.forms import Cell, Constant, Fact, Limits, Rule, Value, Within
from deckclause.rulesets.clauses import Scalar
from deckclause.rulesets.vocabulary import QuantityDefinition

LARGEST_TICKS = 2**40
"""A measure of more ticks than this is left to the scalar evaluator."""
FINEST = 10**9

# 1/64 in and 1 mm; 1/100 psf; square 1/64 in and 1/100 sq in; 1/100 lb; 1/100 plf; seconds of
# arc and 1/100 degree; thirds, and 1/1000.
_BASE = {
    "length": LENGTH_TICKS,
    "load": LOAD_TICKS,
    "area": 64 * 64 * 25,
    "force": 100,
    "line_load": 1200,
    "angle": 3600,
    "ratio": 12_000,
}


class Units(Struct, frozen=True):
    """Ticks per inch-pound-degree unit, by quantity; they only ever get finer."""

    ticks: dict[str, int]

    def of(self, quantity: str) -> int:
        """Return the ticks of a quantity."""
        return self.ticks.get(quantity, 1)

    def refine(self, quantity: str, values: Iterable[Scalar]) -> None:
        """Make a quantity's ticks finer where values of it are no whole ticks, within reason."""
        ticks = self.ticks.get(quantity, 1)
        for value in values:
            if isinstance(value, Fraction) and ticks % value.denominator:
                finer = lcm(ticks, value.denominator)
                if finer <= FINEST and abs(value) * finer <= LARGEST_TICKS:
                    ticks = finer
        self.ticks[quantity] = ticks


def units_for(rules: Iterable[Rule], quantities: dict[str, QuantityDefinition]) -> Units:
    """Return units in which the figures each quantity is held against are whole numbers."""
    ticks = {name: _BASE.get(definition.kind, 1) for name, definition in quantities.items()}
    for rule in rules:
        for quantity, figure in held_against(rule):
            finer = lcm(ticks[quantity], figure.denominator)
            if finer <= FINEST:
                ticks[quantity] = finer
    return Units(ticks)


def held_against(rule: Rule) -> Iterator[tuple[str, Fraction]]:
    """Yield each quantity with each figure a rule holds it against: bounds, limits, table keys."""
    for node in nodes(rule):
        match node:
            case Within(Fact(name), low, _, high, _):
                yield from _figures(name, low, high)
            case Limits(Fact(name), least, most, exactly):
                yield from _figures(name, least, most, exactly)
            case Cell(_, keys, _):
                for key in keys:
                    axis = key.entered.name if isinstance(key.entered, Fact) else ""
                    yield from ((axis, k) for k in key.keys if axis and isinstance(k, Fraction))


def _figures(quantity: str, *bounds: Value | None) -> Iterator[tuple[str, Fraction]]:
    for bound in bounds:
        if isinstance(bound, Constant) and isinstance(bound.value, Fraction):
            yield quantity, bound.value
