"""Bad input, said clearly: file, line, what is wrong, what would be right; all of it at once."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Self

from msgspec import Struct


class Problem(Struct, frozen=True, order=True):
    """One fault of one input: where it stands and what is wrong, with what would be right."""

    file: str
    line: int
    message: str

    def __str__(self) -> str:
        place = f"{self.file}, line {self.line}" if self.line else self.file
        return f"{place}: {self.message}"


class InputError(Exception):
    """Input that cannot be used; carries every problem found, not only the first."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems: tuple[Problem, ...] = tuple(sorted(set(problems)))
        super().__init__("\n".join(str(p) for p in self.problems))

    @classmethod
    def single(cls, file: str, message: str, line: int = 0) -> Self:
        """Make an error of one problem."""
        return cls([Problem(file, line, message)])


class OutputError(InputError):
    """What was asked for was worked out, but cannot be written: the disk is full or failing."""


OPPOSITE = {"at_l": "at_m", "at_m": "at_l"}
"""Beginnings of names that bound from opposite sides: one is never suggested for the other."""
MEANT = {
    **dict.fromkeys(
        ("minimum", "min", "no_less_than", "not_less_than", "greater_than"), "at_least"
    ),
    **dict.fromkeys(("maximum", "max", "no_more_than", "not_more_than"), "at_most"),
    **dict.fromkeys(("equal", "equals", "is"), "exactly"),
    **dict.fromkeys(("delete", "deleted", "remove", "repeal"), "strike"),
    **dict.fromkeys(("amend", "change", "modify"), "replace"),
}
"""Words people write, and the key that says it."""


class Stopped(BaseException):
    """The process was told to end while a file was being written; carries the signal's number."""

    def __init__(self, number: int) -> None:
        super().__init__(number)
        self.number = number


def suggestion(word: str, known: Iterable[str]) -> str:
    """Name the nearest known word, or a few that would be right.

    >>> suggestion("2x9", ["2x6", "2x8", "2x10", "2x12"])
    ' Did you mean 2x8?'
    >>> suggestion("ledger.siez", ["ledger.size", "ledger.grade"])
    ' Did you mean ledger.size?'
    >>> suggestion("joist", ["posts", "joists"])
    ' Did you mean joists?'
    >>> suggestion("at_lest", ["at_most", "at_least"])
    ' Did you mean at_least?'
    >>> suggestion("minimum", ["minus", "at_least"])
    ' Did you mean at_least?'
    >>> suggestion("zzz", ["yes", "no"])
    ' One of: yes, no.'
    """
    from difflib import get_close_matches

    options = list(known)
    for plural in (f"{word}s", f"{word}es"):
        if plural in options:
            return f" Did you mean {plural}?"
    if MEANT.get(word) in options:
        return f" Did you mean {MEANT[word]}?"
    wrong_side = OPPOSITE.get(word[:4], " ")
    near = get_close_matches(
        word, [o for o in options if not o.startswith(wrong_side)], n=3, cutoff=0.6
    )
    if near:
        best = min(near, key=lambda option: (abs(len(option) - len(word)), near.index(option)))
        return f" Did you mean {best}?"
    if options and len(options) <= 14:
        return f" One of: {', '.join(options)}."
    return ""
