"""Where each row may go: on the ledger alone, on the band joist alone, on both at once.

Difference constraints project to difference constraints: keep the shortest paths between the
datums of interest and any positions that satisfy them extend to all the others. So the places
two rows may take, over every drop still open, are an exact polygon bounded by six lines at most:
each row's least and greatest depth and the least and greatest distance between them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction

from msgspec import Struct

from deckclause.placement.answers import Ask, Conflict, Extreme
from deckclause.placement.boards import (
    BAND_BOTTOM,
    BAND_TOP,
    LEDGER_BOTTOM,
    LEDGER_TOP,
    LOWER_ROW,
    UPPER_ROW,
)
from deckclause.placement.constraints import Distance
from deckclause.placement.polygon import HalfPlane, Point, area, intersect
from deckclause.placement.solve import solve

GRIDS = (Fraction(1), Fraction(1, 2), Fraction(1, 4), Fraction(1, 8), Fraction(1, 16))
"""Marks on a carpenter's tape, coarsest first (inches)."""


class RowZone(Struct, frozen=True):
    """How far below `origin` a row may stand; each end carries its proof."""

    row: str
    origin: str
    least: Extreme
    greatest: Extreme

    @property
    def interval(self) -> tuple[Fraction | None, Fraction | None]:
        """Least and greatest depth below the origin in inches; None where open."""
        return self.least.value, self.greatest.value

    def bands(self, depth: Fraction) -> tuple[tuple[Fraction, Fraction], ...]:
        """Return the parts of a board `depth` inches deep, from its origin, closed to this row."""
        low = max(Fraction(0), self.least.value or Fraction(0))
        high = depth if self.greatest.value is None else min(depth, self.greatest.value)
        parts = ((Fraction(0), low), (high, depth))
        return tuple(p for p in parts if p[0] < p[1])


class TwoRowZone(Struct, frozen=True):
    """Every pair of depths (upper row, lower row) below `origin` that is permitted, in inches.

    `vertices` is the exact polygon (a segment or a point where that is all there is). It is
    empty, and `open_sides` not, where some side has no bound.
    """

    origin: str
    vertices: tuple[Point, ...]
    spacing: tuple[Extreme, Extreme]
    open_sides: tuple[str, ...] = ()

    @property
    def area(self) -> Fraction:
        """The polygon's area in square inches; zero for a segment or a point."""
        return area(self.vertices) if len(self.vertices) > 2 else Fraction(0)


class BoardZone(Struct, frozen=True):
    """The zones of the rows on one board or on both; a conflict where there is no place."""

    origin: str
    rows: tuple[RowZone, ...]
    two_rows: TwoRowZone | None
    conflict: Conflict | None = None


class PermittedZones(Struct, frozen=True):
    """The zones on each board alone, and on both, measured from either board's top."""

    ledger: BoardZone
    band_joist: BoardZone
    both_from_ledger: BoardZone
    both_from_band_joist: BoardZone


def permitted_zones(distances: Iterable[Distance]) -> PermittedZones:
    """Return where the rows may go on the ledger, on the band joist and on both.

    Raises KeyError where no distance mentions the rows or a board's top.
    """
    known = tuple(distances)
    rows = {UPPER_ROW, LOWER_ROW}
    return PermittedZones(
        zone_on(known, LEDGER_TOP, rows | {LEDGER_TOP, LEDGER_BOTTOM}),
        zone_on(known, BAND_TOP, rows | {BAND_TOP, BAND_BOTTOM}),
        zone_on(known, LEDGER_TOP),
        zone_on(known, BAND_TOP),
    )


def zone_on(
    distances: Iterable[Distance], origin: str, datums: Iterable[str] | None = None
) -> BoardZone:
    """Return the permitted zone of both rows below `origin`.

    With `datums`, only distances between those datums count: that is one board taken alone.
    Whatever the distances leave open (the drop, say) is free: the zone is the union over it.
    """
    within = None if datums is None else frozenset(datums)
    kept = [d for d in distances if within is None or {d.start, d.end} <= within]
    asks = [
        Ask(start, end, sense)
        for start, end in ((origin, UPPER_ROW), (origin, LOWER_ROW), (UPPER_ROW, LOWER_ROW))
        for sense in ("least", "greatest")
    ]
    answer = solve(kept, asks)
    if not answer.is_feasible:
        return BoardZone(origin, (), None, answer.conflict)
    upper = RowZone(UPPER_ROW, origin, *answer.extremes[0:2])
    lower = RowZone(LOWER_ROW, origin, *answer.extremes[2:4])
    spacing = (answer.extremes[4], answer.extremes[5])
    return BoardZone(origin, (upper, lower), _two_rows(origin, upper, lower, spacing))


def _two_rows(
    origin: str, upper: RowZone, lower: RowZone, spacing: tuple[Extreme, Extreme]
) -> TwoRowZone:
    sides = (
        (upper.least, "the upper row's least depth"),
        (upper.greatest, "the upper row's greatest depth"),
        (lower.least, "the lower row's least depth"),
        (lower.greatest, "the lower row's greatest depth"),
    )
    values = [side.value for side, _ in sides if side.value is not None]
    if len(values) < len(sides):
        missing = tuple(name for side, name in sides if side.value is None)
        return TwoRowZone(origin, (), spacing, missing)
    left, right, top, bottom = values
    corners = ((left, top), (right, top), (right, bottom), (left, bottom))
    one = Fraction(1)
    cuts: list[HalfPlane] = []
    if spacing[1].value is not None:
        cuts.append(HalfPlane(-one, one, spacing[1].value))
    if spacing[0].value is not None:
        cuts.append(HalfPlane(one, -one, -spacing[0].value))
    return TwoRowZone(origin, intersect(tuple(dict.fromkeys(corners)), cuts), spacing)


def tidy_rows(zone: TwoRowZone) -> Point | None:
    """Choose depths for the two rows: near the zone's middle, on the coarsest tape mark inside.

    Returns (upper, lower) in inches below the origin, None for an empty or open zone. Where no
    mark down to 1/16 in lies inside, the middle itself is returned.
    """
    if not zone.vertices:
        return None
    count = len(zone.vertices)
    middle = (
        sum((x for x, _ in zone.vertices), Fraction(0)) / count,
        sum((y for _, y in zone.vertices), Fraction(0)) / count,
    )
    for grid in GRIDS:
        near = [
            (x, y)
            for x in _marks(middle[0], grid)
            for y in _marks(middle[1], grid)
            if _inside(zone, (x, y))
        ]
        if near:
            return min(near, key=lambda p: (p[0] - middle[0]) ** 2 + (p[1] - middle[1]) ** 2)
    return middle


class RoomyRows(Struct, frozen=True):
    """A pair of rows on a tape mark, inches below the origin, and its margin to the nearest limit."""

    upper: Fraction
    lower: Fraction
    margin: Fraction


def roomiest_rows(zone: TwoRowZone, mark: Fraction = Fraction(1, 8)) -> RoomyRows | None:
    """Choose the two rows that keep farthest from every limit, on a tape mark.

    Of pairs alike in that, the one on the coarser marks, then the upper one. None for an empty or
    open zone, or where no mark lies inside: then there is no room to speak of.
    """
    if not zone.vertices:
        return None
    least, greatest = (extreme.value for extreme in zone.spacing)
    xs, ys = [x for x, _ in zone.vertices], [y for _, y in zone.vertices]
    sides = ((min(xs), max(xs)), (min(ys), max(ys)), (least, greatest))

    def margin(x: Fraction, y: Fraction) -> Fraction:
        # a side without room (a row that has one place only) is no limit to keep away from
        room = [
            (value - low if low is not None else None, high - value if high is not None else None)
            for value, (low, high) in zip((x, y, y - x), sides, strict=True)
            if low is None or high is None or low != high
        ]
        return min((r for pair in room for r in pair if r is not None), default=Fraction(0))

    pairs = (
        (margin(x, y), -max(x.denominator, y.denominator), -x, -y)
        for x in _tape(*sides[0], mark)
        for y in _tape(*sides[1], mark)
        if _inside(zone, (x, y))
    )
    best = max(pairs, default=None)
    return None if best is None else RoomyRows(-best[2], -best[3], best[0])


def _tape(low: Fraction, high: Fraction, mark: Fraction) -> Iterator[Fraction]:
    at = -(-low // mark) * mark
    while at <= high:
        yield at
        at += mark


def _marks(value: Fraction, grid: Fraction) -> tuple[Fraction, ...]:
    below = value // grid * grid
    return (below,) if below == value else (below, below + grid)


def _inside(zone: TwoRowZone, point: Point) -> bool:
    """Whether a point lies in the convex polygon: clipping it away from a point leaves it."""
    upper, lower = point
    xs, ys = [x for x, _ in zone.vertices], [y for _, y in zone.vertices]
    least, greatest = zone.spacing
    return (
        min(xs) <= upper <= max(xs)
        and min(ys) <= lower <= max(ys)
        and (least.value is None or lower - upper >= least.value)
        and (greatest.value is None or lower - upper <= greatest.value)
    )
