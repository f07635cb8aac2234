"""The calculation sheet of a relief: the arrangement prescribed beside the one asked for."""

from __future__ import annotations

from fractions import Fraction as F

from deckclause.engineering.ledger_joint.joint import CalculationSheet
from deckclause.quantities import LENGTH, Quantity
from deckclause.variance.calculation import (
    AS_ASKED,
    AS_PRESCRIBED,
    beyond_resistance,
    engineering_lines,
    relief_calculation,
)
from deckclause.variance.relief import ReliefReport, relief_report
from variance.decks import catalogue, replaced


def _report() -> ReliefReport:
    design = replaced(
        ("below_band_joist: 3 in", "below_band_joist: 1-3/4 in"),
    )
    return relief_report(catalogue(), design, "irc-2012")


def _sheet(report: ReliefReport, topic: str) -> CalculationSheet:
    choice = next(c for c in report.choices if topic in {r.finding.topic for r in c.relaxations})
    found = relief_calculation(choice.evaluation, catalogue().vocabulary, choice.relaxations)
    assert found is not None
    assert found.sheet is not None, found.why_none
    return found.sheet


def test_only_what_is_asked_differs_between_the_two() -> None:
    sheet = _sheet(_report(), "ledger_lower_row_below_ledger_top")
    prescribed, asked = sheet.arrangements
    assert (prescribed.name, asked.name) == (AS_PRESCRIBED, AS_ASKED)
    assert prescribed.ledger_lower_from_top == Quantity(F(13, 2), LENGTH)
    assert asked.ledger_lower_from_top < prescribed.ledger_lower_from_top
    assert prescribed.band_lower_from_bottom == asked.band_lower_from_bottom


def test_relief_on_something_else_has_no_ledger_sheet() -> None:
    report = _report()
    assert relief_calculation(report.case.evaluation, catalogue().vocabulary, ()) is None


def test_what_is_not_known_gives_no_sheet_and_is_named() -> None:
    design = replaced(
        ("below_band_joist: 3 in", "below_band_joist: 1-3/4 in"),
        ("sheathing_thickness: 7/16 in, ", ""),
    )
    report = relief_report(catalogue(), design, "irc-2012")
    found = relief_calculation(
        report.choices[0].evaluation, catalogue().vocabulary, report.choices[0].relaxations
    )
    assert found is not None
    assert found.sheet is None
    assert any("sheathing thickness is not known" in why for why in found.why_none)


def test_more_load_than_resistance_is_said_in_words() -> None:
    """NDS 3.4.3.3 near an end: V'r goes as de cubed, so 4-1/4 in for 6-1/2 in takes 3.58 times the share."""
    sheet = _sheet(
        relief_report(catalogue(), replaced(), "irc-2012"), "ledger_lower_row_below_ledger_top"
    )
    step = next(s for s in sheet.steps if s.key == "ledger_shear")
    before, after = (step.result(name).ratio for name in (AS_PRESCRIBED, AS_ASKED))
    assert before is not None
    assert after is not None
    assert abs(after / before - (6.5 / 4.25) ** 3) < 0.01
    assert before < 1 < after
    (line,) = (x for x in engineering_lines(sheet) if x.startswith(step.title))
    assert line.endswith("more than there is. An engineer must weigh this")
    assert [x.partition(",")[0] for x in beyond_resistance(sheet)] == [step.title]


def test_a_joint_without_a_value_is_said_with_the_ratios() -> None:
    """3/4 in of band joist below a 1/2 in bolt is less than the 4 diameters of NDS 12.5.1, before and after."""
    sheet = _sheet(
        relief_report(catalogue(), replaced(), "irc-2021"), "ledger_lower_row_below_ledger_top"
    )
    (line,) = (x for x in engineering_lines(sheet) if "NDS gives no value" in x)
    assert "3/4 in, at least 2 in (the same as prescribed)" in line
    assert beyond_resistance(sheet) == ()
