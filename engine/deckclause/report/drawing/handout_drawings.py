"""Drawings for a page that is handed out: across an upright letter page, no lettering under 8 pt.

They carry no title block, heading or legend of their own: the page names the place, the day and the
deck, tells the limits by their numbers, says what the hatches mean and repeats the cautions.
"""

from __future__ import annotations

from deckclause.answers.key_figures import KeyFigures
from deckclause.answers.section_scene import Scene
from deckclause.report.drawing.drafting import (
    PAPER,
    dimension_across,
    dimension_down,
    hatches,
    lettering,
    line,
    rect,
    stack,
)
from deckclause.report.drawing.draw_section import numbered, panel, summary
from deckclause.report.drawing.section_frame import PANEL_WIDTH, frame_of
from deckclause.report.drawing.svg import Node, document, render

LEAST_PT, WIDE_IN = 8.0, 6.9
"""The least lettering, and the narrowest a drawing is set across a page: in Word, by its margins."""
EDGE = 6.0
HATCHES = "Hatched: closed to fasteners; dotted: open on that board alone; black bar: open on both; dashed: not stated."
"""What the section's hatches mean, for the page to say."""
FIGURES_WIDE, FIGURES_HIGH = 760.0, 206.0
DECK, GROUND = 96.0, 152.0
"""How far down the decking and the ground are drawn."""
SHADE = "url(#hatch-closed)"
SIZE = 13.0


def section_across(shown: Scene) -> str:
    """Return the section with its gauges as SVG text, and nothing beside them."""
    plain = frame_of(shown, EDGE, 0, 1)
    wide = PANEL_WIDTH + plain.room + 2 * EDGE
    frame = frame_of(shown, EDGE, 0, least_lettering(wide))
    return _across(
        wide,
        frame.bottom + EDGE,
        f"Section through ledger and band joist under {shown.drawing.block.rule_set}",
        summary(shown),
        panel(shown, frame, numbered(shown.drawing.clauses)),
    )


def figures_across(rule_set: str, figures: KeyFigures) -> str:
    """Return guard, stair and footing with their figures as SVG text, not to scale."""
    return _across(
        FIGURES_WIDE,
        FIGURES_HIGH,
        f"Guard, stair and footing, not to scale, under {rule_set}",
        f"Guard {figures.guard}; {figures.opening}; riser {figures.riser}; "
        f"tread {figures.tread}; underside of footing {figures.footing}.",
        _guard(44, figures),
        _stair(324, figures),
        _footing(569, figures),
        line(EDGE, GROUND, FIGURES_WIDE - EDGE, GROUND, 1.6),
        lettering(EDGE, GROUND + 15, "ground", SIZE),
    )


def least_lettering(wide: float) -> float:
    """Return the least lettering of a drawing so many units wide, in its units."""
    return LEAST_PT / 72 * wide / WIDE_IN


def _across(wide: float, high: float, title: str, said: str, *parts: Node) -> str:
    paper = rect(0, 0, wide, high, PAPER, 0)
    return render(document(wide, high, title, said, hatches(), paper, *parts))


def _guard(left: float, figures: KeyFigures) -> Node:
    top = DECK - 64
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
    low, right = GROUND + 44, FIGURES_WIDE - EDGE
    return stack(
        (
            rect(left + 40, DECK, 10, low - 14 - DECK, "none"),
            rect(left + 18, low - 14, 54, 14, SHADE),
            dimension_down(left + 102, GROUND, low, left + 74),
            lettering(right, DECK - 28, "underside of the footing", SIZE, "end", bold=True),
            lettering(right, DECK - 11, figures.footing, SIZE, "end", bold=True),
        )
    )
