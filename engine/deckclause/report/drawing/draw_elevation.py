"""The elevation sheet: the ledger seen from outside, with pieces, splices and every fastener."""

from __future__ import annotations

from fractions import Fraction

from deckclause.placement.constraints import exact_length_text
from deckclause.placement.ledger_line import EndLimit
from deckclause.report.drawing.drafting import paragraph, stack
from deckclause.report.drawing.elevation_strips import (
    ElevationDrawing,
    Strip,
    legend,
    strip_height,
    strip_node,
    verdict,
)
from deckclause.report.drawing.svg import Node
from deckclause.report.drawing.title_block import MARGIN, scale_bar, sheet

WIDTH = 1240.0
STRIP = Fraction(144)
"""Ledger shown in one strip, inches; a longer ledger goes on in the strip below."""


def draw_elevation(drawing: ElevationDrawing) -> str:
    """Return the elevation sheet as SVG text; a ledger with no layout shows why instead.

    Raises KeyError where a row of the layout has no depth.
    """
    strips = _strips(drawing)
    pitch = strip_height(drawing, strips[0])
    parts = [strip_node(drawing, strip) for strip in strips]
    low = strips[-1].top + pitch + 6
    parts.append(legend(MARGIN, low))
    parts.append(scale_bar(MARGIN + 640, low - 6, strips[0].per_inch, (0, 6, 12, 24)))
    notes, low = _notes(drawing, low + 50)
    told = verdict(drawing.layout)
    return sheet(
        drawing.block,
        "Ledger elevation, from outside",
        *parts,
        notes,
        width=WIDTH,
        foot=low + 8,
        title=f"{drawing.block.title}: {told} under {drawing.block.rule_set}",
        summary=f"{drawing.ledger_name}, {told}.",
    )


def _strips(drawing: ElevationDrawing) -> list[Strip]:
    ledger = drawing.layout.line.ledger
    length = min(STRIP, ledger.end - ledger.start)
    per_inch = (WIDTH - 2 * MARGIN - 12) / float(max(length, STRIP / 2))
    strips: list[Strip] = []
    at, top = ledger.start, 56.0
    while at < ledger.end:
        end = min(at + length, ledger.end)
        strips.append(Strip(at, end, top, per_inch, MARGIN + 6))
        top += strip_height(drawing, strips[-1])
        at = end
    return strips


def _end_text(limit: EndLimit) -> str:
    least = exact_length_text(limit.least)
    most = "" if limit.most is None else f", the first within {exact_length_text(limit.most)}"
    return f"{limit.label}, at least {least}{most}" + (f" ({limit.cites})" if limit.cites else "")


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
        f"{drawing.ledger_name}: {verdict(layout)}.",
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
