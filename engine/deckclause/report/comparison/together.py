"""Whether the deck holds together, as lines of text, as rows of a table, and as data."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import wrap
from typing import Any

from deckclause.answers.compare.together import (
    NOT_ASKED,
    HoldsTogether,
    headline,
    lacking_lines,
)
from deckclause.report.comparison.cells import SHORT


def together_lines(together: HoldsTogether | None, width: int) -> Iterator[str]:
    """Yield the whole answer, line by line, each no wider than `width`."""
    yield from wrap(headline(together), width, subsequent_indent="  ")
    for status, text in lacking_lines(together):
        head = f"  {SHORT[status]:9}"
        yield from wrap(head + text, width, subsequent_indent=" " * len(head))


def together_data(together: HoldsTogether | None, rows: dict[str, list[Any]]) -> dict[str, Any]:
    """Return the answer as data; `rows` gives the findings of each topic as data."""
    if together is None:
        return {"status": "not asked", "says": NOT_ASKED, "topics": []}
    return {
        "status": together.status_words,
        "says": together.headline,
        "topics": [
            {
                "topic": row.topic.name,
                "title": row.topic.title,
                "question": row.topic.question,
                "basis": row.basis,
                "status": row.status_words,
                "findings": rows[row.topic.name],
            }
            for row in together.rows
        ],
    }
