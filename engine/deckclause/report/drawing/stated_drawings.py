"""A deck drawn as its design states it: what nobody stated is dashed and asked, no limit is drawn.

For the command, the page and a report alike.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from deckclause.answers.outlines.views import NONE, StatedView
from deckclause.answers.section_board import SectionBoard
from deckclause.answers.sections import NO_LEDGER, NothingToDraw
from deckclause.report.document import Block, Drawing, Heading, Paragraph
from deckclause.report.drawing.draw_board import draw_board
from deckclause.report.drawing.draw_outline import draw_outline

CAPTIONS = {
    "section": "Section through ledger and band joist, as stated.",
    "elevation": "The ledger from outside, as stated.",
    "plan": "Plan, as stated.",
    "stairs": "Stairs from the side, as stated.",
}
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
            yield Paragraph(NONE[stated.view], "note")
        elif stated.lacks:
            words = f"No {stated.view} drawn: the design states no {' or '.join(stated.lacks)}."
            yield Paragraph(words, "note")
        else:
            drawn = outline_as_stated(stated, None)
            high = IN_A_REPORT[stated.view]
            yield Drawing(drawn.svg, drawn.caption, drawn.description, high)
