"""The section as a sheet on paper: at true scale on a letter page, no lettering under 8 pt.

The sheet holds the section, its scale and its title block; the limits its numbers stand for, and
what was worked out, stand beside it as text.
"""

from __future__ import annotations

from collections.abc import Sequence

from deckclause.answers.section_scene import Scene
from deckclause.answers.sheet import PaperSheet
from deckclause.report.document import Block, Bullets, Cell, Drawing, Grid, Paragraph
from deckclause.report.drawing.drafting import CHARACTER, PAPER, hatches, rect
from deckclause.report.drawing.draw_section import (
    legend,
    numbered,
    panel,
    summary,
    verdict,
    worked_out,
)
from deckclause.report.drawing.section_frame import PER_INCH, frame_of
from deckclause.report.drawing.svg import Node, document, render
from deckclause.report.drawing.title_block import ALWAYS, LEDGER, PaperHead, paper_block, scale_bar

EDGE = 8.0
"""Left free round the sheet; the page has margins of its own."""
BAR, BAR_LETTERS = 4 * PER_INCH + 20, 16
LEGEND, LEGEND_LETTERS = 64, 62
"""What the scale bar and the key to the signs take, and letters beside and in their longest line."""
LEAST_PT = 8.0
SCALES = ((4, "3 in = 1 ft (1:4)"), (5, "1:5"), (6, "2 in = 1 ft (1:6)"), (7, "1:7"))
"""Inches of the deck to one of the sheet, and how that is written, the larger drawing first."""
FITTED = "fitted to the page, measured by its scale bar"
MOST_HIGH_IN = 6.8
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
    wide = frame.wide + 2 * EDGE
    foot = frame.bottom + 26 + 3 * (least + 5)
    bar = frame.bottom + 14
    beside = BAR + BAR_LETTERS * CHARACTER * least
    if wide - beside < EDGE + LEGEND + LEGEND_LETTERS * CHARACTER * least:  # no room: under them
        bar, foot = foot, foot + 2 * least + 12
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
        scale_bar(wide - beside, bar, PER_INCH, (0, 1, 2, 4), least),
        *block,
    )
    return render(drawn), wide, high


def _title_block(
    shown: Scene, paper: PaperSheet, said: str, top: float, wide: float, least: float
) -> tuple[list[Node], float]:
    """Return the title block's two rows and the cautions under them, and their lower edge."""
    block = shown.drawing.block
    words = ("All lengths in inches, dressed sizes. " + ALWAYS[0], *block.cautions)
    return paper_block(
        PaperHead("Section through ledger and band joist", block, paper, said),
        words,
        left=EDGE,
        top=top,
        width=wide - 2 * EDGE,
        least=least,
    )


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
