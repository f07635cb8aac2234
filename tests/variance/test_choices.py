"""The reliefs that may be asked for: numbered, what each moves, and what engineering knows of it."""

from __future__ import annotations

from fractions import Fraction as F

from deckclause.placement.from_design import section_facts
from deckclause.variance.case import open_case
from deckclause.variance.published import rule_topics
from deckclause.variance.relief import WHOLE_RULE, ReliefReport, relief_report
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


def test_a_screw_tangent_to_the_edge_is_never_offered() -> None:
    """1/4 in from the centre of a 1/2 in screw: nothing published goes below 3/4 in."""
    report = _report("2-1/2 in", "6 in")
    first, only = report.choices
    assert first.published is not None
    assert [r.finding.key for r in only.relaxations] == ["ledger_lower_row_below_ledger_top"]
    assert [[(r.finding.key, r.value) for r in n.relaxations] for n in report.not_offered] == [
        [("band_joist_bottom_edge_distance", F(1, 4))]
    ]
    assert "1.5 diameters (3/4 in)" in report.not_offered[0].reason


def test_the_design_as_drawn_is_known_where_a_choice_moves_nothing() -> None:
    report = _report("2-1/2 in", "6 in")
    assert report.as_drawn is not None
    assert report.as_drawn.number == 2
    assert [c.published is None for c in report.choices] == [False, True]


def test_a_design_drawn_with_too_little_wood_is_not_offered_as_drawn() -> None:
    report = _report("3 in", "6 in")
    assert [c.moved for c in report.choices if not c.published] == [((LOWER, F(11, 2)),)]
    assert report.as_drawn is None
    drawn = {r.finding.key for n in report.not_offered for r in n.relaxations}
    assert drawn >= {f.key for f in report.case.failing}


def test_a_row_that_misses_the_board_is_no_choice_as_drawn() -> None:
    report = _report("3 in", "6-1/2 in")
    assert not report.relief.stands_as_drawn
    assert report.as_drawn is None
    assert all(c.moved for c in report.choices)


def test_rows_that_only_need_moving_are_moved_beside_what_else_needs_relief() -> None:
    report = _report("1/2 in", "8-1/2 in", ("spacing: 16 in", "spacing: 33 in"))
    assert report.relief.rows_alone
    asked = {r.finding.key: r for c in report.choices for r in c.relaxations}
    assert "ledger_fastener_spacing" in asked
    home_made = [c for c in report.choices if c.published is None]
    assert [name for name, _ in home_made[0].moved] == [LOWER]


def test_a_design_that_fails_nothing_offers_no_choice() -> None:
    assert _report("0 in", "6-1/2 in").choices == ()


def _on_2012(*changes: tuple[str, str]) -> ReliefReport:
    return relief_report(catalogue(), replaced(*changes), "irc-2012")


SILL = ("below_band_joist: 3 in", "below_band_joist: 1-3/4 in")


def test_a_whole_published_rule_comes_before_a_home_made_figure() -> None:
    """IRC 2015 Table R507.2.1 note e: 3/4 in where the band joist bears on a sill."""
    report = _on_2012(SILL)
    first, *rest = report.choices
    assert first.published is not None
    assert first.published.ruleset == "irc-2015"
    assert first.precedent == WHOLE_RULE
    assert {"irc-2018", "irc-2021", "irc-2024"} <= set(first.published.also)
    assert all(c.published is None for c in rest)
    assert rest


def test_a_change_and_a_later_rule_together_are_found() -> None:
    """A 2x8 ledger under the 2015 rule: 9-1/4 - 2-1/2 - 6 = 3/4 in over the sill, 6 >= 5-1/2."""
    report = _on_2012(
        ("below_band_joist: 3 in", "below_band_joist: 2-1/2 in"),
        ("size: 2x10, span", "size: 2x8, span"),
    )
    wanted = {("ledger.size", "2x8"), (LOWER, F(6))}
    found = [c for c in report.choices if set(c.moved) == wanted]
    assert len(found) == 1
    rule = found[0].published
    assert rule is not None
    assert rule.is_whole
    assert rule.ruleset == "irc-2015"
    again = open_case(catalogue(), found[0].evaluation.design, "irc-2015")
    failing = {f.topic for f in again.failing} & rule_topics(report.case)
    assert not failing


def test_where_the_scales_disagree_it_is_said() -> None:
    first = _on_2012(SILL).choices[0]
    assert first.not_advisable
    assert "permits it" in first.tension
    assert "Neither settles the other" in first.tension


def test_no_choice_leaves_less_wood_than_any_published_rule() -> None:
    for drop in ("2 in", "3 in"):
        for row in ("5-1/2 in", "6-1/2 in"):
            report = _on_2012(
                ("below_band_joist: 3 in", f"below_band_joist: {drop}"),
                ("lower_row_below_ledger_top: 6-1/2 in", f"lower_row_below_ledger_top: {row}"),
            )
            for choice in report.choices:
                facts = section_facts(choice.evaluation.design)
                left = facts["band_joist.depth"] - facts["ledger.below_band_joist"] - facts[LOWER]  # type: ignore[operator]
                assert left >= F(3, 4), (drop, row, choice.moved)
