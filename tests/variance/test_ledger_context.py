"""Engineering beside a ledger: context with its limits, never a verdict and never a capacity."""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from deckclause.variance.context import find_context
from variance.decks import case, replaced

RULE_SETS = ("irc-2012", "irc-2018")


@pytest.mark.parametrize("ruleset", RULE_SETS)
def test_a_ledger_spaced_as_the_table_asks_gets_no_nds_figure(ruleset: str) -> None:
    opened = case(replaced(("spacing: 16 in", "spacing: 29 in")), ruleset)
    spacing = [f for f in opened.evaluation.findings if f.topic == "ledger_fastener_spacing"]
    assert spacing
    assert all(f.status_words == "complies" for f in spacing)
    assert "ledger_fastener_spacing" not in {f.topic for f in opened.failing}


@pytest.mark.parametrize("ruleset", RULE_SETS)
def test_the_implied_figure_stands_with_its_basis_and_its_limits(ruleset: str) -> None:
    opened = case(replaced(("spacing: 16 in", "spacing: 33 in")), ruleset)
    (failing,) = [f for f in opened.failing if f.topic == "ledger_fastener_spacing"]
    context = find_context(opened, failing)
    said = " ".join(context.lines)
    assert context.basis == "implied by a table"
    assert "not to be used for any other fastener, wood, sheathing or span" in said
    assert "a ledger fastened to the table complies" in said
    assert "not spare strength" in said
    for word in ("does not comply", "fails", "unsafe", "overstressed"):
        assert word not in said
    assert any("particular" in c or "tests of a 2x ledger" in c for c in context.cautions)


@pytest.mark.parametrize(
    ("topic", "asked", "has_value"),
    [
        # NDS 2018 Table 12.5.1C, 1/2 in fastener: loaded edge 4D, unloaded edge 1.5D
        ("ledger_top_edge_distance", F(2), True),
        ("ledger_top_edge_distance", F(7, 4), False),
        ("ledger_bottom_edge_distance", F(3, 4), True),
        ("ledger_bottom_edge_distance", F(5, 8), False),
        # Table 12.5.1A: the end distance trades value for length down to 2D
        ("ledger_end_distance", F(3, 2), True),
        ("ledger_end_distance", F(7, 8), False),
    ],
)
def test_under_the_least_distance_engineering_gives_no_value(
    topic: str, asked: F, has_value: bool
) -> None:
    opened = case(replaced(), "irc-2018")
    finding = next(f for f in opened.evaluation.findings if f.topic == topic)
    found = find_context(opened, finding, asked)
    assert bool(found.no_value) is not has_value
    assert ("gives no value" in " ".join(found.lines)) is not has_value
