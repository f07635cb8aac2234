"""What the generated evaluators call: table look-ups, special results, conflicts."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import Any

Number = int | Fraction


class Special:
    """A value that is no figure: beyond the table, not permitted, not seen."""

    __slots__ = ("name",)

    def __init__(self, name: str) -> None:
        self.name = name

    def __repr__(self) -> str:
        return f"<{self.name}>"

    def __reduce__(self) -> str:
        return self.name.upper().replace(" ", "_")


BEYOND = Special("beyond")
"""No figure is prescribed here: past the table's last key, or a choice without one."""
FORBIDDEN = Special("forbidden")
"""The table says not permitted."""
UNSEEN = Special("unseen")
"""The book has a figure here that has not been seen."""


class ExceptionsConflict(Exception):
    """Two exceptions of one clause fired together; the rule set is at fault."""

    def __init__(self, clause: int, first: int, second: int) -> None:
        super().__init__(f"exceptions {first} and {second} of clause {clause} both fire")
        self.clause = clause
        self.first = first
        self.second = second


def either(first: Mapping[str, Any], second: Callable[[str], Any]) -> Callable[[str], Any]:
    """Return what looks a fact up in the first place, and where it is not there in the second."""

    def get(name: str) -> Any:
        return first[name] if name in first else second(name)

    return get


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
