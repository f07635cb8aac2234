"""What the printed evaluators call: table look-ups, undecided branches, conflicts."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from fractions import Fraction
from typing import Any

from deckclause.reading.special import BEYOND, FORBIDDEN, UNSEEN, Special
from deckclause.reading.status import COMPLIES, INFORMATION_MISSING

Number = int | Fraction


class ExceptionsConflict(Exception):
    """Two exceptions of one clause fired together; the rule set is at fault."""

    def __init__(self, clause: int, first: int, second: int) -> None:
        super().__init__(f"exceptions {first} and {second} of clause {clause} both fire")
        self.clause = clause
        self.first = first
        self.second = second


def place_next_larger(keys: tuple[Number, ...], value: Number) -> int:
    """Return the place of the first key not below `value`, or -1 past the last."""
    place = bisect_left(keys, value)
    return place if place < len(keys) else -1


def place_next_smaller(keys: tuple[Number, ...], value: Number) -> int:
    """Return the place of the last key not above `value`, or -1 below the first."""
    return bisect_right(keys, value) - 1


def interpolated(keys: tuple[Number, ...], row: tuple[Any, ...], value: Number) -> Any:
    """Interpolate along a row between keys, exactly; BEYOND outside them."""
    if value < keys[0] or value > keys[-1]:
        return BEYOND
    upper = bisect_left(keys, value)
    if keys[upper] == value:
        return row[upper]
    low, high = row[upper - 1], row[upper]
    for figure in (low, high):
        if isinstance(figure, Special):
            return figure
    share = Fraction(value - keys[upper - 1]) / (keys[upper] - keys[upper - 1])
    return low + (high - low) * share


def combine(operation: str, parts: tuple[Any, ...]) -> Any:
    """Combine figures by `sum`, `product`, `least` or `greatest`; a special or missing part wins."""
    for part in parts:
        if part is None or isinstance(part, Special):
            return part
    if operation == "sum":
        return sum(parts)
    if operation == "product":
        total = parts[0]
        for part in parts[1:]:
            total = total * part
        return total
    return min(parts) if operation == "least" else max(parts)


Came = tuple[int, Any, Any, Any, tuple[Any, ...] | None]
"""What a branch comes to: (status, value, least, most, missing), in ticks."""


def undecided(read: list[Came], noted: tuple[Any, ...], gives: bool) -> Came:
    """Return what a clause comes to whose first branch governs and whose others may as well.

    The same rule as ExactReader.parts_from: another status, or another value given, leaves it open.
    """
    status, value, _, _, missing = read[0]
    if status != INFORMATION_MISSING and all(
        other[0] == status and not (gives and other[1] != value) for other in read[1:]
    ):
        return read[0]
    lacking = missing if status == INFORMATION_MISSING and missing else ()
    return INFORMATION_MISSING, value, None, None, (*noted, *lacking)


def strictest(read: list[Came], gives: bool) -> tuple[int, Came]:
    """Return the number of the strictest reading and what it comes to, as ExactReader.strictest."""
    number = max(range(len(read)), key=lambda n: read[n][0])
    governs = read[number]
    equal = (other for other in read if other[0] == governs[0])
    if gives and governs[0] == COMPLIES and any(other[1] != governs[1] for other in equal):
        return number, (INFORMATION_MISSING, None, None, None, ())
    return number, governs


__all__ = [
    "BEYOND",
    "FORBIDDEN",
    "UNSEEN",
    "ExceptionsConflict",
    "Special",
    "combine",
    "interpolated",
    "place_next_larger",
    "place_next_smaller",
    "strictest",
    "undecided",
]
