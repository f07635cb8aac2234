"""Read a quantity as people type it: `6-1/2 in`, `11' 10"`, `1500 psf`, `140 mm`."""

from __future__ import annotations

import re
from fractions import Fraction

from deckclause.quantities.quantity import (
    LENGTH,
    NUMBER,
    Dimension,
    Quantity,
    dimension_name,
)
from deckclause.quantities.units import UNITS

MAX_TEXT = 60
"""A quantity longer than this is not something a person meant (characters)."""

MAX_DIGITS = 12
"""Digits allowed in one number, so that no typed text can cost unbounded time."""

_VULGAR = {
    "¼": "1/4", "½": "1/2", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
    "⅓": "1/3", "⅔": "2/3",
}  # fmt: skip
_NUMBER = (
    r"(?:\d+(?:\s*-\s*|\s+)\d+\s*/\s*\d+|\d+\s*/\s*\d+|\d+(?:,\d{3})+(?:\.\d+)?|\d*\.\d+|\d+\.?)"
)
_TERM = re.compile(rf"\s*({_NUMBER})\s*([^\d\s,][^\d\s]*(?:[23])?)?")
_SQUARE = re.compile(r"\b(?:sq|square)\.?\s*(ft|feet|foot|in|inches|inch|m)\b\.?", re.IGNORECASE)


class QuantityError(ValueError):
    """Text that is not a quantity; the message says what is wrong and what would be right."""


def parse_quantity(text: str, dimension: Dimension | None = None) -> Quantity:
    """Read one quantity; with `dimension`, also require that kind.

    Feet and inches may stand together. A bare number is an error unless a plain number is
    wanted. Raises QuantityError with what is wrong and what would be right.

    >>> parse_quantity("11' 10\\"") == parse_quantity("142 in")
    True
    >>> parse_quantity("6 1/2\\"").value
    Fraction(13, 2)
    >>> parse_quantity("16", LENGTH)
    Traceback (most recent call last):
    ...
    deckclause.quantities.parse.QuantityError: '16' has no unit; write it with one, such as 16 in or 16 ft
    """
    if not isinstance(text, str):
        raise QuantityError(f"{text!r} is not text with a number and a unit")
    if len(text) > MAX_TEXT:
        raise QuantityError(f"'{text[:20]}...' is too long to be a quantity")
    sign, terms = _split(text)
    if not terms:
        raise QuantityError(f"'{text}' is not a number with a unit, such as 6-1/2 in")
    quantity = _total(text, terms)
    if sign < 0:
        quantity = -quantity
    _require(text, quantity, dimension, terms[0][1])
    return quantity


def _split(text: str) -> tuple[int, list[tuple[Fraction, str]]]:
    """Cut the text in (number, unit) terms; an empty list where it does not fit."""
    plain = _SQUARE.sub(lambda m: _square(m.group(1)), text.strip())
    for sign, digits in _VULGAR.items():
        plain = re.sub(rf"(\d)\s*{sign}", rf"\1-{digits}", plain).replace(sign, digits)
    negative = plain.startswith(("-", "−"))
    plain = plain.lstrip("-−") if negative else plain
    terms: list[tuple[Fraction, str]] = []
    position = 0
    while position < len(plain):
        match = _TERM.match(plain, position)
        if match is None:
            return 1, []
        unit = (match.group(2) or "").strip()
        trimmed = unit.rstrip("-,")
        terms.append((_number(match.group(1), text), trimmed))
        position = match.end()
    return (-1 if negative else 1), terms


def _square(unit: str) -> str:
    return {"f": "ft2", "i": "in2", "m": "m2"}[unit[0].lower()]


def _number(text: str, whole: str) -> Fraction:
    compact = text.replace(",", "")
    if sum(c.isdigit() for c in compact) > MAX_DIGITS:
        raise QuantityError(f"'{whole}' has more digits than a measure can have")
    mixed = re.fullmatch(r"(\d+)(?:\s*-\s*|\s+)(\d+)\s*/\s*(\d+)", compact)
    simple = re.fullmatch(r"(\d+)\s*/\s*(\d+)", compact)
    try:
        if mixed:
            return int(mixed[1]) + Fraction(int(mixed[2]), int(mixed[3]))
        if simple:
            return Fraction(int(simple[1]), int(simple[2]))
        return Fraction(compact.rstrip("."))
    except ZeroDivisionError:
        raise QuantityError(f"'{whole}' divides by zero") from None


def _total(text: str, terms: list[tuple[Fraction, str]]) -> Quantity:
    if len(terms) == 1 and not terms[0][1]:
        return Quantity(terms[0][0], NUMBER)
    total: Quantity | None = None
    for index, (number, unit_text) in enumerate(terms):
        unit = (
            UNITS.get(unit_text) or UNITS.get(unit_text.lower()) or UNITS.get(unit_text.rstrip("."))
        )
        if unit is None:
            raise QuantityError(_unknown_unit(text, unit_text))
        part = Quantity(number * unit.factor, unit.dimension)
        if total is not None and not (
            unit.dimension == LENGTH == total.dimension
            and index == 1
            and _is_foot(terms[0][1])
            and unit.factor == 1
        ):
            raise QuantityError(
                f"'{text}' joins parts that do not go together; only feet and inches do"
            )
        total = part if total is None else total + part
    assert total is not None
    return total


def _is_foot(unit_text: str) -> bool:
    unit = UNITS.get(unit_text) or UNITS.get(unit_text.lower())
    return unit is not None and unit.dimension == LENGTH and unit.factor == 12


def _unknown_unit(text: str, unit_text: str) -> str:
    from difflib import get_close_matches

    if not unit_text:
        return f"'{text}' has a number with no unit; write each with one, such as 11 ft 10 in"
    near = get_close_matches(unit_text, UNITS, n=1, cutoff=0.5)
    hint = f" Did you mean {near[0]}?" if near else " Known units include in, ft, mm, psf, lb, kPa."
    return f"'{text}': '{unit_text}' is not a known unit.{hint}"


_EXAMPLES = {
    Dimension(length=1): "in or {n} ft",
    Dimension(length=2): "sq ft",
    Dimension(force=1): "lb",
    Dimension(length=-2, force=1): "psf",
    Dimension(length=-1, force=1): "plf",
    Dimension(angle=1): "deg",
}


def _require(text: str, quantity: Quantity, dimension: Dimension | None, unit_text: str) -> None:
    if dimension is None:
        if quantity.dimension == NUMBER and not unit_text:
            raise QuantityError(f"'{text}' has no unit; write it with one, such as {text} in")
        return
    if quantity.dimension == dimension:
        return
    example = _EXAMPLES.get(dimension, "")
    if quantity.dimension == NUMBER:
        shown = f"{text} {example.format(n=text)}" if example else dimension_name(dimension)
        raise QuantityError(f"'{text}' has no unit; write it with one, such as {shown}")
    raise QuantityError(
        f"'{text}' is {dimension_name(quantity.dimension)}; {dimension_name(dimension)} is needed here"
    )
