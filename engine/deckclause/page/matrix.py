"""The whole matrix as the page shows it: every topic under every rule set, with the design's value."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from deckclause.answers.compare.answer import CompareAnswer
from deckclause.answers.compare.cell import INFORMS, SETS, STRUCK, CellAnswer
from deckclause.answers.compare.row import TopicRow
from deckclause.evaluate.status import status_told
from deckclause.page.cards import STATUS_CLASS
from deckclause.report.comparison.cells import (
    drawn_text,
    given_text,
    limit_in_words,
)
from deckclause.report.comparison.rows_shown import rows_shown

_QUIET = ("not applicable", "not regulated")


class CellView(Struct, frozen=True):
    """One topic under one rule set: the outcome in words, what the design has, what is asked."""

    rule_set: str
    status: str
    style: str
    words: str
    drawn: str
    asked: str
    memory: bool
    at_stated: str


class RowView(Struct, frozen=True):
    """One topic under every rule set."""

    topic: str
    title: str
    part: str
    part_title: str
    differs: bool
    cells: tuple[CellView, ...]

    @property
    def statuses(self) -> str:
        """The outcomes that stand in the row, as style names."""
        return " ".join(dict.fromkeys(cell.style for cell in self.cells))


class MatrixView(Struct, frozen=True):
    """Every topic under every rule set; the newest chosen stands first."""

    heads: tuple[tuple[str, str], ...]
    rows: tuple[RowView, ...]
    parts: tuple[tuple[str, str], ...]


def matrix_view(answer: CompareAnswer) -> MatrixView:
    """Return the matrix, all rows of it; what is hidden is the reader's choice."""
    rows = tuple(_rows(answer))
    return MatrixView(
        tuple((card.name, card.title) for card in reversed(answer.cards)),
        rows,
        tuple(dict.fromkeys((row.part, row.part_title) for row in rows)),
    )


def _rows(answer: CompareAnswer) -> Iterator[RowView]:
    for row in rows_shown(answer, everything=True):
        yield _row(row, si=answer.si)


def _row(row: TopicRow, *, si: bool) -> RowView:
    cells = tuple(_cell(cell, si=si) for cell in reversed(row.cells))
    topic = row.topic
    return RowView(topic.name, topic.title, topic.part, row.part_title, row.differs, cells)


def _cell(cell: CellAnswer, *, si: bool) -> CellView:
    status = cell.status_words
    gives = cell.role == SETS and status == "complies"
    given = given_text(cell, si=si).removesuffix("*") if gives else ""
    return CellView(
        rule_set=cell.rule_set,
        status=status,
        style=STATUS_CLASS[status],
        words=_words(cell, gives=gives),
        drawn=drawn_text(cell, si=si),
        asked=given or limit_in_words(cell, si=si),
        memory=cell.on_memory and status not in _QUIET,
        at_stated=cell.at_stated,
    )


def _words(cell: CellAnswer, *, gives: bool) -> str:
    if cell.role == STRUCK and cell.deciding is None:
        return "struck by the place"
    if cell.role == INFORMS:
        return "for information"
    return "gives" if gives else status_told(cell.status_words)
