"""The section itself: house wall, band joist, ledger, deck joist, decking and floor, to scale."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from deckclause.answers.section_scene import (
    BAND,
    DECKING,
    FLOOR,
    JOISTS,
    LEDGER,
    LOWER,
    SHEATHING,
    SILL,
    UPPER,
    Deciding,
    Scene,
    deciding,
    heights,
)
from deckclause.placement.boards import BAND_BOTTOM, BAND_TOP, LOWER_ROW, UPPER_ROW
from deckclause.placement.constraints import Distance, exact_length_text
from deckclause.report.drawing.drafting import (
    FAINT,
    INK,
    PAPER,
    WOOD,
    dimension_down,
    key,
    lettering,
    line,
    rect,
    spread,
    stack,
)
from deckclause.report.drawing.section_frame import SECTION, THICKNESS, Frame, width
from deckclause.report.drawing.svg import Node, element

JOIST_RUN = 122.0
GUESSED = "7 4"
"""The dashes of a member nobody stated."""
THROUGH_BOLT, LAG_SCREW = "through_bolt", "lag_screw"


def boards(scene: Scene, frame: Frame, numbers: Mapping[Distance, int]) -> Node:
    """Return the section: what is behind first, the fasteners last."""
    return stack(
        (
            _house(scene, frame),
            _deck(scene, frame),
            _two_boards(scene, frame),
            _open_bars(scene, frame),
            asked_for(scene, frame),
            _decides(scene, frame, numbers),
            _rows(scene, frame, numbers),
            _joist_name(scene, frame),
            _drop(scene, frame),
            _step_down(scene, frame),
        )
    )


def _asked(scene: Scene, member: str, words: str) -> str:
    """Return a member's label, asked where nobody stated the member."""
    return f"{words} ?" if member in scene.drawing.guessed else words


def _dashes(scene: Scene, member: str) -> str | None:
    return GUESSED if member in scene.drawing.guessed else None


def _house(scene: Scene, frame: Frame) -> Node:
    """Draw floor, wall, floor joist and bearing: context, drawn light."""
    section = scene.drawing.section
    left, out = frame.section, frame.band_outside
    top, depth = frame.y(Fraction(0)), section.band_joist_depth
    parts = [
        rect(left, top, frame.band - left, width(depth), PAPER, 0.6, _dashes(scene, BAND)),
        lettering(left + 4, frame.y(depth) - 6, "floor joist", frame.type(9)),
    ]
    sill = width(Fraction(11, 2))
    low = frame.y(depth)
    fill = PAPER if SILL in scene.drawing.guessed else "url(#hatch-support)"
    parts.append(rect(out - sill, low, sill, width(THICKNESS), fill, 0.8, _dashes(scene, SILL)))
    words = _asked(scene, SILL, SILL)
    parts.append(lettering(out - sill / 2, low + 24, words, frame.type(9), "middle", halo=True))
    floor = top
    if section.floor_build_up:
        floor = frame.y(-section.floor_build_up)
        parts.append(rect(left, floor, out - left, top - floor, PAPER, 0.8))
        words = f"floor {exact_length_text(section.floor_build_up)}"
        parts.append(lettering(left + 4, (floor + top) / 2 + 3, words, frame.type(9)))
    wall = width(Fraction(7, 2))
    high = floor - width(THICKNESS)
    parts.append(rect(out - wall, high, wall, width(THICKNESS), PAPER, 0.6, _dashes(scene, FLOOR)))
    parts.append(
        lettering(
            out - wall / 2,
            floor - width(THICKNESS) / 2 + 3,
            "wall or door",
            frame.type(9),
            "middle",
        )
    )
    gap = scene.drawing.sheathing
    if gap:
        high = floor - width(THICKNESS)
        parts.append(rect(out, high, width(gap), low - high, PAPER, 0.6, _dashes(scene, SHEATHING)))
        middle = out + width(gap) / 2
        parts.append(line(middle, high, middle, low, 0.6, "5 3", FAINT))
    return stack(parts)


def _deck(scene: Scene, frame: Frame) -> Node:
    section = scene.drawing.section
    ledger = frame.ledger(scene.drawing.sheathing)
    face = ledger + width(THICKNESS)
    end = face + JOIST_RUN
    depth = section.joist_depth or section.ledger_depth
    y1, y2 = frame.y(scene.joist_top), frame.y(scene.joist_top + depth)
    parts = [rect(face, y1, JOIST_RUN, y2 - y1, PAPER, 1, _dashes(scene, JOISTS))]
    parts.append(_break(end, y1, y2))
    if scene.deck_surface is None and DECKING in scene.drawing.guessed:
        thick = width(Fraction(1))
        parts.append(rect(ledger + 3, y1 - thick, end - ledger - 3, thick, PAPER, 0.8, GUESSED))
        parts.append(lettering(face + 6, y1 - thick - 4, "decking ?", frame.type(9)))
    if scene.deck_surface is not None:
        surface = frame.y(scene.deck_surface)
        board = width(Fraction(11, 2))
        at = ledger + 3
        while at < end:
            parts.append(rect(at, surface, min(board, end - at), y1 - surface, PAPER, 0.8))
            at += board + 3
        words = f"decking {exact_length_text(section.decking or 0)}"
        parts.append(lettering(face + 6, surface - 4, words, frame.type(9)))
    return stack(parts)


def _joist_name(scene: Scene, frame: Frame) -> Node:
    """Name the joist over whatever dimension line crosses it."""
    section = scene.drawing.section
    depth = section.joist_depth or section.ledger_depth
    name = section.joist_name if section.joist_depth else "joist (depth not stated)"
    face = frame.ledger(scene.drawing.sheathing) + width(THICKNESS)
    low = frame.y(scene.joist_top + depth)
    return lettering(face + 6, low - 6, _asked(scene, JOISTS, name), frame.type(9), halo=True)


def _break(x: float, y1: float, y2: float) -> Node:
    middle = (y1 + y2) / 2
    points = f"{x},{y1 - 4:.2f} {x},{middle - 8:.2f} {x + 5},{middle - 3:.2f} "
    points += f"{x - 5},{middle + 3:.2f} {x},{middle + 8:.2f} {x},{y2 + 4:.2f}"
    return element("polyline", points=points, fill="none", stroke=INK, stroke_width=1)


def _two_boards(scene: Scene, frame: Frame) -> Node:
    """Draw band joist and ledger, hatched wherever neither row may stand."""
    section = scene.drawing.section
    ledger = frame.ledger(scene.drawing.sheathing)
    parts: list[Node] = []
    for member, x, top, depth in (
        (BAND, frame.band, Fraction(0), section.band_joist_depth),
        (LEDGER, ledger, scene.drop, section.ledger_depth),
    ):
        thick = width(THICKNESS)
        told = _places_told(scene)
        parts.append(rect(x, frame.y(top), thick, width(depth), WOOD if told else PAPER, 0))
        for start, end in _closed(scene, top, top + depth) if told else ():
            y1, y2 = frame.y(start), frame.y(end)
            parts.append(rect(x, y1, thick, y2 - y1, "url(#hatch-closed)", 0.4))
        parts.append(rect(x, frame.y(top), thick, width(depth), "none", 2, _dashes(scene, member)))
    return stack(parts)


def _closed(scene: Scene, top: Fraction, bottom: Fraction) -> list[tuple[Fraction, Fraction]]:
    """Return the parts of a board closed to both rows, heights below the band joist's top."""
    spans: list[tuple[Fraction, Fraction]] = []
    for row in scene.zones.both_from_band_joist.rows:
        low, high = row.interval
        spans.append((top if low is None else low, bottom if high is None else high))
    found: list[tuple[Fraction, Fraction]] = []
    at = top
    for low, high in sorted(spans):
        if low > at:
            found.append((at, min(low, bottom)))
        at = max(at, high)
    if at < bottom:
        found.append((at, bottom))
    return [(a, b) for a, b in found if a < b]


def _boards_stated(scene: Scene) -> bool:
    """Whether both boards are as stated."""
    return not {BAND, LEDGER} & scene.drawing.guessed


def _places_told(scene: Scene) -> bool:
    """Whether it is told where a row may stand: of no guessed board, under no limit left open."""
    return _boards_stated(scene) and not scene.drawing.limits_open


def _open_bars(scene: Scene, frame: Frame) -> Node:
    """Mark beside the band joist where each row might stand in both boards, where that is told."""
    parts: list[Node] = []
    if not _places_told(scene):
        return stack(parts)
    for index, row in enumerate(scene.zones.both_from_band_joist.rows):
        low, high = row.interval
        if low is None or high is None:
            continue
        x = frame.band - 12 - index * 14
        y1, y2 = frame.y(low), frame.y(high)
        parts.append(rect(x - 2.5, y1 - 1, 5, y2 - y1 + 2, INK, 0))
        word = {UPPER_ROW: "upper", LOWER_ROW: "lower"}[row.row]
        parts.append(lettering(x - 7, (y1 + y2) / 2 + 3, word, frame.type(9), "end", halo=True))
    return stack(parts)


def _rows(scene: Scene, frame: Frame, numbers: Mapping[Distance, int]) -> Node | None:
    """Draw the two rows through both boards, dashed and asked where nobody stated them."""
    if scene.rows is None:
        return None
    face = frame.ledger(scene.drawing.sheathing) + width(THICKNESS)
    heights = [frame.y(scene.drop + depth) for depth in scene.rows]
    parts: list[Node] = []
    stated = not {UPPER, LOWER} & scene.drawing.guessed
    for y, word in zip(heights, (UPPER, LOWER), strict=True):
        kind = scene.drawing.fasteners
        parts.append(_fastener(y, frame.band, face, None if stated else "4 3", kind))
        told = word.removesuffix(" row") if frame.least_type else word
        words = told if stated else f"{told} ?"
        parts.append(lettering(face + 14, y + 3.5, words, frame.type(9), halo=True))
    if not stated and not _boards_stated(scene):
        return stack(parts)
    parts.append(dimension_down(face + 86, heights[0], heights[1], face + 70))
    middle = sum(heights) / 2
    apart = exact_length_text(scene.rows[1] - scene.rows[0])
    parts.append(lettering(face + 80, middle + 3, apart, frame.type(9), "end", halo=True))
    spacing = [n for d, n in numbers.items() if {d.start, d.end} == {UPPER_ROW, LOWER_ROW}]
    parts += [key(face + 99, middle + 17 * i, n, frame.type(10)) for i, n in enumerate(spacing)]
    return stack(parts)


def _fastener(y: float, inside: float, outside: float, dashes: str | None, kind: str) -> Node:
    """Draw one fastener: a bolt has a head and a nut over washers, a lag screw a head alone."""
    parts = [
        line(inside - 8, y, outside + 7, y, 3, dashes),
        rect(outside, y - 7, 3, 14, INK, 0),
        rect(outside + 3, y - 5, 5, 10, INK, 0),
    ]
    if kind == LAG_SCREW:
        tip = f"{inside - 14},{y} {inside - 8},{y - 1.5} {inside - 8},{y + 1.5}"
        parts.append(element("polygon", points=tip, fill=INK))
    else:
        parts.append(rect(inside - 3, y - 7, 3, 14, INK, 0))
    if kind == THROUGH_BOLT:
        parts.append(rect(inside - 8, y - 5, 5, 10, INK, 0))
    return stack(parts)


def asked_for(scene: Scene, frame: Frame) -> Node | None:
    """Dimension each value relief is asked for, on the section as proposed."""
    if not scene.drawing.proposed or scene.rows is None:
        return None
    face = frame.ledger(scene.drawing.sheathing) + width(THICKNESS)
    at = heights(scene)
    spans = [
        (at[item.start], at[item.end])
        for item in scene.drawing.proposed
        if item.start in at and item.end in at
    ]
    places = spread([frame.y((a + b) / 2) for a, b in spans], 24, frame.top, frame.bottom)
    parts: list[Node] = []
    x = face + JOIST_RUN + 8
    for (high, low), place in zip(spans, places, strict=True):
        parts.append(dimension_down(x, frame.y(high), frame.y(low), face + 8))
        length = exact_length_text(low - high)
        parts.append(lettering(x + 6, place - 1, length, frame.type(11), bold=True, halo=True))
        parts.append(
            lettering(x + 6, place + 1 + frame.type(8), "asked for", frame.type(8), halo=True)
        )
    return stack(parts)


def _decides(scene: Scene, frame: Frame, numbers: Mapping[Distance, int]) -> Node | None:
    """Dimension what decides: each limit broken, else the one with the least to spare, by its number."""
    found = () if scene.drawing.proposed or not numbers else deciding(scene)
    if not found:
        return None
    at = heights(scene)
    spans = [(at[one.limit.start], at[one.limit.end]) for one in found]
    places = spread([frame.y((a + b) / 2) for a, b in spans], 34, frame.top, frame.bottom)
    return stack(
        _decision(one, scene, frame, place, numbers.get(one.limit))
        for one, place in zip(found, places, strict=True)
    )


def _decision(one: Deciding, scene: Scene, frame: Frame, place: float, number: int | None) -> Node:
    at = heights(scene)
    face = frame.ledger(scene.drawing.sheathing) + width(THICKNESS)
    y1, y2 = frame.y(at[one.limit.start]), frame.y(at[one.limit.end])
    x = face + JOIST_RUN + 8
    if scene.deck_surface is not None and min(y1, y2) < frame.y(scene.deck_surface):
        x += 16  # beside the step down's own dimension
    parts = [dimension_down(x, y1, y2, face + 8), line(x, y1, x, y2, 2)]
    for datum, y in ((one.limit.start, y1), (one.limit.end, y2)):
        if datum in (BAND_TOP, BAND_BOTTOM):
            parts.append(line(frame.band_outside, y, face + 8, y, 0.5, "2 2"))
    size, small = frame.type(10), frame.type(8)
    words = exact_length_text(one.value)
    parts.append(lettering(x + 6, place - 2, words, size, bold=True, halo=True))
    told = "decides" if one.kept else "fails"
    parts.append(lettering(x + 10 + 1.6 * small, place + 3 + small, told, small, halo=True))
    if number is not None:
        parts.append(key(x + 6 + 0.8 * small, place + 3 + 0.65 * small, number, small))
    return stack(parts)


def _drop(scene: Scene, frame: Frame) -> Node | None:
    x = frame.section + 84
    y1, y2 = frame.y(Fraction(0)), frame.y(scene.drop)
    if scene.drop == 0 and LEDGER in scene.drawing.guessed:
        return lettering(x, y1 + 13, "drop ?", frame.type(9), "end", halo=True)
    if scene.drop == 0:
        return lettering(x, y1 + 13, "tops level", frame.type(9), "end", halo=True)
    ledger = frame.ledger(scene.drawing.sheathing)
    words = f"drop {exact_length_text(scene.drop)}"
    return stack(
        (
            dimension_down(x, y1, y2, ledger),
            lettering(x - 6, (y1 + y2) / 2 + 4, words, frame.type(9), "end", halo=True),
        )
    )


def _step_down(scene: Scene, frame: Frame) -> Node | None:
    build_up = scene.drawing.section.floor_build_up
    if scene.step_down is None or scene.deck_surface is None or build_up is None:
        return None
    x = frame.section + SECTION - 30
    y1, y2 = frame.y(-build_up), frame.y(scene.deck_surface)
    word = "step down" if scene.step_down >= 0 else "step up"
    high, size = min(y1, y2) - 7, frame.type(9)
    length = exact_length_text(abs(scene.step_down))
    told = (
        lettering(x, high - 2.2 * size - 2, word, size, "middle"),
        lettering(x, high - 1.1 * size - 2, "from floor", size, "middle"),
        lettering(x, high, length, frame.type(10), "middle", bold=True),
    )
    return stack(
        (
            line(frame.band_outside, y1, x + 6, y1, 0.5, "2 2"),
            dimension_down(x, y1, y2, x - 36),
            *told,
        )
    )
