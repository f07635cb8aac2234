"""Span tables of the IRC and the AWC deck guide (DCA 6) against the calculation behind them."""

from __future__ import annotations

import pytest

from published.engineering_checks import span_tables as checks

THREE_2X6 = {
    "douglas fir-larch group 2x6 at 16 in",
    "douglas fir-larch group 2x6 at 24 in",
    "redwood group 2x6 at 24 in",
}


def missed(group):
    return {record.item.split(",")[0] for record in group.misses}


def test_guide_spans_36_of_36():
    assert (checks.guide_spans().met, checks.guide_spans().total) == (36, 36)


def test_guide_overhangs_36_of_36():
    group = checks.overhangs(checks.GUIDE)
    assert (group.met, group.total, group.basis) == (36, 36, "fitted")


def test_guide_of_2009_with_the_design_values_of_its_day():
    group = checks.guide_2009_spans()
    assert (group.met, group.total) == (44, 44)
    assert group.printed_standing == "44 confirmed"


def test_code_2015_69_of_72_and_which_three():
    group = checks.code_spans_2015()
    assert (group.met, group.total) == (69, 72)
    assert missed(group) == THREE_2X6


def test_code_2018_misses_the_same_three():
    group = checks.code_spans("IRC 2018")
    assert (group.met, group.total) == (33, 36)
    assert missed(group) == THREE_2X6


def test_code_2018_cantilevers():
    assert checks.overhangs("IRC 2018").misses == ()


def test_code_2021_flags_remembered_cells_only():
    for group, met, total in (
        (checks.code_spans("IRC 2021"), 136, 144),
        (checks.cantilevers_2021(), 74, 80),
    ):
        assert (group.met, group.total) == (met, total)
        assert "confirmed" not in group.printed_standing


@pytest.mark.parametrize(
    ("edition", "southern", "met", "total"),
    [
        (checks.GUIDE, True, 55, 56),
        (checks.GUIDE, False, 32, 32),
        ("IRC 2015", True, 56, 56),
        ("IRC 2015", False, 84, 84),
        ("IRC 2018", True, 82, 84),
        ("IRC 2018", False, 84, 84),
    ],
)
def test_beams_with_their_fitted_choices_named(edition, southern, met, total):
    group = checks.beam_group(edition, southern)
    assert (group.met, group.total, group.basis) == (met, total, "fitted")
    assert group.note.startswith("Fitted choices:")
