"""The section as the board's script is given it: one drawing, and each member that may be moved.

How measures and limits go over stands in `handles`.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from deckclause.answers.section_board import (
    Handle,
    SectionBoard,
    SectionError,
    section_board,
)
from deckclause.answers.section_scene import BAND, DECKING, FLOOR, JOISTS, LEDGER, LOWER, UPPER
from deckclause.answers.sections import NO_LEDGER
from deckclause.compare.comparison import Comparison
from deckclause.page.board.handles import Held
from deckclause.placement.constraints import exact_length_text
from deckclause.report.drawing.draw_board import WALL, BoardSheet, draw_board
from deckclause.rulesets.vocabulary import Vocabulary

ASKS: dict[str, tuple[str, ...]] = {
    FLOOR: ("floor.subfloor_thickness", "floor.finish_thickness"),
    BAND: (
        *("band_joist.kind", "band_joist.size", "band_joist.species"),
        "band_joist.directly_supported_by",
    ),
    LEDGER: (
        *("ledger.size", "ledger.below_band_joist", "ledger.species", "ledger.treatment"),
        *("ledger.grade", "fasteners.kind", "fasteners.diameter", "fasteners.spacing"),
    ),
    JOISTS: ("joists.size", "joists.span", "joists.spacing", "joists.below_ledger_top"),
    DECKING: ("decking.thickness", "decking.board"),
    WALL: ("wall.structure", "wall.sheathing_kind", "wall.sheathing_thickness"),
}
"""The few questions on each member; all others stand in the form."""
LABELS = {
    LEDGER: "Ledger: its top below the band joist's top",
    UPPER: "Upper row of fasteners, below the ledger's top",
    LOWER: "Lower row of fasteners, below the ledger's top",
    JOISTS: "Joists: their tops below the ledger's top",
}
BELOW_TOP = 26.0
"""How far under a member's top it is taken hold of, so that the edge itself stays in sight."""


def section_data(comparison: Comparison, vocabulary: Vocabulary) -> dict[str, Any]:
    """Return the board for a comparison's design, or `words` that say why there is none."""
    try:
        board = section_board(
            comparison.design, comparison.evaluators, vocabulary, comparison.placement
        )
    except SectionError as fault:
        return {"svg": "", "words": f"No section is drawn: {fault}."}
    if board is None:
        return {"svg": "", "words": NO_LEDGER}
    sheet = draw_board(board)
    return {
        "svg": sheet.svg,
        "words": sheet.words,
        "width": sheet.width,
        "height": sheet.height,
        "members": [
            {"member": name, "title": name, "box": box, "asks": ASKS[name]}
            for name, *box in sheet.members
        ],
        "handles": [_handle(handle, sheet, board) for handle in board.handles],
        "steps": [
            {
                "name": step.name,
                "asked": None if step.asked is None else exact_length_text(step.asked),
                "greatest": [{"title": t, "words": words} for t, words in step.greatest],
            }
            for step in board.steps
        ],
    }


def _handle(handle: Handle, sheet: BoardSheet, board: SectionBoard) -> dict[str, Any]:
    across = {LEDGER: sheet.ledger, JOISTS: sheet.joists}.get(handle.member, sheet.rows)
    group, _, key = handle.quantity.partition(".")
    many = handle.member == JOISTS
    keys = [f"{group}[{i}].{key}" for i in handle.fields] if many else [handle.quantity]
    drawn = handle.value if handle.value is not None else _as_drawn(handle, board)
    held = Held(
        handle.member,
        LABELS[handle.member],
        tuple(keys),
        "y",
        sheet.level + float(handle.zero) * sheet.per_inch,
        across,
        sheet.per_inch,
        handle.value,
        drawn,
        handle.low,
        handle.high,
        handle.reaches,
        offset=0.0 if handle.member in (UPPER, LOWER) else BELOW_TOP,
    )
    return {**held.data(), "member": handle.member}


def _as_drawn(handle: Handle, board: SectionBoard) -> Fraction:
    """Return where a member stands that nobody stated."""
    rows = board.scene.rows
    if handle.member == UPPER:
        return rows[0] if rows else Fraction(2)
    if handle.member == LOWER:
        return rows[1] if rows else handle.high - Fraction(2)
    return Fraction(0)
