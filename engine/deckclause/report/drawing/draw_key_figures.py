"""Guard, stair and footing with their figures: a drawing not to scale, for a page handed out."""

from __future__ import annotations

from deckclause.answers.key_figures import KeyFigures
from deckclause.answers.sheet import TitleBlock
from deckclause.report.drawing.drafting import (
    dimension_across,
    dimension_down,
    lettering,
    line,
    rect,
    stack,
)
from deckclause.report.drawing.svg import Node
from deckclause.report.drawing.title_block import MARGIN, sheet

WIDTH, FOOT = 760.0, 262.0
GROUND, DECK = 202.0, 146.0
"""How far down the ground and the decking are drawn."""
SHADE = "url(#hatch-closed)"
SIZE = 13.0


def draw_key_figures(block: TitleBlock, figures: KeyFigures) -> str:
    """Return the drawing as SVG text: a guard, a stair, a footing, each with its figures."""
    return sheet(
        block,
        "Guard, stair and footing, not to scale",
        _guard(MARGIN + 20, figures),
        _stair(MARGIN + 300, figures),
        _footing(MARGIN + 545, figures),
        line(MARGIN, GROUND, WIDTH - MARGIN, GROUND, 1.6),
        lettering(MARGIN, GROUND + 13, "ground", 11),
        width=WIDTH,
        foot=FOOT,
        title=f"Guard, stair and footing under {block.rule_set}",
        summary=f"Guard {figures.guard}; {figures.opening}; riser {figures.riser}; "
        f"tread {figures.tread}; underside of footing {figures.footing}.",
    )


def _guard(left: float, figures: KeyFigures) -> Node:
    top = 82.0
    posts = [rect(left + 30 + i * 22, top, 5, DECK - top, "none") for i in range(4)]
    return stack(
        (
            rect(left + 14, DECK, 110, 7, SHADE),
            rect(left + 26, top - 5, 84, 5, "none"),
            *posts,
            dimension_down(left, top - 5, DECK, left + 24),
            lettering(left - 14, top - 16, f"guard {figures.guard}", SIZE, bold=True),
            dimension_across(left + 57, left + 74, DECK - 22, ""),
            lettering(left - 14, DECK + 24, figures.opening, SIZE, bold=True),
        )
    )


def _stair(left: float, figures: KeyFigures) -> Node:
    rise, run, steps = 18.0, 34.0, 3
    parts: list[Node] = [rect(left - 40, DECK, 40, 7, SHADE)]
    for i in range(steps):
        x, y = left + i * run, DECK + i * rise
        parts += [line(x, y, x, y + rise, 1.4), line(x, y + rise, x + run, y + rise, 1.4)]
    low = DECK + steps * rise
    parts += [
        dimension_down(left + 118, DECK + rise, DECK + 2 * rise, left + run + 4),
        lettering(left + 40, DECK + 4, f"riser {figures.riser}", SIZE, bold=True),
        dimension_across(left + run, left + 2 * run, low + 18, ""),
        lettering(left - 10, low + 38, f"tread {figures.tread}", SIZE, bold=True),
    ]
    return stack(parts)


def _footing(left: float, figures: KeyFigures) -> Node:
    low = GROUND + 44
    return stack(
        (
            rect(left + 40, DECK, 10, low - 14 - DECK, "none"),
            rect(left + 18, low - 14, 54, 14, SHADE),
            dimension_down(left + 102, GROUND, low, left + 74),
            lettering(left - 20, DECK - 28, "underside of the footing", SIZE, bold=True),
            lettering(left - 20, DECK - 11, figures.footing, SIZE, bold=True),
        )
    )
