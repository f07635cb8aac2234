"""The calculation sheet of a relief: the arrangement prescribed beside the one asked for."""

from __future__ import annotations

from fractions import Fraction as F

from deckclause.engineering.ledger_joint.joint import CalculationSheet
from deckclause.quantities import LENGTH, Quantity
from deckclause.variance.calculation import AS_ASKED, AS_PRESCRIBED, relief_calculation
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
