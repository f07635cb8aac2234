"""The section as the board's script is given it: one drawing, and each member that may be moved.

Measures go over in eighths of an inch, the steps they are moved in: a limit that lies between two
steps becomes the nearest step inside it. The exact limit is told in words.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from math import ceil, floor
from typing import Any

from deckclause.answers.section_board import (
    End,
    Handle,
    Reach,
    SectionBoard,
    SectionError,
    section_board,
)
from deckclause.compare.comparison import Comparison
from deckclause.placement.constraints import exact_length_text
from deckclause.report.drawing.draw_board import BoardSheet, draw_board
from deckclause.rulesets.vocabulary import Vocabulary

STEP = 8
"""Steps an inch."""
ASKS: dict[str, tuple[str, ...]] = {
    "floor": ("floor.subfloor_thickness", "floor.finish_thickness"),
    "band joist": (
        *("band_joist.kind", "band_joist.size", "band_joist.species"),
        "band_joist.directly_supported_by",
    ),
    "ledger": (
        *("ledger.size", "ledger.below_band_joist", "ledger.species", "ledger.treatment"),
        *("ledger.grade", "fasteners.kind", "fasteners.diameter", "fasteners.spacing"),
    ),
    "joists": ("joists.size", "joists.span", "joists.spacing", "joists.below_ledger_top"),
    "decking": ("decking.thickness", "decking.board"),
    "wall": ("wall.structure", "wall.sheathing_kind", "wall.sheathing_thickness"),
}
"""The few questions on each member; all others stand in the form."""
NO_LEDGER = "No section is drawn: the deck does not hang on a ledger, or it is not said."


def section_data(comparison: Comparison, vocabulary: Vocabulary) -> dict[str, Any]:
    """Return the board for a comparison's design, or `words` that say why there is none."""
    try:
        board = section_board(comparison.design, comparison.evaluators, vocabulary)
    except SectionError as fault:
        return {"svg": "", "words": f"No section is drawn: {fault}."}
    if board is None:
        return {"svg": "", "words": NO_LEDGER}
    sheet = draw_board(board.scene)
    return {
        "svg": sheet.svg,
        "words": sheet.words,
        "width": sheet.width,
        "height": sheet.height,
        "level": sheet.level,
        "per_inch": sheet.per_inch,
        "members": [
            {"member": name, "box": box, "asks": ASKS[name]} for name, *box in sheet.members
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
    across = {"ledger": sheet.ledger, "joists": sheet.joists}.get(handle.member, sheet.rows)
    group, _, key = handle.quantity.partition(".")
    many = handle.member == "joists"
    keys = [f"{group}[{i}].{key}" for i in handle.fields] if many else [handle.quantity]
    value = handle.value
    shown = value if value is not None else _as_drawn(handle, board)
    return {
        "member": handle.member,
        "keys": keys,
        "zero": float(handle.zero),
        "value": None if value is None else float(value * STEP),
        "text": "not stated" if value is None else exact_length_text(value),
        "drawn": float(shown * STEP),
        "low": ceil(handle.low * STEP),
        "high": floor(handle.high * STEP),
        "across": across,
        "reaches": [_reach(reach) for reach in handle.reaches],
        "strictest": _strictest(handle.reaches),
    }


def _as_drawn(handle: Handle, board: SectionBoard) -> Fraction:
    """Return where a member stands that nobody stated."""
    rows = board.scene.rows
    if handle.member == "upper row":
        return rows[0] if rows else Fraction(2)
    if handle.member == "lower row":
        return rows[1] if rows else handle.high - Fraction(2)
    return Fraction(0)


def _reach(reach: Reach) -> dict[str, Any]:
    return {
        "rule_set": reach.rule_set,
        "title": reach.title,
        "least": _end(reach.least, ceil),
        "most": _end(reach.most, floor),
        "words": reach.words,
    }


def _end(end: End | None, inside: Any) -> dict[str, Any] | None:
    if end is None:
        return None
    text = exact_length_text(end.value)
    return {"at": inside(end.value * STEP), "text": text, "because": end.because}


def _strictest(reaches: Iterable[Reach]) -> dict[str, Any]:
    """Return the ends no rule set lies inside of, each with the first rule set that sets it."""
    least = [(r.least.value, r) for r in reaches if r.least is not None]
    most = [(r.most.value, r) for r in reaches if r.most is not None]
    found: dict[str, Any] = {"least": None, "most": None}
    if least:
        _, reach = max(least, key=lambda pair: pair[0])
        found["least"] = {**(_end(reach.least, ceil) or {}), "title": reach.title}
    if most:
        _, reach = min(most, key=lambda pair: pair[0])
        found["most"] = {**(_end(reach.most, floor) or {}), "title": reach.title}
    return found
