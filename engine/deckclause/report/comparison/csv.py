"""The comparison as CSV: one line for each topic and rule set."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator

from deckclause.answers.compare.answer import CompareAnswer
from deckclause.answers.compare.cell import CellAnswer
from deckclause.answers.compare.finding import FindingAnswer
from deckclause.answers.compare.together import TogetherRow
from deckclause.answers.figure import Figure
from deckclause.report.comparison.rows_shown import rows_shown

COLUMNS = (
    "part", "topic", "title", "rule_set", "status", "part_of_deck", "value", "least", "most",
    "margin", "clause", "cites", "standing", "from_memory", "differs", "at_stated_load",
    "expected",
)  # fmt: skip
EVERY_RULE_SET = "every rule set"
_FORMULA_STARTS = ("=", "+", "@", "\t", "\r")


def comparison_csv(answer: CompareAnswer, *, only_differences: bool = False) -> str:
    """Write a comparison as CSV text (RFC 4180), header first; deciding findings only."""
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow(COLUMNS)
    together = answer.holds_together
    for asked in together.rows if together is not None and together.binding else ():
        for line in _together(asked, si=answer.si):
            writer.writerow([_plain(text) for text in line])
    for row in rows_shown(answer, only_differences=only_differences, everything=True):
        for title, cell in zip(answer.titles, row.cells, strict=True):
            head = [row.topic.part, row.topic.name, row.topic.title, title]
            differs = "yes" if row.differs else "no"
            told = [*head, *_cells(cell, si=answer.si), differs, cell.at_stated]
            told.append("; ".join(cell.expected(si=answer.si)))
            writer.writerow([_plain(text) for text in told])
    return stream.getvalue().rstrip("\n")


def _together(row: TogetherRow, *, si: bool) -> Iterator[list[str]]:
    """Yield a line for each part that decides whether the deck holds together."""
    head = [row.topic.part, row.topic.name, row.topic.title, EVERY_RULE_SET]
    for finding in row.findings or (None,):
        yield [*head, *_finding(finding, row.status_words, si=si), "no", "", ""]


def _cells(cell: CellAnswer, *, si: bool) -> list[str]:
    return _finding(cell.deciding, cell.status_words, si=si)


def _finding(finding: FindingAnswer | None, status: str, *, si: bool) -> list[str]:
    if finding is None:
        return [status, *([""] * 9)]

    def text(value: Figure | None) -> str:
        return "" if value is None else value.text(si=si)

    return [
        status,
        finding.part,
        text(finding.value),
        text(finding.least),
        text(finding.most),
        text(finding.margin),
        finding.clause,
        finding.cites,
        finding.standing,
        "yes" if finding.on_memory else "no",
    ]


def _plain(text: str) -> str:
    """Keep a spreadsheet from taking a name for a formula."""
    return f"'{text}" if text.startswith(_FORMULA_STARTS) else text
