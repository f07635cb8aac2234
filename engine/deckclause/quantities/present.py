"""Print quantities as a carpenter reads them, or in SI on request."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache

from deckclause.quantities.quantity import (
    ANGLE,
    AREA,
    DENSITY,
    FORCE,
    INERTIA,
    LENGTH,
    LINE_LOAD,
    MOMENT,
    NUMBER,
    PRESSURE,
    VOLUME,
    Dimension,
    Quantity,
    dimension_name,
)
from deckclause.quantities.units import UNITS

FINEST = 64
"""Lengths that are a whole number of 1/64 in print exactly."""

WHOLE_PARTS = 16
"""A share of so many parts at most is read more easily as a fraction than as a decimal."""

DECIMAL_PLACES = 4
"""Small lengths a table gives as decimals, such as 0.019 in sheet metal, print exactly so."""


@lru_cache(maxsize=4096)
def length_text(value: Fraction | int, style: str = "in") -> str:
    """Print a length given in inches: style `in` (16 in) or `ft` (11 ft 10 in).

    A length that is neither a whole number of 1/64 in nor a short decimal below an inch
    prints as `about` the nearest 1/16 in (smaller ones as a decimal), never as zero.
    Raises ValueError for another style.

    >>> length_text(Fraction(13, 2))
    '6-1/2 in'
    >>> length_text(142, "ft")
    '11 ft 10 in'
    >>> length_text(Fraction(19, 1000))
    '0.019 in'
    >>> length_text(Fraction(700, 127))
    'about 5-1/2 in'
    """
    if style not in ("in", "ft"):
        raise ValueError(f"a length prints in style in or ft, not {style}")
    value = Fraction(value)
    prefix = ""
    if (value * FINEST).denominator != 1:
        if abs(value) < 1 and (value * 10**DECIMAL_PLACES).denominator == 1:
            return f"{decimal_text(value, DECIMAL_PLACES)} in"
        if abs(value) < Fraction(1, 16):
            return _tiny(value)
        value = Fraction(round(value * 16), 16)
        prefix = "about "
    sign = "-" if value < 0 else ""
    value = abs(value)
    if style == "ft" and value >= 12:
        feet, inches = divmod(value, 12)
        tail = f" {_mixed(inches)} in" if inches else ""
        return f"{prefix}{sign}{feet} ft{tail}"
    return f"{prefix}{sign}{_mixed(value)} in"


def _tiny(value: Fraction) -> str:
    text = decimal_text(value, DECIMAL_PLACES)
    return f"about {text} in" if text != "0" else "less than 0.0001 in"


def _mixed(value: Fraction) -> str:
    whole, rest = divmod(value, 1)
    if not rest:
        return str(whole)
    return f"{whole}-{rest}" if whole else str(rest)


def decimal_text(value: Fraction, places: int = 2) -> str:
    """Print a rational as a decimal, trailing zeros cut; exact digits, no float.

    >>> decimal_text(Fraction(2, 3))
    '0.67'
    """
    scale = 10**places
    scaled = round(value * scale)
    sign = "-" if scaled < 0 else ""
    whole, rest = divmod(abs(scaled), scale)
    digits = f"{rest:0{places}d}".rstrip("0") if places else ""
    return f"{sign}{whole:,}" + (f".{digits}" if digits else "")


def number_text(value: Fraction) -> str:
    """Print a plain number: a short decimal where that is exact, a small share as a fraction.

    What is neither prints rounded, with digits enough that it never shows as zero.

    >>> [number_text(n) for n in (Fraction(3), Fraction(1, 4), Fraction(1, 360), Fraction(271, 360))]
    ['3', '0.25', '1/360', '0.75']
    """
    if (value * 100).denominator == 1 or not value:
        return decimal_text(value)
    if value.numerator in (1, -1) or value.denominator <= WHOLE_PARTS:
        return str(value)
    places = 2
    while abs(value) * 10 ** (places - 1) < 1:
        places += 1
    return decimal_text(value, places)


_DEFAULT_UNIT: dict[Dimension, str] = {
    LENGTH: "in",
    AREA: "sq ft",
    VOLUME: "ft3",
    INERTIA: "in4",
    FORCE: "lb",
    MOMENT: "ft-lb",
    PRESSURE: "psf",
    LINE_LOAD: "plf",
    DENSITY: "pcf",
    ANGLE: "deg",
    NUMBER: "",
}
_SI_UNIT: dict[Dimension, tuple[str, int]] = {
    LENGTH: ("mm", 1),
    AREA: ("m2", 2),
    FORCE: ("kN", 3),
    PRESSURE: ("kPa", 2),
    LINE_LOAD: ("kN/m", 2),
    ANGLE: ("deg", 1),
    NUMBER: ("", 3),
}
_SI_COARSE: dict[Dimension, tuple[int, int]] = {LENGTH: (0, 1), FORCE: (2, 225)}
"""Decimals from a size on, in inches or pounds: whole millimetres from an inch, 0.01 kN from 1 kN.
A tape and a table in feet and inches are no finer; what complies is decided on exact values."""


def quantity_text(quantity: Quantity, unit: str | None = None, *, si: bool = False) -> str:
    """Print a quantity in the trade's unit (or `unit`), or in SI.

    Raises KeyError for an unknown unit, ValueError for a unit of another kind.

    >>> from deckclause.quantities import parse_quantity
    >>> quantity_text(parse_quantity("40 psf"))
    '40 psf'
    >>> quantity_text(parse_quantity("40 psf"), si=True)
    '1.92 kPa'
    >>> [quantity_text(parse_quantity(text), si=True) for text in ("1/2 in", "9 ft 9 in", "300 lb")]
    ['12.7 mm', '2,972 mm', '1.33 kN']
    """
    if si and quantity.dimension in _SI_UNIT:
        si_unit, places = _SI_UNIT[quantity.dimension]
        coarse, from_inches_or_pounds = _SI_COARSE.get(quantity.dimension, (places, 0))
        if abs(quantity.value) >= from_inches_or_pounds:
            places = coarse
        return _with_unit(quantity, si_unit, places)
    if quantity.dimension == LENGTH and unit in (None, "in", "ft"):
        return length_text(quantity.value, unit or "in")
    unit = unit or _DEFAULT_UNIT.get(quantity.dimension)
    if unit is None:
        return f"{decimal_text(quantity.value, 2)} {_plain_unit(quantity.dimension)}"
    return _with_unit(quantity, unit, 2)


def _plain_unit(dimension: Dimension) -> str:
    """Spell a dimension no trade unit has, such as `lb in^-4`, so that no number stands bare."""
    powers = zip(
        ("lb", "in", "deg"), (dimension.force, dimension.length, dimension.angle), strict=True
    )
    return " ".join(name if power == 1 else f"{name}^{power}" for name, power in powers if power)


def _with_unit(quantity: Quantity, unit: str, places: int) -> str:
    if not unit:
        return number_text(quantity.value)
    known = UNITS[unit.replace(" ", "")]
    if known.dimension != quantity.dimension:
        raise ValueError(f"{unit} is not a unit of {dimension_name(quantity.dimension)}")
    shown = unit.replace("m2", "m²") if unit == "m2" else unit
    return f"{decimal_text(quantity.value / known.factor, places)} {shown}".replace(" %", "%")
