"""Engineering beside a ledger: context with its limits, never a verdict and never a capacity."""

from __future__ import annotations

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
