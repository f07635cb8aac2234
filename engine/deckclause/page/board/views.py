"""Plan, elevation and stairs as the board's script is given them, and which drawing is asked for."""

from __future__ import annotations

from typing import Any

from deckclause.answers.outlines.limits import Limits
from deckclause.answers.outlines.model import Grip, Outline
from deckclause.answers.outlines.views import NONE, OUTLINES
from deckclause.compare.comparison import Comparison
from deckclause.page.board.handles import Held
from deckclause.page.board.section import section_data
from deckclause.report.drawing.draw_outline import OutlineSheet, draw_outline
from deckclause.rulesets.vocabulary import Vocabulary


def board_data(comparison: Comparison, vocabulary: Vocabulary, view: str) -> dict[str, Any]:
    """Return one drawing of the board, the section where none of the others is asked for."""
    if view not in OUTLINES:
        return {"view": "section", **section_data(comparison, vocabulary)}
    outline = OUTLINES[view](comparison.design, Limits(comparison.evaluations))
    if outline is None:
        return {"view": view, "svg": "", "words": NONE[view]}
    sheet = draw_outline(outline)
    return {
        "view": view,
        "svg": sheet.svg,
        "words": " ".join([outline.words, *outline.notes]),
        "width": sheet.width,
        "height": sheet.height,
        "members": [
            {
                "member": member,
                "title": _title(comparison, member),
                "box": box,
                "asks": _asks(outline, member),
            }
            for member, *box in sheet.boxes
        ],
        "handles": [_handle(grip, sheet) for grip in outline.grips],
        "steps": [],
    }


def _asks(outline: Outline, member: str) -> tuple[str, ...]:
    return outline.asks.get(member.partition("[")[0], ())


def _title(comparison: Comparison, member: str) -> str:
    """Name a part of the design as it names it: `beams[0]` is the front beam."""
    group, _, index = member.rstrip("]").partition("[")
    if not index:
        return group
    parts = comparison.design.design.values(group)
    named = parts[int(index)].name if int(index) < len(parts) else ""
    return named or group.replace("_", " ")


def _handle(grip: Grip, sheet: OutlineSheet) -> dict[str, Any]:
    along, across = (sheet.x, sheet.y) if grip.axis == "x" else (sheet.y, sheet.x)
    return Held(
        "-".join(grip.keys),
        grip.label,
        grip.keys,
        grip.axis,
        along(grip.origin),
        across(grip.across),
        sheet.per_inch,
        grip.value,
        grip.drawn,
        grip.low,
        grip.high,
        grip.reaches,
        grip.step,
    ).data()
