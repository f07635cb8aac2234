"""A quantity: one exact rational number in inch, pound and degree, with its dimension."""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

Exact = int | Fraction


class Dimension(NamedTuple):
    """Exponents of length (inch), force (pound) and angle (degree)."""

    length: int = 0
    force: int = 0
    angle: int = 0


NUMBER = Dimension()
LENGTH = Dimension(length=1)
AREA = Dimension(length=2)
VOLUME = Dimension(length=3)
INERTIA = Dimension(length=4)
FORCE = Dimension(force=1)
MOMENT = Dimension(length=1, force=1)
LINE_LOAD = Dimension(length=-1, force=1)
PRESSURE = Dimension(length=-2, force=1)
DENSITY = Dimension(length=-3, force=1)
ANGLE = Dimension(angle=1)

_NAMES = {
    NUMBER: "a plain number",
    LENGTH: "a length",
    AREA: "an area",
    VOLUME: "a volume",
    INERTIA: "a second moment of area",
    FORCE: "a force",
    MOMENT: "a moment",
    LINE_LOAD: "a load per length",
    PRESSURE: "a load per area",
    DENSITY: "a weight per volume",
    ANGLE: "an angle",
}


def dimension_name(dimension: Dimension) -> str:
    """Name a dimension in words.

    >>> dimension_name(LENGTH)
    'a length'
    """
    return _NAMES.get(dimension, f"a quantity of dimension {tuple(dimension)}")


class DimensionError(TypeError):
    """Two quantities of different kinds were added, compared or exchanged."""


class Quantity:
    """An exact quantity: `value` in inch, pound, degree units of `dimension`.

    Sums and comparisons need equal dimensions; products and quotients combine them.
    Raises DimensionError on a mismatch, TypeError on a float (floats never decide compliance).

    >>> from deckclause.quantities import parse_quantity
    >>> parse_quantity("6-1/2 in") + parse_quantity("1 ft") == parse_quantity("18.5 in")
    True
    >>> parse_quantity("1 ft") < parse_quantity("40 psf")
    Traceback (most recent call last):
    ...
    deckclause.quantities.quantity.DimensionError: a length cannot be compared with a load per area
    """

    __slots__ = ("dimension", "value")
    value: Fraction
    dimension: Dimension

    def __init__(self, value: Exact, dimension: Dimension) -> None:
        object.__setattr__(self, "value", _exact(value))
        object.__setattr__(self, "dimension", dimension)

    def __setattr__(self, name: str, value: object) -> None:
        raise AttributeError(f"a quantity is not changed in place ({name})")

    def __delattr__(self, name: str) -> None:
        raise AttributeError(f"a quantity is not changed in place ({name})")

    def __reduce__(self) -> tuple[type[Quantity], tuple[Fraction, Dimension]]:
        return Quantity, (self.value, self.dimension)

    def __repr__(self) -> str:
        return f"Quantity({self.value!s}, {dimension_name(self.dimension)})"

    def __hash__(self) -> int:
        return hash((self.value, self.dimension))

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Quantity):
            return NotImplemented
        return self.value == other.value and self.dimension == other.dimension

    def _same(self, other: Quantity, verb: str) -> Fraction:
        if not isinstance(other, Quantity):
            raise DimensionError(f"{dimension_name(self.dimension)} cannot be {verb} {other!r}")
        if other.dimension != self.dimension:
            raise DimensionError(
                f"{dimension_name(self.dimension)} cannot be {verb} "
                f"{dimension_name(other.dimension)}"
            )
        return other.value

    def __lt__(self, other: Quantity) -> bool:
        return self.value < self._same(other, "compared with")

    def __le__(self, other: Quantity) -> bool:
        return self.value <= self._same(other, "compared with")

    def __gt__(self, other: Quantity) -> bool:
        return self.value > self._same(other, "compared with")

    def __ge__(self, other: Quantity) -> bool:
        return self.value >= self._same(other, "compared with")

    def __add__(self, other: Quantity) -> Quantity:
        return Quantity(self.value + self._same(other, "added to"), self.dimension)

    def __sub__(self, other: Quantity) -> Quantity:
        return Quantity(self.value - self._same(other, "lessened by"), self.dimension)

    def __neg__(self) -> Quantity:
        return Quantity(-self.value, self.dimension)

    def __abs__(self) -> Quantity:
        return Quantity(abs(self.value), self.dimension)

    def __bool__(self) -> bool:
        return bool(self.value)

    def __mul__(self, other: Quantity | Exact) -> Quantity:
        if isinstance(other, Quantity):
            return Quantity(self.value * other.value, _combine(self.dimension, other.dimension, 1))
        return Quantity(self.value * _exact(other), self.dimension)

    __rmul__ = __mul__

    def __truediv__(self, other: Quantity | Exact) -> Quantity:
        if isinstance(other, Quantity):
            return Quantity(self.value / other.value, _combine(self.dimension, other.dimension, -1))
        return Quantity(self.value / _exact(other), self.dimension)

    def need(self, dimension: Dimension, what: str) -> Fraction:
        """Return the value in inch-pound-degree units; raise DimensionError if of another kind.

        >>> Quantity(3, LENGTH).need(LENGTH, "joist span")
        Fraction(3, 1)
        """
        if self.dimension != dimension:
            raise DimensionError(
                f"{what}: {dimension_name(dimension)} is needed, not {dimension_name(self.dimension)}"
            )
        return self.value


def _exact(value: Exact) -> Fraction:
    if not isinstance(value, int | Fraction) or isinstance(value, bool):
        raise TypeError(f"a quantity is exact: {value!r} is a {type(value).__name__}")
    return Fraction(value)


def _combine(left: Dimension, right: Dimension, sign: int) -> Dimension:
    return Dimension(*(a + sign * b for a, b in zip(left, right, strict=True)))
