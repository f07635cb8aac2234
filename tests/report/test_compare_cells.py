"""Cells of the matrix: short, never a pass where nothing is checked, strictest of each part."""

from __future__ import annotations

import pytest

from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.explain import Explainer
from deckclause.evaluate.findings import TopicOutcome, evaluate
from deckclause.report.comparison.cells import cell_text, figure_text, given_text
from support.designs import EXAMPLES


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return Catalogue.open()


def outcome(catalogue: Catalogue, example: str, rule_set: str, topic: str) -> TopicOutcome:
    design = catalogue.design(EXAMPLES / f"{example}.yaml")
    return evaluate(design, catalogue.evaluator(rule_set), catalogue.vocabulary).outcome(topic)


def test_every_footing_limit_shows_not_only_the_one_with_least_margin(catalogue: Catalogue) -> None:
    found = outcome(catalogue, "l-shaped-two-fields", "irc-2021", "footing_size")
    limits = {f.least for f in found.findings if f.status == found.status and f.least is not None}
    assert len(limits) > 1
    assert figure_text(found) == f">= {min(limits)} in to {max(limits)} in"


def test_a_figure_the_rules_give_is_no_check(catalogue: Catalogue) -> None:
    found = outcome(catalogue, "whole-deck-12x16", "Tarn Hollow@2026-01-01", "deck_live_load")
    assert cell_text(found) == "sets 60 psf"
    share = outcome(catalogue, "whole-deck-12x16", "irc-2021", "deflection_limit")
    assert given_text(share, memory=True) == "1/360*"


def test_the_permit_exemption_says_yes_or_no(catalogue: Catalogue) -> None:
    found = outcome(catalogue, "whole-deck-12x16", "irc-2021", "permit_exemption")
    assert cell_text(found, memory=True) == "no*"


def test_what_is_silent_shows_no_limit(catalogue: Catalogue) -> None:
    found = outcome(
        catalogue, "complies-everywhere", "irc-2006", "ledger_lower_row_below_ledger_top"
    )
    assert cell_text(found) == "silent"


def test_a_step_says_whose_value_stands(catalogue: Catalogue) -> None:
    name = "Tarn Hollow@2026-01-01"
    design = catalogue.design(EXAMPLES / "whole-deck-12x16.yaml")
    evaluation = evaluate(design, catalogue.evaluator(name), catalogue.vocabulary)
    finding = evaluation.outcome("deck_live_load").findings[0]
    step = Explainer(evaluation, catalogue.vocabulary).steps(finding)[-1]
    assert step.startswith("given: deck live load: 60 psf, set by Tarn Hollow in place of")
