"""Lines, hatches, dimensions and lettering shared by every drawing.

Black ink on white paper: meaning rests on hatching, line weight and words, never on colour
alone. One blue tint marks what is open to fasteners; printed grey it is still lighter than any
hatch.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Literal

from deckclause.report.drawing.svg import Node, element

INK = "#1b2733"
FAINT = "#8a949e"
OPEN = "#d5e3f2"
WOOD = "#f4f1ea"
PAPER = "#ffffff"
FONT = "'DejaVu Sans', Verdana, Helvetica, Arial, sans-serif"
CHARACTER = 0.6
"""Width of a letter over its size, on the wide side, to leave room."""

Anchor = Literal["start", "middle", "end"]


def hatches() -> Node:
    """Return every drawing's hatches, one meaning each: closed, shut (denser), open, ground, support."""
    return element(
        "defs",
        _hatch("hatch-closed", 6, 45, 1.1),
        _hatch("hatch-shut", 4, -45, 1.4),
        _hatch("hatch-ground", 9, 45, 0.6),
        _hatch("hatch-support", 5, 0, 0.7),
        element(
            "pattern",
            element("rect", width=8, height=8, fill=OPEN),
            element("circle", cx=4, cy=4, r=0.9, fill=INK),
            id="dots-open",
            width=8,
            height=8,
            patternUnits="userSpaceOnUse",
        ),
    )


def _hatch(name: str, pitch: float, angle: int, weight: float) -> Node:
    return element(
        "pattern",
        element("rect", width=pitch, height=pitch, fill=PAPER),
        element("line", x1=0, y1=0, x2=0, y2=pitch, stroke=INK, stroke_width=weight),
        id=name,
        width=pitch,
        height=pitch,
        patternUnits="userSpaceOnUse",
        patternTransform=f"rotate({angle})",
    )


def rect(
    x: float,
    y: float,
    width: float,
    height: float,
    fill: str = "none",
    weight: float = 1,
    dashes: str | None = None,
) -> Node:
    """Return a rectangle; weight 0 draws no outline."""
    return element(
        "rect",
        x=x,
        y=y,
        width=width,
        height=height,
        fill=fill,
        stroke=INK if weight else "none",
        stroke_width=weight,
        stroke_dasharray=dashes,
    )


def line(
    x1: float,
    y1: float,
    x2: float,
    y2: float,
    weight: float = 1,
    dashes: str | None = None,
    stroke: str = INK,
) -> Node:
    """Return a straight line."""
    return element(
        "line",
        x1=x1,
        y1=y1,
        x2=x2,
        y2=y2,
        stroke=stroke,
        stroke_width=weight,
        stroke_dasharray=dashes,
    )


def lettering(
    x: float,
    y: float,
    words: str,
    size: float = 11,
    anchor: Anchor = "start",
    *,
    bold: bool = False,
    halo: bool = False,
) -> Node:
    """Return one line of text; a halo clears the lines behind it."""
    letters = element(
        "text",
        words,
        x=x,
        y=y,
        font_family=FONT,
        font_size=size,
        font_weight="bold" if bold else None,
        text_anchor=None if anchor == "start" else anchor,
        fill=INK,
    )
    if not halo:
        return letters
    wide = size * CHARACTER * len(words) + 4
    shift = {"start": 2.0, "middle": wide / 2, "end": wide - 2}[anchor]
    back = element(
        "rect",
        x=x - shift,
        y=y - size,
        width=wide,
        height=size * 1.3,
        fill=PAPER,
    )
    return element("g", back, letters)


def wrapped(words: str, width: float, size: float) -> list[str]:
    """Break words into lines no wider than `width`; a longer word keeps a line of its own.

    >>> wrapped("not an engineered design", 100, 10)
    ['not an', 'engineered', 'design']
    """
    most = max(1, int(width / (size * CHARACTER)))
    lines: list[str] = []
    for word in words.split():
        if lines and len(lines[-1]) + 1 + len(word) <= most:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return lines


def paragraph(
    x: float, y: float, words: str, width: float, size: float = 10
) -> tuple[list[Node], float]:
    """Return wrapped text from its first baseline, and the baseline after it."""
    pitch = size * 1.35
    lines = wrapped(words, width, size)
    drawn = [lettering(x, y + i * pitch, text, size) for i, text in enumerate(lines)]
    return drawn, y + len(lines) * pitch


NO_APPROVAL = "Not an engineered design and not an approval."


def on_paper(
    width: float, height: float, words: Iterable[str]
) -> tuple[Node, tuple[Node, ...], float]:
    """Return a white ground, words under a drawing with the caution last, and the height of both."""
    parts: list[Node] = []
    for text in (*words, NO_APPROVAL):
        written, height = paragraph(12, height + 6, text, width - 24, 11)
        parts += written
    height += 6
    return rect(0, 0, width, height, PAPER, 0), tuple(parts), height


def heading(x: float, y: float, words: str, width: float) -> Node:
    """Return a drawing's heading, lettered smaller where it would not fit the width."""
    size = min(15.0, width / (0.66 * max(1, len(words))))
    return lettering(x, y, words, size, bold=True)


def key(x: float, y: float, number: int, size: float = 10) -> Node:
    """Return a number in a circle: the mark that ties a dimension to the list of limits."""
    return element(
        "g",
        element("circle", cx=x, cy=y, r=0.8 * size, fill=PAPER, stroke=INK, stroke_width=1),
        lettering(x, y + 0.35 * size, str(number), size, "middle", bold=True),
    )


def dimension_down(x: float, y1: float, y2: float, reach: float) -> Node:
    """Return a vertical dimension line with slashes at its ends and witness lines to `reach`."""
    parts = [line(x, y1, x, y2, 0.9)]
    for y in (y1, y2):
        parts.append(line(x, y, reach, y, 0.5, "2 2"))
        parts.append(line(x - 3.5, y + 3.5, x + 3.5, y - 3.5, 1.6))
    return element("g", *parts)


def dimension_across(x1: float, x2: float, y: float, words: str, size: float = 9) -> Node:
    """Return a horizontal dimension line with its length written above it."""
    parts = [line(x1, y, x2, y, 0.8)]
    for x in (x1, x2):
        parts.append(line(x - 3, y + 3, x + 3, y - 3, 1.4))
    middle = (x1 + x2) / 2
    parts.append(lettering(middle, y - 4, words, size, "middle"))
    return element("g", *parts)


def spread(wanted: Sequence[float], apart: float, low: float, high: float) -> list[float]:
    """Move labels along a line so that none is nearer than `apart`, as little as can be.

    The order is kept and the whole stays between `low` and `high` where there is room.

    >>> spread([10, 12, 50], 10, 0, 100)
    [6.0, 16.0, 50.0]
    """
    order = sorted(range(len(wanted)), key=lambda i: wanted[i])
    groups: list[tuple[float, int]] = []
    for index in order:
        groups.append((wanted[index], 1))
        while len(groups) > 1 and _overlap(groups[-2], groups[-1], apart):
            (a, n), (b, m) = groups[-2:]
            groups[-2:] = [((a * n + b * m) / (n + m), n + m)]
    places: list[float] = []
    for centre, count in groups:
        first = centre - apart * (count - 1) / 2
        places += [first + apart * k for k in range(count)]
    places = _within(places, apart, low, high)
    found = [0.0] * len(wanted)
    for index, place in zip(order, places, strict=True):
        found[index] = place
    return found


def _overlap(upper: tuple[float, int], lower: tuple[float, int], apart: float) -> bool:
    end = upper[0] + apart * (upper[1] - 1) / 2
    start = lower[0] - apart * (lower[1] - 1) / 2
    return start - end < apart


def _within(places: list[float], apart: float, low: float, high: float) -> list[float]:
    kept: list[float] = []
    for place in places:
        floor = low if not kept else kept[-1] + apart
        kept.append(max(place, floor))
    for index in range(len(kept) - 1, -1, -1):
        ceiling = high if index == len(kept) - 1 else kept[index + 1] - apart
        kept[index] = min(kept[index], ceiling)
    return kept


def stack(nodes: Iterable[Node | None]) -> Node:
    """Return a group of those nodes that are there."""
    return element("g", *(node for node in nodes if node is not None))
