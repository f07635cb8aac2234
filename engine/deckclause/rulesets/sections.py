"""Section, table and figure numbers as clauses cite them: which lie in a range, which a part covers."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from msgspec import Struct

_CITED = re.compile(
    r"\b(?P<kind>Table|Figure|Chapter)?\s*R?(?P<number>\d+(?:\.\d+)*)(?P<mark>(?:\(\d+\))*)"
    r"(?:\s+(?:item|exception|note)\s+(?P<part>\w+))?"
)


class Cited(Struct, frozen=True):
    """One place of a code: a section, or a table, figure or chapter, with an item of it if named."""

    kind: str
    number: tuple[int, ...]
    mark: str
    part: str


def cited(text: str) -> tuple[Cited, ...]:
    """Return every place a text cites.

    >>> [c.number for c in cited("R311.7.5.1, Table R507.2 note b")]
    [(311, 7, 5, 1), (507, 2)]
    """
    return tuple(
        Cited(
            found["kind"] or "",
            tuple(map(int, found["number"].split("."))),
            found["mark"],
            found["part"] or "",
        )
        for found in _CITED.finditer(text)
        if found["kind"] or "." in found["number"] or len(found["number"]) >= 3
    )


def in_range(place: Cited, first: Cited, last: Cited) -> bool:
    """Tell whether a place lies from one section to another, what stands under the last included.

    A table or figure lies in the section its number begins with.

    >>> (one,), (two,) = cited("R311.7.5"), cited("R311.7.5.3")
    >>> [in_range(c, one, two) for c in cited("R311.7.5.1, R311.7.5.3.2, R311.7.6, R311.7.4")]
    [True, True, False, False]
    """
    under_last = place.number[: len(last.number)] == last.number
    return first.number <= place.number and (place.number <= last.number or under_last)


def covers(part: str, place: Cited) -> bool:
    """Tell whether a part of a code, as an ordinance names it, covers a cited place.

    >>> (table,) = cited("Table R507.2.3 note b")
    >>> [covers(part, table) for part in ("Table R507.2.3", "R507.2", "Chapter 5", "Table R507.2.4")]
    [True, True, True, False]
    >>> covers("R105.2 item 10", cited("R105.2 item 9")[0])
    False
    """
    found = cited(part)
    if not found:
        return False
    (named, *_) = found
    if named.kind == "Chapter":
        return place.number[0] // 100 == named.number[0]
    if named.part and named.part != place.part:
        return False
    if named.kind:
        same = (named.kind, named.number) == (place.kind, place.number)
        return same and named.mark in ("", place.mark)
    return place.number[: len(named.number)] == named.number


def reached(change: Mapping[str, Any], cites: str) -> list[bool]:
    """Tell of each place a clause cites whether a change of sections at once reaches it.

    `change` has a `range` or the list `not_adopted`.

    >>> reached({"not_adopted": ["Table R507.2.3"]}, "R507.2.3, Table R507.2.3")
    [False, True]
    """
    if change.get("range"):
        (first, *_), (last, *_) = (cited(change["range"][word]) for word in ("from", "to"))
        return [in_range(place, first, last) for place in cited(cites)]
    return [any(covers(part, place) for part in change["not_adopted"]) for place in cited(cites)]


def named_by(change: Mapping[str, Any]) -> str:
    """Name the sections a change reaches at once."""
    if change.get("range"):
        return f"{change['range']['from']} to {change['range']['to']}"
    return ", ".join(change["not_adopted"])


def renumbered(text: str, numbers: Mapping[str, str]) -> str:
    """Return a citation with sections renumbered; what stands under one follows it.

    >>> renumbered("R507.2, Table R507.2(1)", {"R507": "R508"})
    'R508.2, Table R508.2(1)'
    >>> renumbered("R507.21", {"R507.2": "R508.1"})
    'R507.21'
    """
    if not numbers:
        return text
    longest = sorted(numbers, key=len, reverse=True)
    pattern = rf"(?<![\w.])(?:{'|'.join(map(re.escape, longest))})(?![\dA-Za-z])"
    return re.sub(pattern, lambda found: numbers[found[0]], text)
