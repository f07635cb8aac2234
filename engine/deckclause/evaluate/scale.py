"""Ticks: whole numbers in place of fractions, so that comparing is fast and stays exact.

Each dimension has a tick; a figure that is not a whole number of ticks stays a Fraction of a
tick, which compares exactly with whole ones. So ticks can never change an answer.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from math import lcm

from msgspec import Struct

from deckclause.rulesets.clauses import Scalar
from deckclause.rulesets.vocabulary import QuantityDefinition

LENGTH_TICKS = 64 * 127
"""Ticks an inch: 1/64 in and 1 mm (5/127 in) are both whole numbers of them."""
LOAD_TICKS = 144 * 100
"""Ticks a pound per square inch: 1/100 psf is a whole number of them."""
OTHER_TICKS = 1
LARGEST = 10**12

_BASE = {"length": LENGTH_TICKS, "load": LOAD_TICKS}


class Scale(Struct, frozen=True):
    """Ticks per inch-pound-degree unit, by kind of quantity."""

    length: int = LENGTH_TICKS
    load: int = LOAD_TICKS

    def of(self, kind: str) -> int:
        """Return the ticks of a kind; kinds that are rarely compared count in their own unit."""
        if kind == "length":
            return self.length
        return self.load if kind == "load" else OTHER_TICKS

    def is_measured(self, kind: str) -> bool:
        """Tell whether a kind is counted in ticks rather than in its own unit."""
        return kind in _BASE

    def ticks(self, value: Scalar, definition: QuantityDefinition) -> Scalar | int:
        """Turn a value into ticks: a whole number where it is one, else an exact fraction."""
        if not isinstance(value, Fraction):
            return value
        return _times(value, self.of(definition.kind))

    def length_ticks(self, value: Fraction) -> int | Fraction:
        """Turn a length in inches into ticks."""
        return _times(value, self.length)

    def back(self, ticks: int | Fraction, kind: str) -> Fraction:
        """Turn ticks back into inch-pound-degree units."""
        return Fraction(ticks.numerator, ticks.denominator * self.of(kind))


def _times(value: Fraction, ticks: int) -> int | Fraction:
    """Multiply by a whole number; quicker than Fraction's own product where the result is whole."""
    number, denominator = value.numerator * ticks, value.denominator
    whole, rest = divmod(number, denominator)
    return Fraction(number, denominator) if rest else whole


def scale_for(lengths: Iterable[Fraction], loads: Iterable[Fraction]) -> Scale:
    """Return the coarsest scale, no coarser than the usual, on which the figures are whole."""
    return Scale(_finest(LENGTH_TICKS, lengths), _finest(LOAD_TICKS, loads))


def _finest(base: int, values: Iterable[Fraction]) -> int:
    total = base
    for value in values:
        finer = lcm(total, value.denominator)
        if finer <= LARGEST:
            total = finer
    return total
