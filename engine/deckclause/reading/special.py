"""Values that are no figure, and the one way figures are combined and read between keys."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from typing import Any


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


def key_place(keys: Sequence[Any], between: str, value: Any) -> int:
    """Return which key of an axis is read for a value, or -1 where none is.

    `between` says what holds between keys: `exact`, `next_larger` or `next_smaller`.

    >>> [key_place((6, 10, 14), "next_larger", value) for value in (5, 10, 11, 15)]
    [0, 1, 2, -1]
    """
    if between == "next_larger":
        place = bisect_left(keys, value)
        return place if place < len(keys) else -1
    if between == "next_smaller":
        return bisect_right(keys, value) - 1
    return keys.index(value) if value in keys else -1
