"""Columns of facts: many designs at once, a column a quantity, exact.

A measure is a whole number `num` over a denominator: one for the whole column (its ticks an
inch, pound or degree), or one a row where a fact is a ratio of two others. A choice is a code.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from fractions import Fraction
from typing import Any, TypeVar

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from deckclause.rulesets.clauses import Scalar

Numbers = npt.NDArray[Any]
Mask = npt.NDArray[np.bool_]
K = TypeVar("K")
C = TypeVar("C")


class NumberColumn(Struct, frozen=True):
    """Exact measures in inch-pound-degree units: `num / den`; `known` is None where all are."""

    num: Numbers
    den: int | Numbers
    known: Mask | None

    def value(self, row: int) -> Fraction | None:
        """Return one row's value; None where it is unknown."""
        if self.known is not None and not self.known[row]:
            return None
        den = self.den if isinstance(self.den, int) else int(self.den[row])
        return Fraction(int(self.num[row]), den)

    def known_rows(self) -> Mask:
        """Return a mask of the rows that are known."""
        return np.ones(len(self.num), bool) if self.known is None else self.known

    def part(self, start: int, stop: int) -> NumberColumn:
        """Return rows `start` to `stop` as views."""
        den = self.den if isinstance(self.den, int) else self.den[start:stop]
        known = None if self.known is None else self.known[start:stop]
        return NumberColumn(self.num[start:stop], den, known)

    def rows(self, places: Numbers) -> NumberColumn:
        """Return the rows at `places`."""
        den = self.den if isinstance(self.den, int) else self.den[places]
        known = None if self.known is None else self.known[places]
        return NumberColumn(self.num[places], den, known)


class ChoiceColumn(Struct, frozen=True):
    """Choices, yes/no or text by code; the code past the last choice is unknown."""

    codes: Numbers
    choices: tuple[str | bool, ...]
    may_miss: bool

    def value(self, row: int) -> str | bool | None:
        """Return one row's value; None where it is unknown."""
        code = int(self.codes[row])
        return self.choices[code] if code < len(self.choices) else None

    def known_rows(self) -> Mask:
        """Return a mask of the rows that are known."""
        return np.asarray(self.codes < len(self.choices))

    def part(self, start: int, stop: int) -> ChoiceColumn:
        """Return rows `start` to `stop` as views."""
        return ChoiceColumn(self.codes[start:stop], self.choices, self.may_miss)

    def rows(self, places: Numbers) -> ChoiceColumn:
        """Return the rows at `places`."""
        return ChoiceColumn(self.codes[places], self.choices, self.may_miss)


Column = NumberColumn | ChoiceColumn


class RawColumn(Struct, frozen=True):
    """A quantity as it was read: each row's place in a list of distinct values, -1 if unknown."""

    codes: Numbers
    values: tuple[Scalar, ...]

    def value(self, row: int) -> Scalar | None:
        """Return one row's value; None where it is unknown."""
        code = int(self.codes[row])
        return self.values[code] if code >= 0 else None


class Taken(Mapping[K, C]):
    """Columns of some rows, each taken from the whole when it is first read: most never are."""

    def __init__(self, whole: Mapping[K, C], take: Callable[[C], C]) -> None:
        self._whole, self._take = whole, take
        self._taken: dict[K, C] = {}

    def __getitem__(self, name: K) -> C:
        if name not in self._taken:
            self._taken[name] = self._take(self._whole[name])
        return self._taken[name]

    def __iter__(self) -> Iterator[K]:
        return iter(self._whole)

    def __len__(self) -> int:
        return len(self._whole)

    def __reduce__(self) -> tuple[type[dict[K, C]], tuple[dict[K, C]]]:
        return dict, (dict(self),)  # another process is sent the rows taken, not the whole


def number_column(raw: RawColumn, den: int, largest: int) -> tuple[NumberColumn, Mask | None]:
    """Turn a raw column of measures into ticks; also mask the rows that have no such ticks.

    A value that is not a whole number of ticks, or more than `largest` of them, is left to the
    scalar evaluator.
    """
    ticks = np.zeros(len(raw.values) + 1, np.int64)
    good = np.ones(len(raw.values) + 1, bool)
    for place, value in enumerate(raw.values):
        assert isinstance(value, Fraction)
        scaled = value * den
        if scaled.denominator == 1 and abs(scaled.numerator) <= largest:
            ticks[place] = scaled.numerator
        else:
            good[place] = False
    if ticks.size and np.abs(ticks).max(initial=0) < 2**31:
        ticks = ticks.astype(np.int32)
    known = raw.codes >= 0
    left = None if good.all() else ~good[raw.codes]
    return NumberColumn(ticks[raw.codes], den, None if known.all() else known), left


def choice_column(raw: RawColumn, choices: tuple[str | bool, ...]) -> ChoiceColumn:
    """Turn a raw column of choices into codes in the order of `choices`; others come after."""
    every = tuple(dict.fromkeys([*choices, *(v for v in raw.values if isinstance(v, str | bool))]))
    place = {choice: i for i, choice in enumerate(every)}
    width = np.uint8 if len(every) < 255 else np.uint16
    table = np.array(
        [*(place[v] for v in raw.values if isinstance(v, str | bool)), len(every)], width
    )
    return ChoiceColumn(table[raw.codes], every, bool((raw.codes < 0).any()))
