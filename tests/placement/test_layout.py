"""Layouts along the ledger: the count against mixed-integer programming, the rest by rule."""

from __future__ import annotations

import functools
import operator
import random
from fractions import Fraction as F
from itertools import pairwise

import numpy as np
from msgspec.structs import replace
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_array

from deckclause.placement.layout import Layout, lay_out
from deckclause.placement.layout_check import check_layout
from deckclause.placement.ledger_line import (
    LedgerLine,
    Run,
    SpacingField,
    clear_of_joists,
    joist_lines,
    with_every_joist_line_an_end,
)
from placement.trade_lines import ENDS, ledger_line, random_line
from support.sizes import cases

INSTANCES = cases(200, by_name=1000)


def allowed_inches(line: LedgerLine) -> list[int]:
    """Whole inches that keep every end distance and clear band, straight from the limits."""
    found = []
    for x in range(int(line.ledger.start), int(line.ledger.end) + 1):
        ends = [*functools.reduce(operator.iadd, map(list, line.ledger.pieces), [])]
        band = [*functools.reduce(operator.iadd, map(list, line.band_joist.pieces), [])]
        if (
            all(abs(x - e) >= line.ledger_ends.least for e in ends)
            and line.band_joist.start <= x <= line.band_joist.end
            and all(abs(x - e) >= line.band_joist_ends.least for e in band)
            and not any(c.start < x < c.end for c in line.clear)
        ):
            found.append(x)
    return found


def fewest_by_milp(line: LedgerLine) -> int | None:
    """Least count of whole-inch places by scipy.optimize.milp (HiGHS); None if infeasible.

    With whole-inch limits the farthest-right places are whole inches, so nothing is lost.
    A chosen place must have another within the limit to its right, unless no required window
    lies wholly to its right.
    """
    places = allowed_inches(line)
    index = {x: i for i, x in enumerate(places)}
    windows = [
        (a, b)
        for run, limit in (
            (line.ledger, line.ledger_ends),
            (line.band_joist, line.band_joist_ends),
        )
        if limit.most is not None
        for p, q in run.pieces
        for a, b in (
            (p + limit.least, min(p + limit.most, q - limit.least)),
            (max(q - limit.most, p + limit.least), q - limit.least),
        )
        if run is line.ledger
        or (
            a <= line.ledger.end - line.ledger_ends.least
            and line.ledger.start + line.ledger_ends.least <= b
        )
    ]
    rows: list[dict[int, int]] = []
    least: list[int] = []
    for a, b in windows:
        rows.append({index[x]: 1 for x in places if a <= x <= b})
        least.append(1)
    for x in places:
        if any(a > x for a, _ in windows):
            within = {index[y]: 1 for y in places if y > x and within_limit(line, x, y)}
            rows.append({**within, index[x]: -1})
            least.append(0)
    if not places or any(not row for row in rows):
        return None
    cells = [(r, c, v) for r, row in enumerate(rows) for c, v in row.items()]
    r, c, v = zip(*cells, strict=True)
    matrix = csr_array((v, (r, c)), shape=(len(rows), len(places)))
    found = milp(
        np.ones(len(places)),
        integrality=np.ones(len(places)),
        bounds=Bounds(0, 1),
        constraints=LinearConstraint(matrix, least, np.inf),
    )
    return round(found.fun) if found.status == 0 else None


def within_limit(line: LedgerLine, x: int, y: int) -> bool:
    limits = [f.most for f in line.fields if max(f.start, x) < min(f.end, y)]
    return y - x <= min(limits)


def test_the_least_count_agrees_with_integer_programming() -> None:
    rng = random.Random(507)
    infeasible = 0
    for _ in range(INSTANCES):
        line = random_line(rng)
        layout = lay_out(line)
        expected = fewest_by_milp(line)
        if expected is None:
            infeasible += 1
            assert not layout.is_feasible, line
            assert all(c.text() for c in layout.conflicts)
            continue
        assert layout.is_feasible, line
        assert layout.count == len(layout.farthest) == expected, line
        places = [f.position for f in layout.fasteners]
        assert check_layout(line, places, [f.row for f in layout.fasteners]) == ()
        assert all(a <= b for a, b in zip(places, layout.farthest, strict=True))
    assert INSTANCES / 10 < infeasible < INSTANCES / 2


def spacings(layout: Layout) -> list[F]:
    return [b.position - a.position for a, b in pairwise(layout.fasteners)]


def test_ends_splices_and_rows() -> None:
    """20 ft ledger in two pieces, 10 ft joists: lag screws at 18 in on the 2012 table."""
    layout = lay_out(ledger_line(240, 18, splices=(128,), band_splices=(64, 160)))
    assert layout.is_feasible
    assert max(spacings(layout)) <= 18
    for piece in (1, 2):
        held = [f for f in layout.fasteners if f.piece == piece]
        assert 2 <= held[0].from_left_end <= 5
        assert 2 <= held[-1].from_right_end <= 5
    for splice in (64, 128, 160):
        assert all(abs(f.position - splice) >= 2 for f in layout.fasteners)
    assert all(a.row != b.row for a, b in pairwise(layout.fasteners))
    assert layout.grid == 1


def test_counts_by_hand() -> None:
    """One piece: the first and last within 5 in of the ends, so (length - 10) / spacing, up."""
    for length, spacing in ((120, 18), (144, 15), (191, 29), (192, 13), (240, 36), (480, 10)):
        expected = -(-(length - 10) // spacing) + 1
        assert lay_out(ledger_line(length, spacing)).count == expected


def test_spacing_is_as_even_as_the_count_allows() -> None:
    layout = lay_out(ledger_line(120, 18))
    assert set(spacings(layout)) == {F(16)}


def test_two_spans_along_one_ledger() -> None:
    """18 in for the 10 ft joists, 11 in for the 16 ft joists; across the border the lesser."""
    fields = (
        SpacingField(F(0), F(100), F(18), "10 ft joists"),
        SpacingField(F(100), F(220), F(11), "16 ft joists"),
    )
    layout = lay_out(ledger_line(220, 18, fields=fields))
    for a, b in pairwise(layout.fasteners):
        if b.position > 100:
            assert b.position - a.position <= 11
    alone = lay_out(ledger_line(220, 11)).count
    assert lay_out(ledger_line(220, 18)).count < layout.count < alone


def test_fasteners_stay_clear_of_joists() -> None:
    clear = clear_of_joists(joist_lines(16, 16, 200), F(3, 2), F(1))
    layout = lay_out(ledger_line(200, 16, clear=clear))
    for f in layout.fasteners:
        assert all(abs(f.position - x) >= F(7, 4) for x in joist_lines(16, 16, 200))


def test_unknown_splices_hold_wherever_they_turn_out_to_be() -> None:
    rng = random.Random(16)
    known = ledger_line(240, 18, splices=(128,))
    lines = joist_lines(8, 16, 240)
    worst = lay_out(with_every_joist_line_an_end(known, lines))
    assert worst.is_feasible
    assert any("every joist line" in c for c in worst.cautions)
    places = [f.position for f in worst.fasteners]
    for _ in range(50):
        some = tuple(x for x in lines if rng.random() < 0.3)
        band = Run(F(-60), F(300), some, "band joist")
        assert check_layout(replace(known, band_joist=band), places) == ()


def test_a_gap_too_long_is_explained() -> None:
    """Splices of ledger and band joist 3 in apart close 7 in; a limit of 6 in cannot span it."""
    layout = lay_out(ledger_line(60, 6, splices=(30,), band_splices=(33,)))
    assert not layout.is_feasible
    gap = next(c for c in layout.conflicts if c.kind == "gap")
    assert (gap.start, gap.end, gap.shortfall) == (28, 35, 1)
    assert gap.text() == (
        "nothing can stand between 28 in and 35 in, 7 in, which is 1 in over the spacing of 6 in "
        "for spacing of 6 in; closed by: ledger splice: end distance (Table R507.2.1); "
        "band joist splice: band joist end distance (Table R507.2.1)"
    )


def test_a_window_without_a_place_is_explained() -> None:
    layout = lay_out(
        ledger_line(120, 18, band_splices=(3,), ledger_ends=replace(ENDS, most=F(9, 2)))
    )
    assert [c.kind for c in layout.conflicts] == ["no place"]
    assert "left end of ledger piece 1" in layout.conflicts[0].text()
    assert "band joist splice" in layout.conflicts[0].text()


def test_a_piece_too_short_to_hold_a_fastener() -> None:
    layout = lay_out(ledger_line(60, 18, splices=(57,)))
    assert not layout.is_feasible


def test_a_piece_held_once_is_cautioned() -> None:
    layout = lay_out(ledger_line(60, 18, splices=(53,)))
    assert layout.is_feasible
    assert "Ledger piece 2 is held by one fastener only; it can turn." in layout.cautions


def test_limits_off_the_tape_are_still_met_exactly() -> None:
    """A ledger in thirds of an inch whose only place is one point."""
    line = ledger_line(8, 18)
    third = replace(
        line,
        ledger=Run(F(0), F(14, 3)),
        ledger_ends=replace(ENDS, least=F(7, 3)),
        fields=(SpacingField(F(0), F(14, 3), F(18), "any"),),
    )
    layout = lay_out(third)
    assert [f.position for f in layout.fasteners] == [F(7, 3)]
    assert layout.grid is None


def test_the_ledger_beyond_the_band_joist_takes_no_fastener() -> None:
    line = ledger_line(120, 18)
    short = replace(line, band_joist=Run(F(-60), F(100), (), "band joist"))
    layout = lay_out(short)
    assert not layout.is_feasible
    assert any("no band joist" in cause for c in layout.conflicts for cause in c.causes)
