"""Read a quantity as people type it: `6-1/2 in`, `11'-10"`, `1500 psf`, `140 mm`."""

from __future__ import annotations

import re
from fractions import Fraction
from functools import cache, lru_cache

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
from deckclause.quantities.units import UNITS, Unit

MAX_TEXT = 60
"""A quantity longer than this is not something a person meant (characters)."""

MAX_DIGITS = 12
"""Digits allowed in one number, so that no typed text can cost unbounded time."""

_VULGAR = {
    "¼": "1/4", "½": "1/2", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
    "⅓": "1/3", "⅔": "2/3", "⅕": "1/5", "⅖": "2/5", "⅗": "3/5", "⅘": "4/5", "⅙": "1/6", "⅚": "5/6",
}  # fmt: skip
_ALIKE = str.maketrans({"⁄": "/", "∕": "/", "‐": "-", "‑": "-", "‒": "-", "–": "-", "⋅": "·"})
"""Characters that word processors put in place of a slash, a hyphen or a raised dot."""

_DASH = r"(?:-\s*|\s+-\s+)"
_MIXED = rf"[0-9]+(?:{_DASH}|\s+)[0-9]+\s*/\s*[0-9]+"
_GROUPED = r"[1-9][0-9]{0,2}(?:,[0-9]{3})+(?![0-9])(?:\.[0-9]+)?"
_NUMBER = rf"(?:{_MIXED}|[0-9]+\s*/\s*[0-9]+|{_GROUPED}|[0-9]*\.[0-9]+|[0-9]+\.?)"
# A 2, 3 or 4 right after letters is an exponent unless it starts a number, as in 5ft3in.
_WORD = r"[^\W\d_]+(?:[234](?!\s*[0-9A-Za-z\"'″”′’]|[-./]\s*[0-9]))?"
_UNIT = rf"(?:''|[\"″”'′’°%]|{_WORD}(?:[/·-]{_WORD})*\.?)"
_TERM = rf"({_NUMBER})\s*({_UNIT})?"
_BETWEEN = rf"(?:\s*,\s*|{_DASH}|\s*)"
_SQUARE = r"(?i:(?<![A-Za-z])sq(?:uare)?\.?\s*(ft|feet|foot|inches|inch|in|mm|m)(?![A-Za-z])\.?)"
_SPACED_SLASH = r"(?<=[A-Za-z])\s*/\s*(?=[A-Za-z])"
_VULGAR_NUMBER = rf"(?:([0-9]+)(?:{_DASH}|\s*))?([{''.join(_VULGAR)}])(?![0-9./{''.join(_VULGAR)}])"


@cache
def _pattern(text: str) -> re.Pattern[str]:
    """Compile a pattern when it is first needed: most runs read no quantity anew."""
    return re.compile(text)


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
        import reprlib

        raise QuantityError(f"{reprlib.repr(text)} is not text with a number and a unit")
    return _parsed(text, dimension)


@lru_cache(4096)
def _parsed(text: str, dimension: Dimension | None) -> Quantity:
    """Read a quantity once: a deck on screen is read again with every edit of one of its facts."""
    shown = _shown(text)
    if len(text) > MAX_TEXT:
        raise QuantityError(f"'{shown[:20]}...' is too long to be a quantity")
    sign, terms = _split(text, shown)
    if not terms:
        raise QuantityError(f"'{shown}' is not a number with a unit, such as 6-1/2 in")
    quantity = _total(shown, terms)
    if sign < 0:
        quantity = -quantity
    _require(shown, quantity, dimension, terms[0][1])
    return quantity


def _shown(text: str) -> str:
    """Return the text as messages may quote it: no control characters, no outer blanks."""
    return "".join(c if c.isprintable() else " " for c in text[: MAX_TEXT + 1]).strip()


def _split(text: str, shown: str) -> tuple[int, list[tuple[Fraction, str]]]:
    """Cut the text in (number, unit) terms; an empty list where it does not fit."""
    plain = text.strip().translate(_ALIKE)
    negative = plain.startswith(("-", "−"))
    plain = plain[1:].lstrip() if negative else plain
    plain = _pattern(_SQUARE).sub(lambda m: _square(m.group(1)), plain)
    plain = _pattern(_SPACED_SLASH).sub("/", plain)
    plain = _pattern(_VULGAR_NUMBER).sub(_spelled_fraction, plain)
    terms: list[tuple[Fraction, str]] = []
    position = 0
    while position < len(plain):
        if terms:
            between = _pattern(_BETWEEN).match(plain, position)
            position = between.end() if between else position
        match = _pattern(_TERM).match(plain, position)
        if match is None:
            return 1, []
        terms.append((_number(match.group(1), shown), match.group(2) or ""))
        position = match.end()
    return (-1 if negative else 1), terms


def _square(unit: str) -> str:
    lowered = unit.lower()
    return {"f": "ft2", "i": "in2"}.get(lowered[0], f"{lowered}2")


def _spelled_fraction(match: re.Match[str]) -> str:
    whole, sign = match.groups()
    return f"{whole}-{_VULGAR[sign]}" if whole else _VULGAR[sign]


def _number(text: str, shown: str) -> Fraction:
    compact = text.replace(",", "")
    if sum(c.isdigit() for c in compact) > MAX_DIGITS:
        raise QuantityError(f"'{shown}' has more digits than a measure can have")
    mixed = re.fullmatch(r"([0-9]+)\s*[-\s]\s*([0-9]+)\s*/\s*([0-9]+)", compact)
    simple = re.fullmatch(r"([0-9]+)\s*/\s*([0-9]+)", compact)
    try:
        if mixed:
            return int(mixed[1]) + _proper(Fraction(int(mixed[2]), int(mixed[3])), shown)
        if simple:
            return Fraction(int(simple[1]), int(simple[2]))
        return Fraction(compact.rstrip("."))
    except ZeroDivisionError:
        raise QuantityError(f"'{shown}' divides by zero") from None


def _proper(part: Fraction, shown: str) -> Fraction:
    if part >= 1:
        raise QuantityError(
            f"'{shown}' has a fraction of one or more after a whole number; "
            "write the fraction below one, as in 6-1/2 in"
        )
    return part


def _total(shown: str, terms: list[tuple[Fraction, str]]) -> Quantity:
    if len(terms) == 1 and not terms[0][1]:
        return Quantity(terms[0][0], NUMBER)
    total: Quantity | None = None
    for index, (number, unit_text) in enumerate(terms):
        unit = _unit_named(unit_text)
        if unit is None:
            raise QuantityError(_unknown_unit(shown, unit_text))
        part = Quantity(number * unit.factor, unit.dimension)
        if total is not None and not (index == 1 and _feet_then_inches(terms)):
            raise QuantityError(
                f"'{shown}' joins parts that do not go together; only feet and inches do"
            )
        total = part if total is None else total + part
    assert total is not None
    return total


def _unit_named(text: str) -> Unit | None:
    for spelling in (text, text.lower(), text.rstrip("."), text.lower().rstrip(".")):
        if spelling in UNITS:
            return UNITS[spelling]
    return None


def _feet_then_inches(terms: list[tuple[Fraction, str]]) -> bool:
    feet, inches = (_unit_named(unit_text) for _, unit_text in terms[:2])
    return feet == Unit(Fraction(12), LENGTH) and inches == Unit(Fraction(1), LENGTH)


def _unknown_unit(shown: str, unit_text: str) -> str:
    if not unit_text and re.search(r"[0-9],[0-9]", shown):
        return (
            f"'{shown}' has a comma that does not group thousands; "
            "write thousands as 1,500 and decimals with a point, as in 0.5 in"
        )
    if not unit_text:
        return f"'{shown}' has a number with no unit; write each with one, such as 11 ft 10 in"
    from difflib import get_close_matches

    lowered = {spelling.lower(): spelling for spelling in UNITS if spelling[0].isalpha()}
    near = get_close_matches(unit_text.lower(), lowered, n=1, cutoff=0.7)
    hint = (
        f" Did you mean {lowered[near[0]]}?"
        if near
        else " Known units include in, ft, mm, psf, lb, kPa."
    )
    return f"'{shown}': '{unit_text}' is not a known unit.{hint}"


_EXAMPLES = {
    LENGTH: "{n} in or {n} ft",
    AREA: "{n} sq ft",
    VOLUME: "{n} ft3",
    INERTIA: "{n} in4",
    FORCE: "{n} lb",
    MOMENT: "{n} ft-lb",
    LINE_LOAD: "{n} plf",
    PRESSURE: "{n} psf",
    DENSITY: "{n} pcf",
    ANGLE: "{n} deg",
}


def _require(shown: str, quantity: Quantity, dimension: Dimension | None, unit_text: str) -> None:
    if quantity.dimension == NUMBER and not unit_text and dimension != NUMBER:
        example = _EXAMPLES.get(dimension or LENGTH, "{n} in").format(n=shown)
        if dimension is None:
            example = f"{shown} in"
        raise QuantityError(f"'{shown}' has no unit; write it with one, such as {example}")
    if dimension is not None and quantity.dimension != dimension:
        raise QuantityError(
            f"'{shown}' is {dimension_name(quantity.dimension)}; "
            f"{dimension_name(dimension)} is needed here"
        )
