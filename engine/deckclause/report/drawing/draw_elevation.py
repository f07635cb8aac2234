"""The elevation sheet: the ledger seen from outside, with pieces, splices and every fastener."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from deckclause.answers.sheet import TitleBlock
from deckclause.placement.clear_stretches import closed_intervals
from deckclause.placement.constraints import exact_length_text
from deckclause.placement.layout import Fastener, Layout
from deckclause.placement.ledger_line import EndLimit
from deckclause.quantities import length_text
from deckclause.report.drawing.drafting import (
    INK,
    PAPER,
    WOOD,
    dimension_across,
    lettering,
    line,
    paragraph,
    rect,
    stack,
)
from deckclause.report.drawing.svg import Node, element
from deckclause.report.drawing.title_block import MARGIN, scale_bar, sheet

WIDTH = 1240.0
STRIP = Fraction(144)
"""Ledger shown in one strip, inches; a longer ledger goes on in the strip below."""
ABOVE, BELOW = 58.0, 44.0


@dataclass(frozen=True, slots=True)
class ElevationDrawing:
    """A layout to draw. `row_depths` gives each row's distance below the ledger's top, inches."""

    block: TitleBlock
    layout: Layout
    ledger_name: str
    ledger_depth: Fraction
    row_depths: Mapping[str, Fraction]


@dataclass(frozen=True, slots=True)
class _Strip:
    """One strip of the ledger on the sheet, from `start` to `end` along the wall."""

    start: Fraction
    end: Fraction
    top: float
    per_inch: float

    def x(self, position: Fraction) -> float:
        return MARGIN + 6 + float(position - self.start) * self.per_inch

    def holds(self, position: Fraction) -> bool:
        return self.start <= position <= self.end


def draw_elevation(drawing: ElevationDrawing) -> str:
    """Return the elevation sheet as SVG text; a ledger with no layout shows why instead.

    Raises KeyError where a row of the layout has no depth.
    """
    strips = _strips(drawing)
    pitch = _strip_height(drawing, strips[0])
    parts = [_strip(drawing, strip) for strip in strips]
    low = strips[-1].top + pitch + 6
    parts.append(_legend(MARGIN, low))
    parts.append(scale_bar(MARGIN + 640, low - 6, strips[0].per_inch, (0, 6, 12, 24)))
    notes, low = _notes(drawing, low + 50)
    verdict = _verdict(drawing.layout)
    return sheet(
        drawing.block,
        "Ledger elevation, from outside",
        *parts,
        notes,
        width=WIDTH,
        foot=low + 8,
        title=f"{drawing.block.title}: {verdict} under {drawing.block.rule_set}",
        summary=f"{drawing.ledger_name}, {verdict}.",
    )


def _verdict(layout: Layout) -> str:
    if not layout.is_feasible:
        return "no layout of the ledger complies"
    return f"{layout.count} fasteners, the fewest that comply"


def _strips(drawing: ElevationDrawing) -> list[_Strip]:
    ledger = drawing.layout.line.ledger
    length = min(STRIP, ledger.end - ledger.start)
    per_inch = (WIDTH - 2 * MARGIN - 12) / float(max(length, STRIP / 2))
    strips: list[_Strip] = []
    at, top = ledger.start, 56.0
    while at < ledger.end:
        end = min(at + length, ledger.end)
        strips.append(_Strip(at, end, top, per_inch))
        top += _strip_height(drawing, strips[-1])
        at = end
    return strips


def _strip_height(drawing: ElevationDrawing, strip: _Strip) -> float:
    return ABOVE + float(drawing.ledger_depth) * strip.per_inch + BELOW


def _strip(drawing: ElevationDrawing, strip: _Strip) -> Node:
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


def _heights(drawing: ElevationDrawing, strip: _Strip) -> tuple[float, float]:
    top = strip.top + ABOVE
    return top, top + float(drawing.ledger_depth) * strip.per_inch


def _ledger(drawing: ElevationDrawing, strip: _Strip) -> Node:
    top, low = _heights(drawing, strip)
    return rect(
        strip.x(strip.start), top, strip.x(strip.end) - strip.x(strip.start), low - top, WOOD, 0
    )


def _outline(drawing: ElevationDrawing, strip: _Strip) -> Node:
    """Draw the pieces' edges, name them, and break the line where a strip goes on."""
    top, low = _heights(drawing, strip)
    ledger = drawing.layout.line.ledger
    parts = [line(strip.x(strip.start), y, strip.x(strip.end), y, 1.8) for y in (top, low)]
    for at in (strip.start, strip.end):
        if at in (ledger.start, ledger.end):
            parts.append(line(strip.x(at), top, strip.x(at), low, 1.8))
        elif at not in ledger.splices:
            parts.append(line(strip.x(at), top - 8, strip.x(at), low + 8, 1, "10 3 2 3"))
            word = "goes on below" if at == strip.end else _from_above(drawing.layout, strip)
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
            parts.append(line(strip.x(a) + 3, strip.top + 17, strip.x(b) - 3, strip.top + 17, 0.8))
    return stack(parts)


def _closed(drawing: ElevationDrawing, strip: _Strip) -> Node:
    """Hatch every part closed to fasteners: near ends and splices, and what is kept clear."""
    top, low = _heights(drawing, strip)
    parts: list[Node] = []
    for bar in closed_intervals(drawing.layout.line):
        a, b = max(bar.start, strip.start), min(bar.end, strip.end)
        if a < b:
            x = strip.x(a)
            parts.append(rect(x, top, strip.x(b) - x, low - top, "url(#hatch-closed)", 0.3))
    return stack(parts)


def _splices(drawing: ElevationDrawing, strip: _Strip) -> Node:
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


def _fasteners(drawing: ElevationDrawing, strip: _Strip) -> Node:
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


def _shown(layout: Layout, strip: _Strip) -> list[Fastener]:
    """Return the strip's fasteners; one on the border belongs to the strip it begins in."""
    first = strip.start == layout.line.ledger.start
    return [
        f
        for f in layout.fasteners
        if strip.start < f.position <= strip.end or (first and f.position == strip.start)
    ]


def _spacings(drawing: ElevationDrawing, strip: _Strip) -> Node:
    """Write the distance from each end or fastener to the next, below the ledger."""
    _, low = _heights(drawing, strip)
    shown = _shown(drawing.layout, strip)
    if not shown:
        return stack(())
    ledger = drawing.layout.line.ledger
    marks = [f.position for f in shown]
    if strip.start == ledger.start:
        marks.insert(0, ledger.start)
    if strip.end == ledger.end:
        marks.append(ledger.end)
    return stack(
        dimension_across(strip.x(a), strip.x(b), low + 30, _short(b - a, strip))
        for a, b in pairwise(marks)
    )


def _short(length: Fraction, strip: _Strip) -> str:
    """Leave the unit out where the dimension is narrow; the title block gives it."""
    words = exact_length_text(length)
    room = float(length) * strip.per_inch
    return words if len(words) * 5.4 < room else words.removesuffix(" in")


def _from_above(layout: Layout, strip: _Strip) -> str:
    """Say how far the strip's first fastener stands from the last of the strip before."""
    shown = _shown(layout, strip)
    if not shown or shown[0].number == 1:
        return "from above"
    here = shown[0]
    before = layout.fasteners[here.number - 2]
    apart = exact_length_text(here.position - before.position)
    return f"{here.number} is {apart} from {before.number}"


def _end_text(limit: EndLimit) -> str:
    least = exact_length_text(limit.least)
    most = "" if limit.most is None else f", the first within {exact_length_text(limit.most)}"
    return f"{limit.label}, at least {least}{most}" + (f" ({limit.cites})" if limit.cites else "")


def _legend(left: float, top: float) -> Node:
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


def _notes(drawing: ElevationDrawing, top: float) -> tuple[Node, float]:
    layout = drawing.layout
    rows = "; ".join(
        f"{row} row {exact_length_text(depth)} below the ledger's top, "
        f"{exact_length_text(drawing.ledger_depth - depth)} above its bottom"
        for row, depth in drawing.row_depths.items()
    )
    limits = "; ".join(
        f"{f.label}: at most {exact_length_text(f.most)}" + (f" ({f.cites})" if f.cites else "")
        for f in layout.line.fields
    )
    ends = "; ".join(
        _end_text(limit) for limit in (layout.line.ledger_ends, layout.line.band_joist_ends)
    )
    said = [
        f"{drawing.ledger_name}: {_verdict(layout)}.",
        f"Rows: {rows}.",
        f"Spacing: {limits}.",
        f"From the ends of every piece: {ends}.",
    ]
    said += [f"Conflict: {c.text()}." for c in layout.conflicts]
    said += list(layout.cautions)
    parts: list[Node] = []
    low = top
    for words in said:
        written, low = paragraph(MARGIN + 6, low, words, WIDTH - 2 * MARGIN - 12, 10)
        parts += written
        low += 3
    return stack(parts), low
