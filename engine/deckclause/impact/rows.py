"""Rows of a table as designs: each column encoded, what cannot be read lost and told.

A cell that is not understood loses its fact, not its row: the fact is unknown, which is never a
pass. A row is set aside where its cells do not stand under the headings, or where it states
nothing of a deck, such as a total.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from msgspec import Struct, field

from deckclause.evaluate.columns.chunk import Chunk
from deckclause.evaluate.columns.columns import Numbers, RawColumn
from deckclause.impact.cells import CellError, CellReader, cell_text
from deckclause.rulesets.clauses import Scalar

BETWEEN = "\t"
"""Parts the cells a row is named by; no cell holds one."""
NOTHING = "states nothing of a deck; a total or a note, or a permit without facts"


class BadRow(Struct, frozen=True):
    """A row set aside: its number, its name where it has one, and why."""

    row: int
    name: str
    reason: str


class LostFact(Struct, frozen=True):
    """A cell that was not understood: its row, the row's name, the heading, the cell, and why."""

    row: int
    name: str
    heading: str
    cell: str
    reason: str


class Read(Struct, frozen=True):
    """One chunk as read: the designs, each with its row number and name; rows and facts lost.

    A name is the cells that name a row, parted by `BETWEEN`.
    """

    number: int
    chunk: Chunk
    rows: Numbers
    names: tuple[str, ...]
    bad: tuple[BadRow, ...]
    lost: tuple[LostFact, ...] = ()


class Columns(Struct, frozen=True):
    """Which columns name a row, which state facts, all headings, and what holds of every row."""

    labels: tuple[int, ...]
    readers: Mapping[int, CellReader]
    headings: Sequence[str]
    every_row: Mapping[str, Scalar] = field(default_factory=dict)


class Rows:
    """Takes the columns of one chunk, then gives the chunk."""

    def __init__(self, number: int, first: int, count: int, columns: Columns) -> None:
        self.number, self.first, self.count, self.columns = number, first, count, columns
        self._names = [""] * count
        self._raw: dict[str, RawColumn] = {}
        self._refused: dict[int, str] = {}
        self._lost: list[tuple[int, str, str, str]] = []
        self._silent = np.ones(count, bool)

    def refuse(self, place: int, reason: str) -> None:
        """Set a row aside."""
        self._refused[place] = reason

    def name(self, labels: Sequence[Sequence[str]]) -> None:
        """Take the columns that name rows, their cells on one line each."""
        if labels:
            self._names = [BETWEEN.join(cells) for cells in zip(*labels, strict=True)]

    def take(self, place: int, distinct: Sequence[Any], places: Numbers) -> None:
        """Take a column by its distinct cells and, for each row, which of them it has."""
        reader = self.columns.readers[place]
        values: dict[tuple[type, Scalar], int] = {}
        codes = np.full(len(distinct), -1, np.int32)
        empty = np.zeros(len(distinct), bool)
        for index, cell in enumerate(distinct):
            value = reader.read(cell)
            if isinstance(value, CellError):
                told = (self.columns.headings[place], cell_text(cell), str(value))
                self._lost += [(row, *told) for row in np.flatnonzero(places == index).tolist()]
            elif value is not None:
                codes[index] = values.setdefault((type(value), value), len(values))
            else:
                empty[index] = cell is None or not cell_text(cell)
        self._silent &= empty[places]
        self._raw[reader.definition.name] = RawColumn(
            codes[places], tuple(value for _, value in values)
        )

    def read(self, *, told_blank: bool = True) -> Read:
        """Return the chunk. A row without a name or a fact is told only if `told_blank`."""
        for name, value in self.columns.every_row.items():
            self._raw[name] = RawColumn(np.zeros(self.count, np.int32), (value,))
        chunk = Chunk(self.count, self._raw)
        rows = np.arange(self.first, self.first + self.count)
        blank = set()
        for row in np.flatnonzero(self._silent).tolist():
            if told_blank or self._names[row].strip():
                self._refused.setdefault(row, NOTHING)
            else:
                blank.add(row)
        bad = tuple(
            BadRow(self.first + row, self._names[row], why)
            for row, why in sorted(self._refused.items())
        )
        lost = tuple(
            LostFact(self.first + row, self._names[row], *told)
            for row, *told in sorted(self._lost)
            if row not in self._refused
        )
        gone = blank | set(self._refused)
        if not gone:
            return Read(self.number, chunk, rows, tuple(self._names), bad, lost)
        kept = np.array([row for row in range(self.count) if row not in gone], np.int64)
        names = tuple(self._names[row] for row in kept.tolist())
        return Read(self.number, chunk.rows(kept), rows[kept], names, bad, lost)
