"""A table fitted to a width: cells wrap between words; no word, no number and unit are parted."""

from __future__ import annotations

import re
from collections.abc import Sequence
from textwrap import wrap

from tabulate import tabulate

GAP = 2
"""Blanks between two columns."""
HEAD = 2
"""The table writer keeps a column so much wider than its heading."""
LEAST_FIRST = 18
NO_BREAK = "\u00a0"


def table(headers: Sequence[str], rows: Sequence[Sequence[str]], width: int) -> str:
    """Lay out rows of cells; the columns after the first share alike what it leaves of `width`.

    A column is never narrower than its longest word, so a table of many columns may pass `width`.

    >>> print(table(["", "IRC 2018"], [["Beam span", "ENGINEER"]], 24))
               IRC 2018
    ---------  ----------
    Beam span  ENGINEER
    """
    columns = [[_bound(cell) for cell in column] for column in zip(headers, *rows, strict=True)]
    words = [max(_longest_word(head) + HEAD, *map(_longest_word, c)) for head, *c in columns]
    lengths = [max(len(head) + HEAD, *map(len, cells)) for head, *cells in columns]
    rest = len(columns) - 1
    first = max(words[0], min(lengths[0], max(LEAST_FIRST, width // 3)))
    each = (width - first) // max(rest, 1) - GAP
    widths = [first, *(max(w, min(n, each)) for w, n in zip(words[1:], lengths[1:], strict=True))]
    room = width - sum(widths[1:]) - GAP * rest
    widths[0] = max(words[0], min(lengths[0], room))
    heads = [wrapped_cell(c[0], max(w - HEAD, 1)) for c, w in zip(columns, widths, strict=True)]
    body = [[wrapped_cell(cell, w) for cell in c[1:]] for c, w in zip(columns, widths, strict=True)]
    laid = tabulate(list(zip(*body, strict=True)), headers=heads, disable_numparse=True)
    return laid.replace(NO_BREAK, " ")


def _longest_word(cell: str) -> int:
    return max(map(len, cell.split(" ")), default=1)


def _bound(cell: str) -> str:
    """Keep a number and its unit on one line."""
    return re.sub(r"(?<=[0-9]) (?=(?:in|ft|psf|lb|sq|mm|kPa)\b)", NO_BREAK, cell)


def wrapped_cell(cell: str, width: int) -> str:
    """Wrap each line of a cell between its words; an empty line stays."""
    return "\n".join(
        part
        for line in cell.split("\n")
        for part in wrap(line, width, break_long_words=False, break_on_hyphens=False) or [line]
    )
