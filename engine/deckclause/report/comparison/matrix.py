"""The matrix of a comparison: topics down, rule sets across, or in bands where columns are many."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from textwrap import wrap

from tabulate import tabulate

from deckclause.answers.compare.answer import CompareAnswer
from deckclause.answers.compare.row import TopicRow
from deckclause.report.comparison.cells import cell_text
from deckclause.report.fitted_table import table

MOST_COLUMNS = 4
NARROWEST = 15
"""A column narrower than this breaks its cells into too many lines to read."""
TOPIC = 26
"""The width kept for a topic's title."""


def matrix_lines(answer: CompareAnswer, rows: Sequence[TopicRow], width: int) -> Iterator[str]:
    """Yield the matrix, none of its lines wider than `width`.

    Where the columns are many or the width is short, each topic is told in bands of neighbouring
    rule sets that come to the same.
    """
    count = len(answer.cards)
    if count > MOST_COLUMNS or (width - TOPIC) // count - 2 < NARROWEST:
        yield from _bands(answer, rows, width)
        return
    body: list[list[str]] = []
    for title, found in groupby(rows, key=lambda row: row.part_title):
        body.append([title.upper(), *([""] * count)])
        body += [_cells(row, si=answer.si) for row in found]
    yield from table(["", *answer.titles], body, width).split("\n")


def matrix_markdown(answer: CompareAnswer, rows: Sequence[TopicRow]) -> str:
    """Return the matrix as a Markdown table."""
    body = [_cells(row, si=answer.si) for row in rows]
    return tabulate(body, headers=["", *answer.titles], tablefmt="github", disable_numparse=True)


def _cells(row: TopicRow, *, si: bool) -> list[str]:
    return [row.topic.title, *(cell_text(cell, si=si) for cell in row.cells)]


def _bands(answer: CompareAnswer, rows: Sequence[TopicRow], width: int) -> Iterator[str]:
    for title, found in groupby(rows, key=lambda row: row.part_title):
        yield title.upper()
        for row in found:
            yield from _banded(answer, row, width)


def _banded(answer: CompareAnswer, row: TopicRow, width: int) -> Iterator[str]:
    """Yield one topic, a band for each run of rule sets whose cells are the same."""
    cells = [cell_text(cell, si=answer.si) for cell in row.cells]
    bands = []
    for text, run in groupby(range(len(cells)), key=lambda column: cells[column].rstrip("*")):
        columns = list(run)
        star = "*" * any(cells[column].endswith("*") for column in columns)
        bands.append(f"{band_title([answer.titles[c] for c in columns])} {text}{star}")
    lead = f"  {row.topic.title:{TOPIC}}  "
    text = " | ".join(band.replace(" ", "\u00a0") for band in bands)
    for line in wrap(text, width, initial_indent=lead, subsequent_indent=" " * (TOPIC + 4)):
        yield line.replace("\u00a0", " ")


def band_title(titles: Sequence[str]) -> str:
    """Name neighbouring rule sets: editions of one book by their first and last year.

    >>> band_title(["IRC 2006", "IRC 2009", "IRC 2012"])
    '2006 to 2012'
    >>> band_title(["IRC 2012", "Dunmarrow, 2020-01-01"])
    'IRC 2012; Dunmarrow, 2020-01-01'
    """
    books = {title.rpartition(" ")[0] for title in titles}
    years = [title.rpartition(" ")[2] for title in titles]
    if len(books) == 1 and all(len(year) == 4 and year.isdigit() for year in years):
        return years[0] if len(years) == 1 else f"{years[0]} to {years[-1]}"
    return "; ".join(titles)
