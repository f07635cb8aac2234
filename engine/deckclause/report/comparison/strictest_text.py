"""What must change to build the same deck under all of several rule sets, as text."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from textwrap import wrap

from tabulate import tabulate

from deckclause.answers.compare.strictest import (
    LIMIT_HEADERS,
    LIMITS,
    NO_LIMIT,
    READ_WHOLE,
    LimitRow,
    StrictestAnswer,
)
from deckclause.report.cautions import CAUTIONS
from deckclause.report.fitted_table import wrapped_cell

MOST_LIMIT, MOST_DESIGN, NARROWEST = 18, 14, 10
"""Widths of columns, in characters: the most of two, the least of any."""


def strictest_lines(words: StrictestAnswer, width: int) -> Iterator[str]:
    """Yield what must change, what is undecided, and the strictest limit of each topic."""
    yield from wrap(words.title, width, break_on_hyphens=False)
    yield from wrap(words.headline.upper(), width)
    for heading, lines in words.sections:
        yield ""
        yield heading.upper()
        for line in lines:
            yield from wrap(
                line, width, initial_indent="  ", subsequent_indent="    ", break_on_hyphens=False
            )
    yield ""
    yield LIMITS.upper()
    rows = words.limits
    yield from wrap(READ_WHOLE if rows else NO_LIMIT, width)
    if rows:
        yield limits_table(rows, width)
    yield ""
    for caution in CAUTIONS:
        yield from wrap(caution, width, subsequent_indent="  ")


def limits_table(rows: Sequence[LimitRow], width: int) -> str:
    """Lay the limits out as a table; a cell is wrapped between words, never inside one."""
    cells = [(r.topic, r.limit, r.design, r.mark, ",\n".join(r.setters)) for r in rows]
    columns = list(zip(*cells, strict=True))
    widths = [max(len(line) for cell in c for line in cell.split("\n")) for c in columns]
    words = [max(len(word) for cell in c for word in cell.split()) for c in columns]
    room = width - widths[3] - 2 * (len(columns) - 1)
    for index, most in ((4, width // 4), (1, MOST_LIMIT), (2, MOST_DESIGN), (0, width)):
        widths[index] = max(words[index], min(widths[index], most, max(room, NARROWEST)))
        room -= widths[index]
    wrapped = [
        [wrapped_cell(cell, width) for cell, width in zip(row, widths, strict=True)]
        for row in cells
    ]
    return tabulate(wrapped, LIMIT_HEADERS, disable_numparse=True)
