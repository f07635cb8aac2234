"""The section as a sheet on paper: at true scale on a letter page, no lettering under 8 pt.

The sheet holds the section, its scale and its title block; the limits its numbers stand for, and
what was worked out, stand beside it as text.
"""

from __future__ import annotations

from collections.abc import Sequence

from deckclause.answers.section_scene import Scene
from deckclause.answers.sheet import PaperSheet
from deckclause.report.document import Block, Bullets, Cell, Drawing, Grid, Paragraph
from deckclause.report.drawing.drafting import PAPER, hatches, paragraph, rect
from deckclause.report.drawing.draw_section import (
    legend,
    numbered,
    panel,
    summary,
    verdict,
    worked_out,
)
from deckclause.report.drawing.section_frame import PANEL_WIDTH, PER_INCH, Frame, frame_of
from deckclause.report.drawing.svg import Node, document, render
from deckclause.report.drawing.title_block import ALWAYS, LEDGER, cell_row, scale_bar

EDGE = 8.0
"""Left free round the sheet; the page has margins of its own."""
LEAST_PT = 8.0
SCALES = ((4, "3 in = 1 ft (1:4)"), (5, "1:5"))
"""Inches of the deck to one of the sheet, and how that is written, the larger drawing first."""
FITTED = "fitted to the page, measured by its scale bar"
MOST_HIGH_IN = 6.75
"""What a letter page on its side leaves under its margins and over a caption of two lines."""


def section_sheet(shown: Scene, paper: PaperSheet) -> Drawing:
    """Return the section as a sheet at the largest scale whose page it fits.

    One too deep for every scale is fitted to the page and says so: its foot with the cautions is
    never left off the paper.
    """
    head = f"Sheet {paper.number}. Section {_as_drawn(shown)}"
    for per, said in SCALES:
        svg, wide, high = _sheet(shown, paper, per, said)
        inches = 1 / (per * PER_INCH)
        if high * inches <= MOST_HIGH_IN:
            words = f"{head}, {said} printed on letter paper."
            return Drawing(svg, words, summary(shown), width_in=wide * inches)
    svg, _, _ = _sheet(shown, paper, SCALES[-1][0], FITTED)
    return Drawing(svg, f"{head}, {FITTED}.", summary(shown))


def _as_drawn(shown: Scene) -> str:
    rule_set = shown.drawing.block.rule_set
    if shown.drawing.proposed:
        return f"as proposed; limits of {rule_set}"
    return f"under {rule_set}"


def _sheet(shown: Scene, paper: PaperSheet, per: int, said: str) -> tuple[str, float, float]:
    """Return the sheet at one inch to `per`, its width and its height in its own units."""
    least = LEAST_PT / 72 * per * PER_INCH
    frame = frame_of(shown, EDGE, EDGE, least)
    wide = PANEL_WIDTH + frame.room + 2 * EDGE
    foot = frame.bottom + 26 + 3 * (least + 5)
    block, low = _title_block(shown, paper, said, foot, wide, least)
    high = low + EDGE
    title = f"{shown.drawing.block.title}: {verdict(shown)} under {shown.drawing.block.rule_set}"
    drawn = document(
        wide,
        high,
        title,
        summary(shown),
        hatches(),
        rect(0, 0, wide, high, PAPER, 0),
        panel(shown, frame, numbered(shown.drawing.clauses)),
        legend(EDGE, frame.bottom + 26, least),
        _bar(frame, wide, least),
        *block,
    )
    return render(drawn), wide, high


def _bar(frame: Frame, wide: float, least: float) -> Node:
    return scale_bar(wide - 260, frame.bottom + 14, PER_INCH, (0, 1, 2, 4), least)


def _title_block(
    shown: Scene, paper: PaperSheet, said: str, top: float, wide: float, least: float
) -> tuple[list[Node], float]:
    """Return the title block's two rows and the cautions under them, and their lower edge."""
    block = shown.drawing.block
    rows = (
        (
            ("drawing", "Section through ledger and band joist", 0.33),
            ("design", block.title, 0.30),
            ("limits of", block.rule_set, 0.25),
            ("sheet", paper.number, 0.12),
        ),
        (
            ("scale", said, 0.20),
            ("drawn by", paper.drawn_by, 0.20),
            ("checked by", paper.checked_by, 0.20),
            ("date of the drawing", paper.drawn_on, 0.20),
            ("revisions", paper.revisions, 0.20),
        ),
    )
    parts: list[Node] = []
    low = top
    for cells in rows:
        row, low = cell_row(
            cells, EDGE, low, wide - 2 * EDGE, label_size=least, size=least, empty=""
        )
        parts += row
    low += least + 4
    for words in ("All lengths in inches, dressed sizes. " + ALWAYS[0], *block.cautions):
        written, low = paragraph(EDGE, low, words, wide - 2 * EDGE, least)
        parts += written
    return parts, low


def limit_blocks(shown: Scene) -> tuple[Block, ...]:
    """Return the limits a section's numbers stand for, and what was worked out, as text."""
    rows = tuple(
        (
            Cell(str(number)),
            Cell(f"{item.bounds_text()}: {item.label}"),
            Cell(item.cites or "no section cited"),
            Cell(item.standing or "standing not stated"),
        )
        for item, number in numbered(shown.drawing.clauses).items()
    )
    caption = f"Limits drawn, of {shown.drawing.block.rule_set}"
    grid = Grid(caption, ("No.", "Limit", "Section", "Standing"), rows, shares=(6, 46, 33, 15))
    return grid, Bullets(tuple(worked_out(shown)))


def sheet_cautions(scenes: Sequence[Scene]) -> Paragraph:
    """Return the cautions of every sheet, each once; those the sheet itself has no room for among them."""
    own = dict.fromkeys(words for shown in scenes for words in shown.drawing.block.cautions)
    return Paragraph(" ".join((ALWAYS[1], LEDGER, *own)))
