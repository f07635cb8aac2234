"""An outline drawn to scale: what is stated solid, what is not dashed and asked."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from msgspec import Struct

from deckclause.answers.outlines.model import Dimension, Outline, Shape
from deckclause.report.drawing.drafting import (
    INK,
    PAPER,
    WOOD,
    dimension_across,
    dimension_down,
    hatches,
    lettering,
    on_paper,
    rect,
)
from deckclause.report.drawing.svg import Node, document, element, render

LETTERS = 13.5
"""Read on screen without leaning towards it."""
DASHES = "7 4"
WIDE, HIGH = 620.0, 430.0
"""Room for what is drawn; the scale is the largest that fits."""
MOST_PER_INCH = 26.0
LEFT, RIGHT, TOP, BOTTOM = 74.0, 118.0, 44.0, 52.0
FILLS = {
    "board": WOOD,
    "light": PAPER,
    "ground": "url(#hatch-ground)",
    "round": PAPER,
    "edge": "none",
}
WEIGHTS = {"board": 1.8, "light": 0.6, "ground": 1.2, "round": 1.2, "edge": 1.2}
LEAST_ROUND = 5.0
LEAST_LABELLED = 60.0


class OutlineSheet(Struct, frozen=True):
    """The drawing, and how inches stand on it; `boxes` are members as (member, x, y, wide, high)."""

    svg: str
    width: float
    height: float
    per_inch: float
    left: float
    top: float
    boxes: tuple[tuple[str, float, float, float, float], ...]

    def x(self, inches: Fraction) -> float:
        """Return where a place along the wall stands on the drawing."""
        return self.left + float(inches) * self.per_inch

    def y(self, inches: Fraction) -> float:
        """Return where a place across stands on the drawing."""
        return self.top + float(inches) * self.per_inch


def draw_outline(outline: Outline, *, notes: Sequence[str] | None = None) -> OutlineSheet:
    """Draw an outline; with `notes`, on paper: a white ground, its words and them under it."""
    at = _scaled(outline)
    parts: list[Node] = [_shape(shape, at) for shape in outline.shapes]
    parts += [node for shape in outline.shapes if (node := _label(shape, at)) is not None]
    parts += [_dimension(item, at) for item in outline.dimensions]
    parts += _asked(outline, at)
    height = at.height
    if notes is not None:
        words = (outline.words, *outline.notes, *notes)
        ground, written, height = on_paper(at.width, height, words)
        parts = [ground, *parts, *written]
    svg = render(document(at.width, height, outline.title, outline.words, hatches(), *parts))
    return OutlineSheet(svg, at.width, height, at.per_inch, at.left, at.top, _boxes(outline, at))


def _scaled(outline: Outline) -> OutlineSheet:
    shapes = outline.shapes
    left, right = min(s.x for s in shapes), max(s.x + s.width for s in shapes)
    top, low = min(s.y for s in shapes), max(s.y + s.height for s in shapes)
    for item in outline.dimensions:
        if item.axis == "x":
            low = max(low, item.across)
            top = min(top, item.across)
        else:
            left, right = min(left, item.across), max(right, item.across)
    per_inch = min(WIDE / float(right - left), HIGH / float(low - top), MOST_PER_INCH)
    width = LEFT + RIGHT + max(float(right - left) * per_inch, WIDE * 0.7)
    height = TOP + BOTTOM + float(low - top) * per_inch
    return OutlineSheet(
        "", width, height, per_inch, LEFT - float(left) * per_inch, TOP - float(top) * per_inch, ()
    )


def _shape(shape: Shape, at: OutlineSheet) -> Node:
    x, y = at.x(shape.x), at.y(shape.y)
    wide, high = float(shape.width) * at.per_inch, float(shape.height) * at.per_inch
    dashes = None if shape.stated else DASHES
    fill = FILLS[shape.form] if shape.stated or shape.form == "edge" else PAPER
    if shape.form == "round":
        radius = max(wide / 2, LEAST_ROUND)
        return element(
            "circle", cx=x + wide / 2, cy=y + high / 2, r=radius, fill=fill, stroke=INK,
            stroke_width=WEIGHTS["round"], stroke_dasharray="3 2" if dashes and radius < 12 else dashes,
        )  # fmt: skip
    return rect(x, y, wide, high, fill, WEIGHTS[shape.form], dashes)


def _label(shape: Shape, at: OutlineSheet) -> Node | None:
    if not shape.label:
        return None
    words = shape.label if shape.stated else f"{shape.label} ?"
    x, y = at.x(shape.x), at.y(shape.y)
    wide, high = float(shape.width) * at.per_inch, float(shape.height) * at.per_inch
    if _small(shape, at):
        return lettering(x - 3, y + high + 3, "?", LETTERS, "end", bold=True, halo=True)
    if shape.form == "edge":
        return None if shape.stated else lettering(x + 8, y + high / 2, words, LETTERS, halo=True)
    if high < LETTERS + 4:
        return lettering(x + 4, y - 5, words, LETTERS, halo=True)
    return lettering(x + wide / 2, y + high / 2 + LETTERS / 3, words, LETTERS, "middle", halo=True)


def _small(shape: Shape, at: OutlineSheet) -> bool:
    """Whether what nobody stated is too slender to bear its label."""
    if shape.stated or not shape.label:
        return False
    across = float(max(shape.width, shape.height)) * at.per_inch
    return shape.form in ("light", "round") or across < LEAST_LABELLED


def _asked(outline: Outline, at: OutlineSheet) -> list[Node]:
    """Name under the drawing what is too slender to bear a label and stands as a question mark."""
    names = ", ".join(dict.fromkeys(shape.label for shape in outline.shapes if _small(shape, at)))
    if not names:
        return []
    return [lettering(12, at.height - 14, f"? {names}", LETTERS)]


def _dimension(item: Dimension, at: OutlineSheet) -> Node:
    if item.axis == "x":
        y = at.y(item.across)
        return dimension_across(at.x(item.start), at.x(item.end), y, item.words, LETTERS)
    x = at.x(item.across)
    y1, y2 = at.y(item.start), at.y(item.end)
    words = lettering(x + 6, (y1 + y2) / 2 + LETTERS / 3, item.words, LETTERS, halo=True)
    return element("g", dimension_down(x, y1, y2, x - 4), words)


def _boxes(
    outline: Outline, at: OutlineSheet
) -> tuple[tuple[str, float, float, float, float], ...]:
    """Return each member's box, the largest first, so that what lies on it is met before it."""
    found: dict[str, list[float]] = {}
    for shape in outline.shapes:
        if not shape.member:
            continue
        x, y = at.x(shape.x), at.y(shape.y)
        box = [x, y, x + float(shape.width) * at.per_inch, y + float(shape.height) * at.per_inch]
        old = found.get(shape.member, box)
        found[shape.member] = [*map(min, old[:2], box[:2]), *map(max, old[2:], box[2:])]
    boxes = [(member, a, b, c - a, d - b) for member, (a, b, c, d) in found.items()]
    return tuple(sorted(boxes, key=lambda box: -box[3] * box[4]))
