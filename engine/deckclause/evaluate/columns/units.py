"""The ticks each quantity's column counts in, so that its usual values are whole numbers."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import lcm

from deckclause.evaluate.scale import LENGTH_TICKS, LOAD_TICKS
from deckclause.rulesets.clauses import Clause, Fixed, Limit, Lookup, Scalar, Value
from deckclause.rulesets.ruleset import RuleSet
from deckclause.rulesets.vocabulary import QuantityDefinition
from deckclause.rulesets.walk import (
    condition_tests,
    requirement_values,
    requirements,
)

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


@dataclass(frozen=True, slots=True)
class Units:
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


def units_for(rulesets: Iterable[RuleSet], quantities: dict[str, QuantityDefinition]) -> Units:
    """Return units in which the figures each quantity is held against are whole numbers."""
    ticks = {name: _BASE.get(definition.kind, 1) for name, definition in quantities.items()}
    for ruleset in rulesets:
        for clause in ruleset.clauses:
            for quantity, figure in _held_against(clause):
                finer = lcm(ticks[quantity], figure.denominator)
                if finer <= FINEST:
                    ticks[quantity] = finer
    return Units(ticks)


def _held_against(clause: Clause) -> Iterator[tuple[str, Fraction]]:
    conditions = [clause.applies, clause.scope, *(e.when for e in clause.exceptions)]
    for requirement in requirements(clause):
        if isinstance(requirement, Limit) and isinstance(requirement.subject, str):
            for value in requirement_values(requirement):
                yield from _figures(requirement.subject, value)
        condition = getattr(requirement, "condition", None)
        if condition is not None:
            conditions.append(condition)
        for value in requirement_values(requirement):
            yield from _keys(value)
    for condition in conditions:
        for test in condition_tests(condition):
            for bound in (test.low, test.high):
                if bound is not None:
                    yield from _figures(test.quantity, bound)


def _figures(quantity: str, value: Value) -> Iterator[tuple[str, Fraction]]:
    if isinstance(value, Fixed) and isinstance(value.value, Fraction):
        yield quantity, value.value


def _keys(value: Value) -> Iterator[tuple[str, Fraction]]:
    if isinstance(value, Lookup):
        for axis in value.table.axes:
            for key in axis.keys:
                if isinstance(key, Fraction):
                    yield axis.quantity, key
