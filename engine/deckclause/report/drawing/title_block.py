"""The sheet a drawing stands on: its heading, title block, scale bar and the cautions all carry."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from msgspec import Struct

from deckclause.answers.sheet import PaperSheet, TitleBlock
from deckclause.engineering.cautions import for_topic
from deckclause.report.drawing.drafting import (
    PAPER,
    hatches,
    heading,
    lettering,
    line,
    paragraph,
    rect,
    stack,
)
from deckclause.report.drawing.svg import Node, document, render

MARGIN = 24.0
"""Left free on either side of a sheet."""

ALWAYS = (
    "Not an engineered design and not an approval. Decks that fail kill people: the building "
    "official's reading of the adopted code governs.",
    "Figures marked 'memory' or 'common practice' were not seen in a published source: check them "
    "against the adopted code before use.",
)

LEDGER = " ".join(c.short for c in for_topic("ledger") if c.key != "not_a_design")
"""The engineering cautions of what every sheet shows, a ledger and its fasteners; that it is no
design stands first among `ALWAYS`.
"""


def sheet(
    block: TitleBlock,
    name: str,
    *parts: Node,
    width: float,
    foot: float,
    title: str,
    summary: str,
) -> str:
    """Return a whole sheet as SVG text: what is drawn below its heading, the title block at `foot`."""
    closing, low = title_block(block, name, MARGIN, foot, width - 2 * MARGIN)
    return render(
        document(
            width,
            low + 8,
            title,
            summary,
            hatches(),
            rect(0, 0, width, low + 8, PAPER, 0),
            heading(MARGIN, 34, title, width - 2 * MARGIN),
            *parts,
            closing,
        )
    )


def title_block(
    block: TitleBlock, name: str, left: float, top: float, width: float
) -> tuple[Node, float]:
    """Return the title block across the sheet's foot, and its lower edge."""
    cells = (
        ("drawing", name, 0.30),
        ("design", block.title, 0.24),
        ("place", block.place, 0.16),
        ("rule set", block.rule_set, 0.18),
        ("date", block.date, 0.12),
    )
    parts, low = cell_row(cells, left, top, width)
    low += 14
    for words in ("All lengths in inches, dressed sizes.", *ALWAYS, LEDGER, *block.cautions):
        written, low = paragraph(left + 6, low, words, width - 12, 9)
        parts += written
    return stack(parts), low


class PaperHead(Struct, frozen=True):
    """What a paper sheet's title block tells: what is drawn, of what, on which sheet, how large."""

    name: str
    block: TitleBlock
    paper: PaperSheet
    scale: str


def paper_block(
    head: PaperHead,
    words: Sequence[str],
    *,
    left: float,
    top: float,
    width: float,
    least: float,
) -> tuple[list[Node], float]:
    """Return a paper sheet's title block in two rows, `words` under it, and their lower edge.

    Nothing is lettered smaller than `least`, in the drawing's own units.
    """
    block, paper = head.block, head.paper
    rows = (
        (
            ("drawing", head.name, 0.33),
            ("design", block.title, 0.30),
            ("limits of", block.rule_set, 0.25),
            ("sheet", paper.number, 0.12),
        ),
        (
            ("scale", head.scale, 0.20),
            ("drawn by", paper.drawn_by, 0.17),
            ("checked by", paper.checked_by, 0.17),
            ("date of the drawing", paper.drawn_on, 0.26),
            ("revisions", paper.revisions, 0.20),
        ),
    )
    parts: list[Node] = []
    low = top
    for cells in rows:
        row, low = cell_row(cells, left, low, width, label_size=least, size=least, empty="")
        parts += row
    low += least + 4
    for text in words:
        written, low = paragraph(left, low, text, width, least)
        parts += written
    return parts, low


def cell_row(
    cells: Sequence[tuple[str, str, float]],
    left: float,
    top: float,
    width: float,
    *,
    label_size: float = 8,
    size: float = 10,
    empty: str = "not stated",
) -> tuple[list[Node], float]:
    """Return one row of a title block, of (label, words, share of the width), and its lower edge."""
    parts: list[Node] = []
    at, depth = left, 9 + 2.5 * size
    for label, words, share in cells:
        wide = width * share
        parts.append(lettering(at + 6, top + label_size + 3, label, label_size))
        first = top + label_size + 7 + size
        written, below = paragraph(at + 6, first, words or empty, wide - 10, size)
        parts += written
        depth = max(depth, below - top)
        at += wide
    parts.append(rect(left, top, width, depth, "none", 1.4))
    at = left
    for _, _, share in cells[:-1]:
        at += width * share
        parts.append(line(at, top, at, top + depth, 0.8))
    return parts, top + depth


def scale_bar(
    left: float, top: float, per_inch: float, inches: Sequence[int], least_type: float = 0.0
) -> Node:
    """Return a bar that tells lengths on the sheet however it is printed."""
    x, y, unit, small = left, top, per_inch, max(8.0, least_type)
    parts: list[Node] = []
    for index, (a, b) in enumerate(pairwise(inches)):
        fill = "#1b2733" if index % 2 == 0 else "#ffffff"
        parts.append(rect(x + a * unit, y, (b - a) * unit, 5, fill, 0.8))
    for mark in inches:
        parts.append(lettering(x + mark * unit, y + 7 + small, str(mark), small, "middle"))
    size = max(9, least_type)
    parts.append(lettering(x + inches[-1] * unit + 12, y + 7, "inches, to scale", size))
    return stack(parts)
