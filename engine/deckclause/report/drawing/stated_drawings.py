"""A deck drawn as its design states it: what nobody stated is dashed and asked, no limit is drawn.

For the command, the page and a report alike.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence

from deckclause.answers.outlines.views import NONE, StatedView
from deckclause.answers.section_board import SectionBoard
from deckclause.answers.sections import NO_LEDGER, NothingToDraw
from deckclause.report.document import Block, Drawing, Heading, Paragraph
from deckclause.report.drawing.draw_board import draw_board
from deckclause.report.drawing.draw_outline import draw_outline
from deckclause.report.drawing.svg import size_of

CAPTIONS = {
    "section": "Section through ledger and band joist, as stated.",
    "elevation": "The ledger from outside, as stated.",
    "plan": "Plan, as stated.",
    "stairs": "Stairs from the side, as stated.",
}
LEAST_PT, WIDE_IN = 8.0, 6.9
"""The smallest lettering in print, and what a drawing may take of an upright page's width."""
IN_A_REPORT = {"plan": 4.0, "stairs": 2.2}
"""Drawings a report holds besides those worked out, and how high each may be (in)."""


def section_as_stated(board: SectionBoard | None, notes: Sequence[str]) -> Drawing:
    """Return the section on paper, `notes` under it. Raises NothingToDraw without a ledger."""
    if board is None:
        raise NothingToDraw(NO_LEDGER)
    sheet = draw_board(board, notes=notes)
    return Drawing(sheet.svg, CAPTIONS["section"], " ".join((sheet.words, *notes)))


def outline_as_stated(stated: StatedView, notes: Sequence[str] | None = ()) -> Drawing:
    """Return the elevation, the plan or the stairs on paper; None of `notes` leaves the words out.

    Raises NothingToDraw for a deck that is stated to be without.
    """
    outline = stated.outline
    if outline is None:
        raise NothingToDraw(NONE[stated.view])
    words = " ".join([outline.words, *outline.notes, *(notes or ())])
    return Drawing(draw_outline(outline, notes=notes).svg, CAPTIONS[stated.view], words)


def stated_blocks(views: Iterable[StatedView]) -> Iterator[Block]:
    """Yield the plan and the stairs of a report, each where the design states any part of it."""
    yield Heading(1, "Plan and stairs, as stated", "plan")
    for stated in views:
        if stated.outline is None:
            yield Paragraph(NONE[stated.view])
        elif stated.lacks:
            words = f"No {stated.view} drawn: the design states no {' or '.join(stated.lacks)}."
            yield Paragraph(words)
        else:
            drawn = outline_as_stated(stated, None)
            high = max(IN_A_REPORT[stated.view], high_enough_to_read(drawn.svg))
            yield Drawing(drawn.svg, drawn.caption, drawn.description, high)


def high_enough_to_read(svg: str, least_pt: float = LEAST_PT) -> float:
    """Return the inches at which a drawing's smallest lettering is `least_pt` in print.

    A drawing too wide for that on an upright page is as high as the page's width lets it be.

    >>> round(high_enough_to_read('<svg viewBox="0 0 200 100"><text font-size="8"/></svg>'), 3)
    1.389
    """
    size = size_of(svg)
    sizes = [float(size) for size in re.findall(r'font-size="([\d.]+)"', svg)]
    if size is None or not sizes:
        return 0.0
    wide, high = size
    return high * min(least_pt / 72 / min(sizes), WIDE_IN / wide)
