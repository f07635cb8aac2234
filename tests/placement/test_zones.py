"""Zones and polygons, against shapely and the trade's figures."""

from __future__ import annotations

import random
from fractions import Fraction as F

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import MultiPoint, Polygon, box

from deckclause.placement.answers import Ask
from deckclause.placement.boards import (
    BAND_TOP,
    LEDGER_TOP,
    LOWER_ROW,
    UPPER_ROW,
    Section,
    board_distances,
)
from deckclause.placement.constraints import Distance
from deckclause.placement.polygon import HalfPlane, Point, area, clip, intersect
from deckclause.placement.proof import check_extreme
from deckclause.placement.solve import solve
from deckclause.placement.zones import permitted_zones, roomiest_rows, tidy_rows, zone_on
from placement.trade_limits import DRESSED, clauses_2012, section, system_2012

eighths = st.integers(-40, 40).map(lambda n: F(n, 8))


def shape(vertices: tuple[Point, ...]) -> Polygon:
    return Polygon([(float(x), float(y)) for x, y in vertices])


@given(st.lists(st.tuples(eighths, eighths, eighths), max_size=6))
def test_clipping_agrees_with_shapely(cuts: list[tuple[F, F, F]]) -> None:
    """Half-planes as great rectangles in shapely's intersection."""
    square = tuple((F(x), F(y)) for x, y in ((-4, -4), (4, -4), (4, 4), (-4, 4)))
    planes = [HalfPlane(a, b, c) for a, b, c in cuts if a or b]
    ours = intersect(square, planes)
    theirs = shape(square)
    for plane in planes:
        a, b, c = float(plane.a), float(plane.b), float(plane.c)
        size = (a * a + b * b) ** 0.5
        nx, ny, off, far = a / size, b / size, c / size, 1000.0
        corners = [(off, far), (off, -far), (off - far, -far), (off - far, far)]
        theirs = theirs.intersection(
            Polygon([(d * nx - t * ny, d * ny + t * nx) for d, t in corners])
        )
    assert abs(float(area(ours) if len(ours) > 2 else 0) - theirs.area) < 1e-6


@given(st.tuples(eighths, eighths, eighths))
def test_clipping_twice_changes_nothing(cut: tuple[F, F, F]) -> None:
    square = tuple((F(x), F(y)) for x, y in ((-4, -4), (4, -4), (4, 4), (-4, 4)))
    once = clip(square, HalfPlane(*cut))
    assert set(clip(once, HalfPlane(*cut))) == set(once)


def random_limits(rng: random.Random) -> tuple[Section, list[Distance]]:
    sizes = list(DRESSED.values())
    boards = Section(rng.choice(sizes), rng.choice(sizes), drop=None)

    def length(low: int, high: int) -> F:
        return F(rng.randint(low, high), 8)

    clauses = [
        Distance(LEDGER_TOP, UPPER_ROW, length(0, 20), None, "ledger top"),
        Distance(LOWER_ROW, "ledger.bottom_edge", length(0, 16), None, "ledger bottom"),
        Distance(BAND_TOP, UPPER_ROW, length(0, 16), None, "band top"),
        Distance(LOWER_ROW, "band_joist.bottom_edge", length(0, 20), None, "band bottom"),
        Distance(LEDGER_TOP, LOWER_ROW, length(20, 60), None, "lower row"),
        Distance(UPPER_ROW, LOWER_ROW, length(8, 20), length(24, 44), "row spacing"),
    ]
    return boards, rng.sample(clauses, rng.randint(3, 6))


def at_drop(boards: Section, clauses: list[Distance], drop: F) -> Polygon:
    """The two-row zone at one drop by shapely alone: a box on each board, cut by the spacing."""
    low = {UPPER_ROW: 0.0, LOWER_ROW: 0.0}
    high = dict.fromkeys(low, float(boards.ledger_depth))
    top = -float(drop)
    for row in (UPPER_ROW, LOWER_ROW):
        low[row] = max(low[row], top)
        high[row] = min(high[row], top + float(boards.band_joist_depth))
    gap = (0.0, 100.0)
    for c in clauses:
        least = float(c.least or 0)
        if c.start == UPPER_ROW:
            gap = (max(gap[0], least), min(gap[1], float(c.most or 100)))
        elif c.start == LOWER_ROW:
            end = float(boards.ledger_depth)
            end = end if c.end.startswith("ledger") else top + float(boards.band_joist_depth)
            high[LOWER_ROW] = min(high[LOWER_ROW], end - least)
        else:
            low[c.end] = max(low[c.end], (0.0 if c.start == LEDGER_TOP else top) + least)
    if any(low[row] >= high[row] for row in low) or gap[0] >= gap[1]:
        return Polygon()
    strip = Polygon(
        [(-50, -50 + gap[0]), (50, 50 + gap[0]), (50, 50 + gap[1]), (-50, -50 + gap[1])]
    )
    rows = box(low[UPPER_ROW], low[LOWER_ROW], high[UPPER_ROW], high[LOWER_ROW])
    return rows.intersection(strip)


def test_two_row_zones_agree_with_shapely_at_each_drop_and_over_all() -> None:
    """One drop at a time; and the union over an open drop as the hull of the slices' corners.

    The union is convex (a projection of a convex body) and its corners lie in slices at whole
    eighths, since every limit is a whole number of eighths and the constraints are differences.
    """
    rng = random.Random(9)
    empty = 0
    for _ in range(60):
        boards, clauses = random_limits(rng)
        corners: list[tuple[float, float]] = []
        for eighth in range(0, int(boards.band_joist_depth * 8)):
            drop = F(eighth, 8)
            slice_ = at_drop(boards, clauses, drop)
            corners += list(slice_.exterior.coords) if slice_.geom_type == "Polygon" else []
            if eighth % 9 == 0:
                fixed_drop = Section(boards.band_joist_depth, boards.ledger_depth, drop=drop)
                zone = zone_on([*board_distances(fixed_drop), *clauses], LEDGER_TOP).two_rows
                ours = float(zone.area) if zone else 0.0
                assert abs(ours - slice_.area) < 1e-9
                if zone and zone.area:
                    assert shape(zone.vertices).symmetric_difference(slice_).area < 1e-9
        union = zone_on([*board_distances(boards), *clauses], LEDGER_TOP).two_rows
        if not corners:
            empty += 1
            assert union is None or union.area == 0
            continue
        assert union is not None
        hull = MultiPoint(corners).convex_hull
        assert shape(union.vertices).symmetric_difference(hull).area < 1e-9
    assert 0 < empty < 40


def test_zones_on_each_board_alone_and_on_both() -> None:
    """2012 limits, 2x10 on 2x10, tops level: by hand from the clauses."""
    zones = permitted_zones(system_2012("2x10", "2x10", F(0)))
    assert [r.interval for r in zones.ledger.rows] == [(2, F(55, 8)), (F(13, 2), F(17, 2))]
    assert [r.interval for r in zones.band_joist.rows] == [
        (F(3, 4), F(45, 8)),
        (F(19, 8), F(29, 4)),
    ]
    assert [r.interval for r in zones.both_from_ledger.rows] == [
        (2, F(45, 8)),
        (F(13, 2), F(29, 4)),
    ]


def test_every_side_of_a_zone_is_proved() -> None:
    system = system_2012("2x12", "2x12")
    zones = permitted_zones(system)
    for zone in (zones.both_from_ledger, zones.both_from_band_joist):
        assert zone.two_rows is not None
        for extreme in [e for r in zone.rows for e in (r.least, r.greatest)]:
            check_extreme(system, extreme)


def test_bands_closed_to_a_row() -> None:
    zones = permitted_zones(system_2012("2x10", "2x10", F(0)))
    upper, lower = zones.ledger.rows
    assert upper.bands(F(37, 4)) == ((0, 2), (F(55, 8), F(37, 4)))
    assert lower.bands(F(37, 4)) == ((0, F(13, 2)), (F(17, 2), F(37, 4)))


def test_no_place_on_a_board_alone_is_a_conflict() -> None:
    """A 5-1/2 in deep board cannot hold a lower row 5-1/2 in down and 3/4 in up."""
    boards = Section(F(37, 4), F(11, 2))
    zones = permitted_zones([*board_distances(boards), *clauses_2012("2x8")])
    assert zones.ledger.conflict is not None
    assert zones.ledger.conflict.shortfall == F(3, 4)
    assert zones.ledger.two_rows is None
    assert zones.band_joist.conflict is None


def test_an_open_side_is_named_and_no_polygon_drawn() -> None:
    rows = Distance(UPPER_ROW, LOWER_ROW, F(13, 8), F(5), "row spacing")
    top = Distance(LEDGER_TOP, UPPER_ROW, F(2), None, "ledger top edge")
    zone = zone_on([rows, top], LEDGER_TOP).two_rows
    assert zone is not None
    assert zone.vertices == ()
    assert zone.open_sides == ("the upper row's greatest depth", "the lower row's greatest depth")
    assert tidy_rows(zone) is None


@pytest.mark.parametrize("size", ["2x10", "2x12"])
def test_chosen_rows_stand_inside_and_on_a_tape_mark(size: str) -> None:
    zone = zone_on(system_2012(size, size, F(0)), LEDGER_TOP).two_rows
    assert zone is not None
    chosen = tidy_rows(zone)
    assert chosen is not None
    upper, lower = chosen
    assert (upper * 16).denominator == (lower * 16).denominator == 1
    boards = section(size, size, F(0))
    system = [
        *board_distances(boards),
        *clauses_2012(size),
        Distance(LEDGER_TOP, UPPER_ROW, upper, upper, "upper row as chosen"),
        Distance(LEDGER_TOP, LOWER_ROW, lower, lower, "lower row as chosen"),
    ]
    assert solve(system).is_feasible


def test_a_zone_of_one_point_is_chosen_as_it_is() -> None:
    """2x10 on 2x10 at the greatest drop, 3/4 in: the lower row has one place."""
    system = system_2012("2x10", "2x10", F(3, 4))
    zone = zone_on(system, LEDGER_TOP).two_rows
    assert zone is not None
    assert zone.area == 0
    assert tidy_rows(zone) is not None
    assert {y for _, y in zone.vertices} == {F(13, 2)}


def test_rows_off_every_mark_keep_their_middle() -> None:
    third = Distance(LEDGER_TOP, UPPER_ROW, F(7, 3), F(7, 3), "a third")
    lower = Distance(UPPER_ROW, LOWER_ROW, F(2), F(2), "two apart")
    zone = zone_on([third, lower], LEDGER_TOP).two_rows
    assert zone is not None
    assert tidy_rows(zone) == (F(7, 3), F(13, 3))


@given(st.integers(0, 20))
def test_the_union_holds_every_slice(eighth: int) -> None:
    drop = F(eighth, 8)
    fixed_drop = zone_on(system_2012("2x12", "2x12", drop), LEDGER_TOP).two_rows
    union = zone_on(system_2012("2x12", "2x12"), LEDGER_TOP).two_rows
    assert union is not None
    greatest = solve(system_2012("2x12", "2x12"), [Ask(BAND_TOP, LEDGER_TOP)]).extremes[0].value
    assert (fixed_drop is not None) is (greatest is not None and drop <= greatest)
    if fixed_drop is not None and fixed_drop.area:
        assert shape(union.vertices).buffer(1e-9).contains(shape(fixed_drop.vertices))


@pytest.mark.parametrize("size", ["2x8", "2x10", "2x12"])
def test_the_2009_zone_is_two_lines(size: str) -> None:
    """2009 IRC R502.2.2.1.1 as quoted in public: fasteners stand 2 in from top or bottom.

    Read as written, not as a least distance, the zone is one point: a line for each row. The
    band joist has no limits of its own, so the ledger may drop until it leaves the lower row.
    """
    depth = DRESSED[size]
    lines = [
        Distance(LEDGER_TOP, UPPER_ROW, F(2), F(2), "2 in from ledger top", "R502.2.2.1.1"),
        Distance(LOWER_ROW, "ledger.bottom_edge", F(2), F(2), "2 in from bottom", "R502.2.2.1.1"),
    ]
    system = [*board_distances(section(size, size)), *lines]
    zone = zone_on(system, LEDGER_TOP).two_rows
    assert zone is not None
    assert zone.vertices == ((2, depth - 2),)
    assert solve(system, [Ask(BAND_TOP, LEDGER_TOP)]).extremes[0].value == 2


@pytest.mark.parametrize("ledger", ["2x8", "2x10", "2x12"])
@pytest.mark.parametrize("band", ["2x10", "2x12"])
@pytest.mark.parametrize("drop", [F(0), F(1, 2), F(5, 4), F(3)])
def test_no_other_mark_has_more_room_than_the_rows_recommended(
    ledger: str, band: str, drop: F
) -> None:
    """Held against every pair of 1/8 in marks, each measured against the zone's own sides."""
    zone = permitted_zones(system_2012(ledger, band, drop=drop)).both_from_ledger.two_rows
    found = None if zone is None else roomiest_rows(zone)
    if zone is None or not zone.vertices:
        assert found is None
        return
    xs, ys = [x for x, _ in zone.vertices], [y for _, y in zone.vertices]
    sides = [(min(xs), max(xs)), (min(ys), max(ys)), tuple(e.value for e in zone.spacing)]

    def room(x: F, y: F) -> F:
        values = zip((x, y, y - x), sides, strict=True)
        return min(
            (min(v - low, high - v) for v, (low, high) in values if low != high), default=F(0)
        )

    marks = [F(n, 8) for n in range(120)]
    inside = [
        (x, y)
        for x in marks
        for y in marks
        if all(low <= v <= high for v, (low, high) in zip((x, y, y - x), sides, strict=True))
    ]
    assert (found is None) == (not inside)
    if found is not None:
        assert (found.upper, found.lower) in inside
        assert found.margin == max(room(x, y) for x, y in inside)
