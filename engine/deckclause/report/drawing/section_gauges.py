"""The gauges of a section: each board's closed and open parts, with the limits that make them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from msgspec import Struct

from deckclause.answers.section_scene import Scene
from deckclause.placement.boards import (
    BAND_BOTTOM,
    BAND_TOP,
    LEDGER_BOTTOM,
    LEDGER_TOP,
    LOWER_ROW,
    UPPER_ROW,
)
from deckclause.placement.constraints import Distance, exact_length_text
from deckclause.placement.zones import BoardZone
from deckclause.report.drawing.drafting import (
    CHARACTER,
    Anchor,
    dimension_down,
    key,
    lettering,
    line,
    rect,
    spread,
    stack,
)
from deckclause.report.drawing.section_frame import GAUGE, LANES, Frame
from deckclause.report.drawing.svg import Node

STRIP = 42.0
ROWS = (UPPER_ROW, LOWER_ROW)


class _Board(Struct, frozen=True):
    """One board as its gauge shows it; heights below the band joist's top."""

    name: str
    edges: tuple[str, str]
    top: Fraction
    depth: Fraction
    alone: BoardZone
    both: BoardZone
    left: float
    outward: int


def gauges(scene: Scene, frame: Frame, numbers: Mapping[Distance, int]) -> Node:
    """Return both gauges with their dimensions, each keyed to the list of limits."""
    section, zones = scene.drawing.section, scene.zones
    band = _Board(
        section.band_joist_name,
        (BAND_TOP, BAND_BOTTOM),
        Fraction(0),
        section.band_joist_depth,
        zones.band_joist,
        zones.both_from_band_joist,
        frame.band_gauge,
        -1,
    )
    ledger = _Board(
        section.ledger_name,
        (LEDGER_TOP, LEDGER_BOTTOM),
        scene.drop,
        section.ledger_depth,
        zones.ledger,
        zones.both_from_ledger,
        frame.ledger_gauge,
        1,
    )
    return stack(
        part
        for board in (band, ledger)
        for part in (_gauge(board, frame), _limits(board, frame, numbers))
    )


def _gauge(board: _Board, frame: Frame) -> Node:
    middle = board.left + GAUGE / 2
    parts = [
        lettering(
            middle, frame.top + frame.type(11) - 1, board.name, frame.type(11), "middle", bold=True
        ),
        lettering(
            middle,
            frame.top + frame.type(11) + frame.type(9) + 3,
            exact_length_text(board.depth),
            frame.type(9),
            "middle",
        ),
    ]
    for index, word in enumerate(("upper", "lower")):
        x = board.left + index * (STRIP + 4)
        # in large type there is no room for the second word, and the strips stand under their board
        label = word if frame.least_type else f"{word} row"
        size = frame.type(8)
        # words wider than their strips stand one above the other
        raised = size if index == 0 and len(word) * size * CHARACTER > STRIP + 4 else 0.0
        parts.append(
            lettering(x + STRIP / 2, frame.y(board.top) - 4 - raised, label, size, "middle")
        )
        parts.append(_strip(board, frame, index, x))
    return stack(parts)


def _strip(board: _Board, frame: Frame, index: int, x: float) -> Node:
    """Draw one row's strip: hatched where its own board closes it, barred where both are open."""
    y1, y2 = frame.y(board.top), frame.y(board.top + board.depth)
    parts = [rect(x, y1, STRIP, y2 - y1, "url(#dots-open)", 0)]
    if board.alone.rows:
        for start, end in board.alone.rows[index].bands(board.depth):
            a, b = frame.y(board.top + start), frame.y(board.top + end)
            parts.append(rect(x, a, STRIP, b - a, "url(#hatch-closed)", 0.8))
    else:
        parts.append(rect(x, y1, STRIP, y2 - y1, "url(#hatch-closed)", 0.8))
    if board.both.rows:
        low, high = board.both.rows[index].interval
        if low is not None and high is not None:
            a, b = frame.y(board.top + low), frame.y(board.top + high)
            parts.append(rect(x + STRIP / 2 - 3, a - 1, 6, b - a + 2, "#1b2733", 0))
    parts.append(rect(x, y1, STRIP, y2 - y1, "none", 1.4))
    return stack(parts)


def _limits(board: _Board, frame: Frame, numbers: Mapping[Distance, int]) -> Node:
    """Draw the dimensions of this board's own limits with their numbers."""
    spans = [
        (item, *span)
        for item in numbers
        if item.kind == "clause" and (span := _span(item, board)) is not None
    ]
    lanes = _lanes([(a, b) for _, a, b in spans])
    inner = board.left if board.outward < 0 else board.left + GAUGE
    pitch = LANES / (max(lanes, default=0) + 1.5)
    middles = [(frame.y(a) + frame.y(b)) / 2 for _, a, b in spans]
    places = spread(middles, 19, frame.top + 40, frame.bottom)
    parts: list[Node] = []
    for (item, a, b), lane, middle, place in zip(spans, lanes, middles, places, strict=True):
        x = inner + board.outward * pitch * (lane + 1)
        parts.append(dimension_down(x, frame.y(a), frame.y(b), inner))
        edge = inner + board.outward * (LANES + 4)
        parts.append(line(x, middle, edge, place, 0.5))
        parts.append(key(edge + board.outward * 8, place, numbers[item], frame.type(10)))
        anchor: Anchor = "end" if board.outward < 0 else "start"
        words = item.bounds_text().replace("at least ", "≥ ").replace("at most ", "≤ ")
        parts.append(
            lettering(
                edge + board.outward * (10 + frame.type(10)),
                place + 3.5,
                words,
                frame.type(10),
                anchor,
            )
        )
    return stack(parts)


def _span(item: Distance, board: _Board) -> tuple[Fraction, Fraction] | None:
    """Return the part of the board a limit closes, as heights below the band joist's top."""
    length = item.most if item.least is None else item.least
    assert length is not None
    for edge, datum in zip((board.top, board.top + board.depth), board.edges, strict=True):
        if item.start == datum and item.end in ROWS:
            return edge, edge + length
        if item.end == datum and item.start in ROWS:
            return edge - length, edge
    return None


def _lanes(spans: Sequence[tuple[Fraction, Fraction]]) -> list[int]:
    """Give each dimension the nearest lane in which it meets no other."""
    lanes: list[int] = []
    for index, (a, b) in enumerate(spans):
        taken = {
            lanes[other] for other in range(index) if spans[other][0] <= b and a <= spans[other][1]
        }
        lanes.append(next(n for n in range(len(spans) + 1) if n not in taken))
    return lanes
