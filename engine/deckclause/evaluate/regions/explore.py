"""Explore the input space: run a question on a region, cut the region where it is undecided.

The question is run again on each piece until it is decided everywhere; so the pieces cover the
whole region, do not overlap, and the answer holds at every point of its piece.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Generic, TypeVar

from msgspec import Struct

from deckclause.evaluate.regions.space import Space

Answer = TypeVar("Answer")
MOST_PIECES = 60_000
"""More pieces than this, and the question was asked of too much at once."""


class Undecided(Exception):
    """The answer differs within the region; `pieces` are where it may be decided."""

    def __init__(self, pieces: tuple[Space, ...]) -> None:
        super().__init__("undecided")
        self.pieces = pieces


class TooMany(Exception):
    """The exploration was stopped: the regions would be more than anyone could read."""


class Piece(Struct, Generic[Answer], frozen=True):
    """A region and the answer that holds at every point of it."""

    space: Space
    answer: Answer


def explore(
    start: Space, question: Callable[[Space], Answer], *, most: int = MOST_PIECES
) -> Iterator[Piece[Answer]]:
    """Yield the pieces of `start` with their answers. Raises TooMany beyond `most` runs."""
    waiting = [start]
    runs = 0
    while waiting:
        space = waiting.pop()
        runs += 1
        if runs > most:
            raise TooMany(f"more than {most} regions")
        try:
            yield Piece(space, question(space))
        except Undecided as cut:
            waiting += [piece for piece in reversed(cut.pieces) if not piece.empty]
