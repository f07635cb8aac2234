"""The section on the page's board: the same members as on the sheet, lettered to be read on screen.

Beside it the page puts what may be moved and how far; where everything stands is told with it.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from msgspec import Struct

from deckclause.answers.section_board import SectionBoard
from deckclause.answers.section_scene import (
    BAND,
    DECKING,
    FLOOR,
    JOISTS,
    LEDGER,
    LOWER,
    UPPER,
    Scene,
)
from deckclause.placement.constraints import exact_length_text
from deckclause.reading.status import status_told
from deckclause.report.drawing.drafting import hatches, on_paper
from deckclause.report.drawing.section_boards import JOIST_RUN, boards
from deckclause.report.drawing.section_frame import (
    GAP,
    GAUGE,
    LABEL,
    LANES,
    PER_INCH,
    SECTION,
    THICKNESS,
    Frame,
    frame_of,
    width,
)
from deckclause.report.drawing.svg import Node, document, render

Box = tuple[str, float, float, float, float]
"""(member, left, top, width, height) in units of the drawing."""
EDGE = 12.0
LEAST_TYPE = 13.5
"""Read without leaning towards the screen."""
SHEET = EDGE + SECTION + 8
PAPER_WIDE = 640.0
"""Of a sheet with words under the section."""
WALL = "wall"
"""What is asked where the sheathing is drawn."""


class BoardSheet(Struct, frozen=True):
    """The drawn section, and where on it things stand, in units of the drawing.

    `level` is the height of the band joist's top. `ledger`, `rows` and `joists` are how far across
    a member is taken hold of; `members` where each can be tapped.
    """

    svg: str
    words: str
    width: float
    height: float
    level: float
    per_inch: float
    ledger: float
    rows: float
    joists: float
    members: tuple[Box, ...]


def draw_board(board: SectionBoard, *, notes: Sequence[str] | None = None) -> BoardSheet:
    """Draw the section for the board; with `notes`, on paper with its words and them under it."""
    shown = board.scene
    frame = frame_of(shown, EDGE - LABEL - LANES - GAUGE - GAP, -20, LEAST_TYPE)
    height = frame.bottom + 18
    face = frame.ledger(shown.drawing.sheathing) + width(THICKNESS)
    words = board_words(board)
    wide = SHEET
    under: tuple[Node, ...] = ()
    if notes is not None:
        wide = PAPER_WIDE
        ground, told, height = on_paper(wide, height, (words, *notes))
        under = (ground, *told)
    drawing = boards(shown, frame, {})
    drawn = document(wide, height, shown.drawing.block.title, words, hatches(), *under, drawing)
    return BoardSheet(
        render(drawn),
        words,
        wide,
        height,
        frame.y(Fraction(0)),
        PER_INCH,
        face - width(THICKNESS) / 2,
        face + JOIST_RUN + 22,
        face + JOIST_RUN - 16,
        _members(shown, frame),
    )


def _members(shown: Scene, frame: Frame) -> tuple[Box, ...]:
    section, thick = shown.drawing.section, width(THICKNESS)
    ledger = frame.ledger(shown.drawing.sheathing)
    face = ledger + thick
    top = frame.y(shown.drop)
    depth = section.joist_depth or section.ledger_depth
    joists = frame.y(shown.joist_top)
    decking = width(section.decking or Fraction(1))
    floor = width(section.floor_build_up or Fraction(3, 2))
    level = frame.y(Fraction(0))
    found = [
        (FLOOR, frame.section, level - floor, frame.band - frame.section, floor),
        (BAND, frame.band, level, thick, width(section.band_joist_depth)),
        (LEDGER, ledger, top, thick, width(section.ledger_depth)),
        (JOISTS, face, joists, JOIST_RUN, width(depth)),
        (DECKING, face, joists - decking, JOIST_RUN, decking),
    ]
    if shown.drawing.sheathing:
        gap = width(shown.drawing.sheathing)
        found.append((WALL, frame.band_outside, level - 2 * thick, gap, 2 * thick))
    return tuple(found)


def board_words(board: SectionBoard) -> str:
    """Say the section in words: what is stated, what is not, what each rule set makes of the rows."""
    shown = board.scene
    section, guessed = shown.drawing.section, set(shown.drawing.guessed)
    parts = []
    if {LEDGER, BAND} & guessed:
        parts.append("The boards or the ledger's drop are not all stated.")
    else:
        drop = exact_length_text(shown.drop)
        parts.append(f"{section.ledger_name} on {section.band_joist_name}, drop {drop}.")
    if board.rows_off:
        guessed -= {UPPER, LOWER}
        parts.append("The rows as stated do not lie one above the other on the ledger drawn.")
    elif shown.rows is not None and UPPER not in guessed:
        upper, lower = (exact_length_text(row) for row in shown.rows)
        parts.append(f"Rows: upper {upper}, lower {lower} below the ledger's top.")
        told = "; ".join(f"{title}: {status_told(status)}" for title, status in board.verdicts)
        parts.append(f"As they stand, {told}.")
    if guessed:
        parts.append(
            f"Dashed with a question mark, as nobody stated it: {', '.join(sorted(guessed))}."
        )
    return " ".join(parts)
