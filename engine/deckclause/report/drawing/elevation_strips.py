"""The ledger in elevation, strip by strip: pieces, splices, what is closed, every fastener, distances."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from itertools import pairwise

from msgspec import Struct

from deckclause.answers.sheet import TitleBlock
from deckclause.placement.clear_stretches import closed_intervals
from deckclause.placement.constraints import exact_length_text
from deckclause.placement.layout import Fastener, Layout
from deckclause.quantities import length_text
from deckclause.report.drawing.drafting import (
    INK,
    PAPER,
    WOOD,
    dimension_across,
    lettering,
    line,
    rect,
    stack,
)
from deckclause.report.drawing.svg import Node, element

ABOVE, BELOW = 58.0, 44.0


class ElevationDrawing(Struct, frozen=True):
    """A layout to draw. `row_depths` gives each row's distance below the ledger's top, inches."""

    block: TitleBlock
    layout: Layout
    ledger_name: str
    ledger_depth: Fraction
    row_depths: Mapping[str, Fraction]


class Strip(Struct, frozen=True):
    """One strip of the ledger on the sheet, from `start` to `end` along the wall.

    `left` and `top` are its corner there, `per_inch` the sheet's units to an inch of the ledger;
    `goes_on` is written at a break, where another strip goes on.
    """

    start: Fraction
    end: Fraction
    top: float
    per_inch: float
    left: float = 0.0
    goes_on: str = "goes on below"

    def x(self, position: Fraction) -> float:
        """Return where a place along the wall stands on the sheet."""
        return self.left + float(position - self.start) * self.per_inch

    def holds(self, position: Fraction) -> bool:
        """Tell whether a place along the wall is in the strip."""
        return self.start <= position <= self.end


def verdict(layout: Layout) -> str:
    """Say whether the ledger has a layout, and of how many fasteners."""
    if not layout.is_feasible:
        return "no layout of the ledger complies"
    return f"{layout.count} fasteners, the fewest that comply"


def strip_height(drawing: ElevationDrawing, strip: Strip) -> float:
    """Return how high a strip stands with its numbers and distances."""
    return ABOVE + float(drawing.ledger_depth) * strip.per_inch + BELOW


def strip_node(drawing: ElevationDrawing, strip: Strip) -> Node:
    """Return one strip, drawn."""
    return stack(
        (
            _ledger(drawing, strip),
            _closed(drawing, strip),
            _outline(drawing, strip),
            _splices(drawing, strip),
            _fasteners(drawing, strip),
            _spacings(drawing, strip),
        )
    )


def _heights(drawing: ElevationDrawing, strip: Strip) -> tuple[float, float]:
    top = strip.top + ABOVE
    return top, top + float(drawing.ledger_depth) * strip.per_inch


def _ledger(drawing: ElevationDrawing, strip: Strip) -> Node:
    top, low = _heights(drawing, strip)
    return rect(
        strip.x(strip.start), top, strip.x(strip.end) - strip.x(strip.start), low - top, WOOD, 0
    )


def _outline(drawing: ElevationDrawing, strip: Strip) -> Node:
    """Draw the pieces' edges, name them, and break the line where a strip goes on."""
    top, low = _heights(drawing, strip)
    ledger = drawing.layout.line.ledger
    parts = [line(strip.x(strip.start), y, strip.x(strip.end), y, 1.8) for y in (top, low)]
    for at in (strip.start, strip.end):
        if at in (ledger.start, ledger.end):
            parts.append(line(strip.x(at), top, strip.x(at), low, 1.8))
        elif at not in ledger.splices:
            parts.append(line(strip.x(at), top - 8, strip.x(at), low + 8, 1, "10 3 2 3"))
            word = strip.goes_on if at == strip.end else _from_above(drawing.layout, strip)
            anchor = "end" if at == strip.end else "start"
            parts.append(lettering(strip.x(at), low + 14, word, 8, anchor))  # type: ignore[arg-type]
    for number, (start, end) in enumerate(ledger.pieces, 1):
        a, b = max(start, strip.start), min(end, strip.end)
        if a < b:
            words = f"piece {number}, {length_text(end - start, 'ft')}"
            room = strip.x(b) - strip.x(a)
            if room < 150:
                words = f"piece {number}"
            parts.append(
                lettering(
                    (strip.x(a) + strip.x(b)) / 2, strip.top + 12, words, 10, "middle", bold=True
                )
            )
            parts.append(line(strip.x(a), strip.top + 17, strip.x(b), strip.top + 17, 0.8))
            for at in sorted({a, b} & {start, end}):
                x, y = strip.x(at), strip.top + 17
                parts.append(line(x - 3, y + 3, x + 3, y - 3, 1.4))
    return stack(parts)


def _closed(drawing: ElevationDrawing, strip: Strip) -> Node:
    """Hatch every part closed to fasteners: near ends and splices, and what is kept clear."""
    top, low = _heights(drawing, strip)
    parts: list[Node] = []
    for bar in closed_intervals(drawing.layout.line):
        a, b = max(bar.start, strip.start), min(bar.end, strip.end)
        if a < b:
            x = strip.x(a)
            parts.append(rect(x, top, strip.x(b) - x, low - top, "url(#hatch-closed)", 0.3))
    return stack(parts)


def _splices(drawing: ElevationDrawing, strip: Strip) -> Node:
    top, low = _heights(drawing, strip)
    line_ = drawing.layout.line
    parts: list[Node] = []
    for at in line_.ledger.splices:
        if strip.holds(at):
            x = strip.x(at)
            parts += [
                line(x - 1.5, top - 6, x - 1.5, low + 6, 1.4),
                line(x + 1.5, top - 6, x + 1.5, low + 6, 1.4),
            ]
    for at in line_.band_joist.splices:
        if strip.holds(at):
            x = strip.x(at)
            parts.append(line(x, top - 4, x, low + 4, 1, "3 2"))
            parts.append(
                element(
                    "polygon",
                    points=f"{x - 5:.2f},{top - 12:.2f} {x + 5:.2f},{top - 12:.2f} {x:.2f},{top - 3:.2f}",
                    fill=PAPER,
                    stroke=INK,
                    stroke_width=1,
                )
            )
    return stack(parts)


def _fasteners(drawing: ElevationDrawing, strip: Strip) -> Node:
    top, _ = _heights(drawing, strip)
    parts: list[Node] = []
    for item in _shown(drawing.layout, strip):
        x = strip.x(item.position)
        y = top + float(drawing.row_depths[item.row]) * strip.per_inch
        parts.append(element("circle", cx=x, cy=y, r=5, fill=PAPER, stroke=INK, stroke_width=1.6))
        parts.append(element("circle", cx=x, cy=y, r=1.8, fill=INK))
        parts.append(lettering(x, top - 18, str(item.number), 9, "middle", bold=True))
        parts.append(line(x, top - 14, x, y - 5, 0.4, "1 3"))
    return stack(parts)


def _shown(layout: Layout, strip: Strip) -> list[Fastener]:
    """Return the strip's fasteners; one on the border belongs to the strip it begins in."""
    first = strip.start == layout.line.ledger.start
    return [
        f
        for f in layout.fasteners
        if strip.start < f.position <= strip.end or (first and f.position == strip.start)
    ]


def _spacings(drawing: ElevationDrawing, strip: Strip) -> Node:
    """Write the distance from each end, splice or fastener to the next, below the ledger.

    The chain is closed at every splice: that distance is what the clauses limit. Where each joist
    line may be an end of the band joist it is closed at the ledger's alone, or nothing could be read.
    """
    _, low = _heights(drawing, strip)
    shown = _shown(drawing.layout, strip)
    if not shown:
        return stack(())
    line_ = drawing.layout.line
    ends = {line_.ledger.start, *line_.ledger.splices, line_.ledger.end}
    if 2 * len(line_.band_joist.splices) < len(drawing.layout.fasteners):
        ends |= {*line_.band_joist.splices}
    marks = sorted({f.position for f in shown} | {at for at in ends if strip.holds(at)})
    return stack(
        dimension_across(strip.x(a), strip.x(b), low + 30, _short(b - a, strip))
        for a, b in pairwise(marks)
    )


def _short(length: Fraction, strip: Strip) -> str:
    """Leave the unit out where the dimension is narrow; the title block gives it."""
    words = exact_length_text(length)
    room = float(length) * strip.per_inch
    return words if len(words) * 5.4 < room else words.removesuffix(" in")


def _from_above(layout: Layout, strip: Strip) -> str:
    """Say how far the strip's first fastener stands from the last of the strip before."""
    shown = _shown(layout, strip)
    if not shown or shown[0].number == 1:
        return "from above"
    here = shown[0]
    before = layout.fasteners[here.number - 2]
    apart = exact_length_text(here.position - before.position)
    return f"{here.number} is {apart} from {before.number}"


def legend(left: float, top: float) -> Node:
    """Return what the signs stand for."""
    return stack(
        (
            rect(left, top - 8, 22, 10, "url(#hatch-closed)", 0.8),
            lettering(left + 28, top, "closed: near an end or splice, or kept clear", 9),
            line(left + 10, top + 6, left + 10, top + 18, 1.4),
            line(left + 13, top + 6, left + 13, top + 18, 1.4),
            lettering(left + 28, top + 15, "ledger splice", 9),
            element(
                "polygon",
                points=f"{left + 6:.2f},{top + 21:.2f} {left + 16:.2f},{top + 21:.2f} {left + 11:.2f},{top + 30:.2f}",
                fill=PAPER,
                stroke=INK,
                stroke_width=1,
            ),
            lettering(left + 28, top + 29, "band joist splice, or possible one", 9),
        )
    )
