"""Apply a rule written for one design to many: follow it on a row, then on all rows alike."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from fractions import Fraction
from math import lcm
from typing import Any

import numpy as np
from msgspec import Struct, field

from deckclause.evaluate.columns.columns import (
    ChoiceColumn,
    Column,
    Mask,
    NumberColumn,
    Numbers,
)
from deckclause.evaluate.columns.rational import (
    LARGEST,
    Rational,
    TooLarge,
    ask,
    ask_exactly,
    small_rows,
    work_exactly,
    work_out,
)
from deckclause.evaluate.columns.trace import (
    FactName,
    Formula,
    TracedNumber,
    Trail,
    Untraceable,
)

Sources = Mapping[str, Mapping[str, Column]]
"""Sets of facts by label, each quantity by name."""
Rule = Callable[[int, Trail], Mapping[Any, Any]]
"""A rule on one row: what it gives, by name."""


class Given(Struct):
    """What a rule gave, on which rows: choices, or exact numbers."""

    choices: list[tuple[Numbers, str | bool]] = field(default_factory=list)
    numbers: list[tuple[Numbers, Rational]] = field(default_factory=list)


class Follower:
    """Follows rules over the rows of a chunk; rows it cannot follow are marked in `left`."""

    def __init__(self, count: int, stated: Mapping[str, Mask]) -> None:
        self.count = count
        self.stated = stated
        self.left: Mask = np.zeros(count, bool)

    def follow(self, rule: Rule, rows: Numbers, sources: Sources) -> dict[Any, Given]:
        """Return what a rule gives on `rows`, by the name it gives it."""
        found: dict[Any, Given] = {}
        remaining = rows
        while remaining.size:
            trail = Trail()
            try:
                results = rule(int(remaining[0]), trail)
                alike, remaining = self._alike(trail, remaining, sources)
                for name, value in results.items():
                    if value is not None:
                        self._give(found.setdefault(name, Given()), value, alike, sources)
            except (Untraceable, ZeroDivisionError):
                self.left[remaining] = True
                break
        return found

    def _alike(self, trail: Trail, rows: Numbers, sources: Sources) -> tuple[Numbers, Numbers]:
        """Split rows into those that give the same answers as the first, and the others."""
        alike = np.ones(len(rows), bool)
        for mask in self._answers(trail, sources):
            places = np.flatnonzero(alike)
            alike[places] = mask(rows[places])
        others = rows[~alike]
        return rows[alike], others[~self.left[others]]

    def _answers(self, trail: Trail, sources: Sources) -> Iterator[Callable[[Numbers], Mask]]:
        for group, stated in trail.stated.items():
            mask = self.stated.get(group)
            if mask is not None:
                yield lambda rows, mask=mask, stated=stated: mask[rows] == stated  # type: ignore[misc]
        for (label, name), known in trail.known.items():
            column = sources[label][name]
            yield lambda rows, column=column, known=known: column.known_rows()[rows] == known  # type: ignore[misc]
        for (label, name), choice in trail.choices.items():
            column = sources[label][name]
            assert isinstance(column, ChoiceColumn)
            code = column.choices.index(choice)
            yield lambda rows, column=column, code=code: column.codes[rows] == code  # type: ignore[misc]
        for operation, one, two, answer in trail.compared:
            yield lambda rows, o=operation, a=one, b=two, y=answer: (  # type: ignore[misc]
                self._compare(o, a, b, rows, sources) == y
            )

    def _compare(
        self, operation: str, one: Formula, two: Formula, rows: Numbers, sources: Sources
    ) -> Mask:
        try:
            return ask(operation, self._work(one, rows, sources), self._work(two, rows, sources))
        except TooLarge:
            sides = (work_exactly(f, self._facts(rows, sources), len(rows)) for f in (one, two))
            answers, none = ask_exactly(operation, *sides)
            self.left[rows[none]] = True
            return answers

    def _work(self, formula: Formula, rows: Numbers, sources: Sources) -> Rational:
        return work_out(formula, self._facts(rows, sources), len(rows))

    def _facts(self, rows: Numbers, sources: Sources) -> Callable[[FactName], Rational]:
        def fact(name: FactName) -> Rational:
            column = sources[name[0]][name[1]]
            assert isinstance(column, NumberColumn)
            den = column.den if isinstance(column.den, int) else column.den[rows]
            return Rational(column.num[rows].astype(np.int64), den)

        return fact

    def _give(self, given: Given, value: Any, rows: Numbers, sources: Sources) -> None:
        if isinstance(value, str | bool):
            given.choices.append((rows, value))
            return
        formula = value.formula if isinstance(value, TracedNumber) else ("number", Fraction(value))
        try:
            given.numbers.append((rows, self._work(formula, rows, sources)))
        except TooLarge:
            values = work_exactly(formula, self._facts(rows, sources), len(rows))
            places, numbers = small_rows(values)
            left = np.ones(len(rows), bool)
            left[places] = False
            self.left[rows[left]] = True
            if places.size:
                given.numbers.append((rows[places], numbers))


def choice_result(
    given: Given, count: int, choices: tuple[str | bool, ...], stated: ChoiceColumn | None
) -> ChoiceColumn:
    """Gather the choices a rule gave; what is stated stands."""
    every = tuple(
        dict.fromkeys(
            [*choices, *(stated.choices if stated else ()), *(v for _, v in given.choices)]
        )
    )
    width = np.uint8 if len(every) < 255 else np.uint16
    codes = np.full(count, len(every), width)
    if stated is not None:
        place = [every.index(choice) for choice in stated.choices]
        codes = np.array([*place, len(every)], width)[stated.codes]
    for rows, value in given.choices:
        codes[rows] = every.index(value)
    return ChoiceColumn(codes, every, bool((codes == len(every)).any()))


def number_result(
    given: Given, count: int, stated: NumberColumn | None
) -> tuple[NumberColumn, Numbers]:
    """Gather the numbers a rule gave, what is stated standing; also the rows that are too large."""
    pieces = list(given.numbers)
    known = np.zeros(count, bool)
    if stated is not None:
        rows = np.flatnonzero(stated.known_rows())
        den = stated.den if isinstance(stated.den, int) else stated.den[rows]
        pieces.append((rows, Rational(stated.num[rows].astype(np.int64), den)))
    whole = all(isinstance(piece.den, int) for _, piece in pieces)
    shared = lcm(*(piece.den for _, piece in pieces if isinstance(piece.den, int)))
    num = np.zeros(count, np.int64)
    dens = np.ones(count, np.int64)
    left: list[Numbers] = []
    for rows, piece in pieces:
        factor = shared // piece.den if whole and isinstance(piece.den, int) else 1
        if factor * int(np.abs(piece.num).max(initial=0)) > LARGEST:
            left.append(rows)
            continue
        num[rows] = piece.num * factor
        dens[rows] = piece.den
        known[rows] = True
    num, den = (num, shared) if whole else _one_denominator(num, dens)
    column = NumberColumn(_narrow(num), den, None if known.all() else known)
    return column, np.concatenate(left) if left else np.zeros(0, np.int64)


def _one_denominator(num: Numbers, dens: Numbers) -> tuple[Numbers, int | Numbers]:
    """Reduce fractions; bring them over one denominator where it stays small."""
    shared = np.gcd(num, dens)
    num, dens = num // shared, dens // shared
    one = 1
    for den in np.unique(dens).tolist():
        one = lcm(one, den)
        if one > LARGEST_DENOMINATOR:
            return num, dens
    factors = one // dens
    if int(np.abs(num).max(initial=0)) * int(factors.max(initial=1)) > LARGEST:
        return num, dens
    return num * factors, one


LARGEST_DENOMINATOR = 2**24
"""A column keeps one denominator up to this; past it, each row has its own."""


def _narrow(num: Numbers) -> Numbers:
    return num.astype(np.int32) if np.abs(num).max(initial=0) < 2**31 else num
