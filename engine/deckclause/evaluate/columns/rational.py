"""Exact fractions by the column: whole numerators over one denominator, or over one a row.

Every operation looks at the largest numbers it will make first; where they would not fit 64
bits it raises TooLarge, and the rows are left to the scalar evaluator.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from math import gcd
from operator import add as fraction_add
from operator import eq, ge, gt, le, lt, truediv
from operator import mul as fraction_mul
from operator import sub as fraction_sub

import numpy as np
from msgspec import Struct

from deckclause.evaluate.columns.columns import Mask, Numbers
from deckclause.evaluate.columns.trace import FactName, Formula

LARGEST = 2**62
SMALL_NUMERATOR, SMALL_DENOMINATOR = 2**40, 2**28
"""A fraction with a denominator of its own is kept in a column up to these: what compares it with a
figure multiplies it by the figure's denominator."""


class TooLarge(Exception):
    """A result would not fit a 64-bit whole number."""


class Rational(Struct, frozen=True):
    """`num / den`; `den` is positive."""

    num: Numbers
    den: int | Numbers


def _most(number: int | Numbers) -> int:
    if isinstance(number, int):
        return abs(number)
    return int(max(abs(int(number.max(initial=0))), abs(int(number.min(initial=0)))))


def _times(one: int | Numbers, two: int | Numbers) -> int | Numbers:
    if isinstance(one, int) and isinstance(two, int):
        return one * two
    if _most(one) * _most(two) > LARGEST:
        raise TooLarge
    return one * two


def _scaled(number: Numbers, factor: int | Numbers) -> Numbers:
    result = _times(number, factor)
    assert not isinstance(result, int)
    return result


def _common(one: Rational, two: Rational) -> tuple[Numbers, Numbers, int | Numbers]:
    """Bring two fractions over one denominator."""
    if isinstance(one.den, int) and isinstance(two.den, int):
        shared = gcd(one.den, two.den)
        first, second = two.den // shared, one.den // shared
        return _scaled(one.num, first), _scaled(two.num, second), one.den * first
    if one.den is two.den:
        return one.num, two.num, one.den
    shared_by_row = np.gcd(one.den, two.den)
    first_by, second_by = two.den // shared_by_row, one.den // shared_by_row
    return (
        _scaled(one.num, first_by),
        _scaled(two.num, second_by),
        _times(one.den, first_by),
    )


def _reduced(number: Rational) -> Rational:
    """Write a fraction in its lowest terms, so that what is made of it stays small."""
    if isinstance(number.den, int):
        shared = gcd(number.den, int(np.gcd.reduce(number.num, initial=0)))
        return number if shared <= 1 else Rational(number.num // shared, number.den // shared)
    by_row = np.gcd(number.num, number.den)
    return Rational(number.num // by_row, number.den // by_row)


def add(one: Rational, two: Rational) -> Rational:
    """Add."""
    first, second, den = _common(one, two)
    if _most(first) + _most(second) > LARGEST:
        raise TooLarge
    return Rational(first + second, den)


def subtract(one: Rational, two: Rational) -> Rational:
    """Subtract."""
    return add(one, Rational(-two.num, two.den))


def multiply(one: Rational, two: Rational) -> Rational:
    """Multiply."""
    return _reduced(Rational(_scaled(one.num, two.num), _times(one.den, two.den)))


def divide(one: Rational, two: Rational) -> Rational:
    """Divide; a divisor of nothing raises TooLarge."""
    if (two.num == 0).any():
        raise TooLarge
    sign = np.where(two.num < 0, -1, 1)
    return _reduced(Rational(_scaled(one.num * sign, two.den), _scaled(two.num * sign, one.den)))


_WORK: dict[str, Callable[[Rational, Rational], Rational]] = {
    "add": add,
    "subtract": subtract,
    "multiply": multiply,
    "divide": divide,
}


def work_out(formula: Formula, fact: Callable[[FactName], Rational], count: int) -> Rational:
    """Work a formula out on `count` rows; `fact` gives the column of a fact. Raises TooLarge."""
    if formula[0] == "fact":
        return fact(formula[1])
    if formula[0] == "number":
        value: Fraction = formula[1]
        return Rational(np.full(count, value.numerator, np.int64), value.denominator)
    one = work_out(formula[1], fact, count)
    two = work_out(formula[2], fact, count)
    return _WORK[formula[0]](one, two)


Exact = list[Fraction | None]
"""One fraction a row, of any size; None where it was divided by nothing."""


def work_exactly(formula: Formula, fact: Callable[[FactName], Rational], count: int) -> Exact:
    """Work a formula out row by row, where the numbers on the way do not fit a column."""
    if formula[0] == "fact":
        return [Fraction(n, d) for n, d in zip(*_by_row(fact(formula[1])), strict=True)]
    if formula[0] == "number":
        return [formula[1]] * count
    one, two = (work_exactly(part, fact, count) for part in formula[1:])
    work = _EXACT[formula[0]]
    return [
        None if a is None or b is None or (work is truediv and not b) else work(a, b)
        for a, b in zip(one, two, strict=True)
    ]


def _by_row(number: Rational) -> tuple[list[int], list[int]]:
    nums = number.num.tolist()
    return nums, [number.den] * len(nums) if isinstance(number.den, int) else number.den.tolist()


_EXACT: dict[str, Callable[[Fraction, Fraction], Fraction]] = {
    "add": fraction_add,
    "subtract": fraction_sub,
    "multiply": fraction_mul,
    "divide": truediv,
}
_ASK_EXACTLY: dict[str, Callable[[Fraction, Fraction], bool]] = {
    "less": lt,
    "less_equal": le,
    "greater": gt,
    "greater_equal": ge,
    "equal": eq,
}


def ask_exactly(operation: str, one: Exact, two: Exact) -> tuple[Mask, Mask]:
    """Compare row by row; also the rows on which nothing can be compared."""
    none = np.array([a is None or b is None for a, b in zip(one, two, strict=True)], bool)
    ask_of = _ASK_EXACTLY[operation]
    found = [
        a is not None and b is not None and ask_of(a, b) for a, b in zip(one, two, strict=True)
    ]
    return np.array(found, bool), none


def small_rows(values: Exact) -> tuple[Numbers, Rational]:
    """Return the places whose fractions are small enough for a column, with them as columns."""
    kept = [
        (place, value)
        for place, value in enumerate(values)
        if value is not None
        and abs(value.numerator) <= SMALL_NUMERATOR
        and value.denominator <= SMALL_DENOMINATOR
    ]
    nums = np.array([value.numerator for _, value in kept], np.int64)
    dens = np.array([value.denominator for _, value in kept], np.int64)
    return np.array([place for place, _ in kept], np.int64), Rational(nums, dens)


_ASK: dict[str, Callable[[Numbers, Numbers], Mask]] = {
    "less": np.less,
    "less_equal": np.less_equal,
    "greater": np.greater,
    "greater_equal": np.greater_equal,
    "equal": np.equal,
}


def ask(operation: str, one: Rational, two: Rational) -> Mask:
    """Compare two columns, exactly. Raises TooLarge."""
    first, second, _ = _common(one, two)
    return _ASK[operation](first, second)
