"""The reliefs that may be asked for: numbered, what each moves, and what engineering knows of it."""

from __future__ import annotations

from fractions import Fraction as F

from deckclause.variance.relief import ReliefReport, relief_report
from variance.decks import catalogue, replaced

TARN_HOLLOW = "Tarn Hollow@2025-03-01"
LOWER = "fasteners.lower_row_below_ledger_top"


def _report(drop: str, row: str, *more: tuple[str, str]) -> ReliefReport:
    design = replaced(
        ("below_band_joist: 3 in", f"below_band_joist: {drop}"),
        ("lower_row_below_ledger_top: 6-1/2 in", f"lower_row_below_ledger_top: {row}"),
        *more,
    )
    return relief_report(catalogue(), design, TARN_HOLLOW)


def test_a_screw_tangent_to_the_edge_never_ranks_first_nor_is_taken_by_default() -> None:
    """1/4 in from the centre of a 1/2 in screw: below 4 diameters at a loaded edge (NDS 12.5.1C)."""
    report = _report("2-1/2 in", "6 in")
    first, second = report.choices
    assert [r.finding.key for r in first.relaxations] == ["ledger_lower_row_below_ledger_top"]
    assert not first.not_advisable
    assert [(r.finding.key, r.value) for r in second.relaxations] == [
        ("band_joist_bottom_edge_distance", F(1, 4))
    ]
    assert "no value" in second.not_advisable[0]
    assert "edge of the wood" in second.not_advisable[0]
    assert report.default == first


def test_the_design_stays_as_drawn_where_the_first_choice_moves_nothing() -> None:
    report = _report("2-1/2 in", "6 in")
    assert report.as_drawn is not None
    assert report.as_drawn.number == 1
    assert report.choices[1].moved == ((LOWER, F(13, 2)),)


def test_the_design_as_drawn_is_the_last_choice_where_the_others_move_rows() -> None:
    report = _report("3 in", "6 in")
    assert [c.number for c in report.choices] == [1, 2]
    assert report.choices[0].moved == ((LOWER, F(11, 2)),)
    drawn = report.choices[1]
    assert drawn.exactly_as_drawn
    assert not drawn.moved
    assert {r.finding.key for r in drawn.relaxations} == {f.key for f in report.case.failing}
    assert drawn.not_advisable


def test_a_row_that_misses_the_board_is_no_choice_as_drawn() -> None:
    report = _report("3 in", "6-1/2 in")
    assert not report.relief.stands_as_drawn
    assert report.as_drawn is None
    assert all(c.moved for c in report.choices)


def test_rows_that_only_need_moving_are_moved_beside_what_else_needs_relief() -> None:
    report = _report("1/2 in", "8-1/2 in", ("spacing: 16 in", "spacing: 33 in"))
    assert report.relief.rows_alone
    assert report.default is not None
    assert [r.finding.key for r in report.default.relaxations] == ["ledger_fastener_spacing"]
    assert [name for name, _ in report.default.moved] == [LOWER]


def test_a_design_that_fails_nothing_offers_no_choice() -> None:
    assert _report("0 in", "6-1/2 in").choices == ()
