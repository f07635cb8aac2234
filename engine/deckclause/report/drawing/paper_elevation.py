"""The ledger in elevation as sheets on paper: at true scale on letter pages, no lettering under 8 pt.

A unit of these drawings is one point in print. A long ledger is broken into strips, and these into
as many sheets as they need; each break says where the ledger goes on. What was worked out stands
beside the sheets as text.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import ceil

from msgspec import Struct
from msgspec.structs import replace

from deckclause.answers.sheet import PaperSheet
from deckclause.report.document import Drawing
from deckclause.report.drawing.drafting import PAPER, hatches, rect
from deckclause.report.drawing.elevation_strips import (
    ElevationDrawing,
    Strip,
    legend,
    strip_height,
    strip_node,
    verdict,
)
from deckclause.report.drawing.svg import Node, document, render
from deckclause.report.drawing.title_block import ALWAYS, PaperHead, paper_block, scale_bar

POINTS = 72.0
PER_INCH, SCALE = 6.0, "1 in = 1 ft (1:12)"
"""Points to an inch of the ledger, and how that is written."""
STRIP = Fraction(108)
"""Inches of the ledger that one strip has room for on a letter page on its side."""
EDGE = 8.0
WIDE = float(STRIP) * PER_INCH + 2 * EDGE
MOST_HIGH = 6.75 * POINTS
"""What a letter page on its side leaves under its margins and over a caption of two lines."""
LEAST = 8.0
LEGEND = 52.0
"""What the key to the signs takes under the strips."""

Spans = tuple[tuple[Fraction, Fraction], ...]
"""Where strips begin and end along the wall."""


class _Sheet(Struct, frozen=True):
    """Which sheet of how many it is, and the strips on it."""

    number: int
    of: int
    strips: Spans


def elevation_sheets(
    drawings: Sequence[ElevationDrawing], paper: PaperSheet
) -> tuple[Drawing, ...]:
    """Return the sheets of ledgers with a layout, numbered through; hands and dates are `paper`'s."""
    cut = [(drawing, spans) for drawing in drawings for spans in _sheets_of(drawing, paper)]
    return tuple(
        _drawn(drawing, paper, _Sheet(number, len(cut), spans))
        for number, (drawing, spans) in enumerate(cut, 1)
    )


def _sheets_of(drawing: ElevationDrawing, paper: PaperSheet) -> list[Spans]:
    """Put the strips of one ledger on as many sheets as they need."""
    spans = _spans(drawing)
    each = max(1, int((MOST_HIGH - _foot_height(drawing, paper)) // _strip_height(drawing)))
    return [spans[i : i + each] for i in range(0, len(spans), each)]


def _spans(drawing: ElevationDrawing) -> Spans:
    """Cut the ledger into strips of whole inches, as long as one another as far as that goes."""
    ledger = drawing.layout.line.ledger
    length = ledger.end - ledger.start
    count = max(1, ceil(length / STRIP))
    each = Fraction(ceil(length / count))
    starts = [ledger.start + each * i for i in range(count)]
    return tuple((at, min(at + each, ledger.end)) for at in starts if at < ledger.end)


def _strip_height(drawing: ElevationDrawing) -> float:
    return strip_height(drawing, Strip(Fraction(0), Fraction(0), 0, PER_INCH))


def _foot_height(drawing: ElevationDrawing, paper: PaperSheet) -> float:
    _, low = _foot(drawing, paper, "", 0.0)
    return LEGEND + low + EDGE


def _drawn(drawing: ElevationDrawing, paper: PaperSheet, sheet: _Sheet) -> Drawing:
    number = f"L-{sheet.number} of {sheet.of}"
    strips, low = _strips(drawing, sheet)
    foot, bottom = _foot(drawing, paper, number, low + LEGEND)
    high = bottom + EDGE
    told = f"{drawing.ledger_name}, {verdict(drawing.layout)}"
    title = f"{drawing.block.title}: {verdict(drawing.layout)} under {drawing.block.rule_set}"
    drawn = document(
        WIDE,
        high,
        title,
        told,
        hatches(),
        rect(0, 0, WIDE, high, PAPER, 0),
        *(strip_node(drawing, strip) for strip in strips),
        legend(EDGE, low + 12),
        scale_bar(WIDE - 300, low + 10, PER_INCH, (0, 6, 12, 24), LEAST),
        *foot,
    )
    caption = (
        f"Sheet {number}. Ledger elevation, from outside, under {drawing.block.rule_set}, {SCALE} "
        "printed on letter paper."
    )
    return Drawing(render(drawn), caption, f"{told}.", width_in=WIDE / POINTS)


def _strips(drawing: ElevationDrawing, sheet: _Sheet) -> tuple[list[Strip], float]:
    """Return a sheet's strips one below another, and the lower edge of the last."""
    strips: list[Strip] = []
    pitch = _strip_height(drawing)
    for place, (start, end) in enumerate(sheet.strips):
        last = place == len(sheet.strips) - 1
        on = f"continued on sheet L-{sheet.number + 1}" if last else "goes on below"
        strips.append(Strip(start, end, place * pitch, PER_INCH, EDGE, on))
    return strips, len(strips) * pitch


def _foot(
    drawing: ElevationDrawing, paper: PaperSheet, number: str, top: float
) -> tuple[Sequence[Node], float]:
    words = ("All lengths in inches, dressed sizes. " + ALWAYS[0], *drawing.block.cautions)
    sheet = replace(paper, number=number)
    return paper_block(
        PaperHead("Ledger elevation, from outside", drawing.block, sheet, SCALE),
        words,
        left=EDGE,
        top=top,
        width=WIDE - 2 * EDGE,
        least=LEAST,
    )
