"""Which rows of an answer a printer shows: its choice of a view, never of an outcome."""

from __future__ import annotations

from deckclause.answers.compare.answer import CompareAnswer
from deckclause.answers.compare.row import TopicRow


def rows_shown(
    answer: CompareAnswer, *, only_differences: bool = False, everything: bool = False
) -> tuple[TopicRow, ...]:
    """Return the rows for a matrix: those that differ, all, or those that deserve attention."""
    if only_differences:
        return tuple(row for row in answer.every_row if row.differs)
    return answer.every_row if everything else answer.shown
