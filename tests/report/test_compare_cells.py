"""Cells of the matrix: short, never a pass where nothing is checked, strictest of each part."""

from __future__ import annotations

import pytest

from deckclause.answers.compare.build import compare_answer
from deckclause.answers.compare.cell import CellAnswer
from deckclause.compare.comparison import compare
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.explain import Explainer
from deckclause.evaluate.findings import evaluate
from deckclause.report.comparison.cells import cell_text, figure_text, given_text
from support.designs import EXAMPLES


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return Catalogue.open()


def cell(catalogue: Catalogue, example: str, rule_set: str, topic: str) -> CellAnswer:
    design = catalogue.design(EXAMPLES / f"{example}.yaml")
    comparison = compare(catalogue, design, [rule_set], topics=[topic])
    (row,) = compare_answer(comparison, catalogue.vocabulary, depth=True).rows
    return row.cells[0]


def test_every_footing_limit_shows_not_only_the_one_with_least_margin(catalogue: Catalogue) -> None:
    found = cell(catalogue, "l-shaped-two-fields", "irc-2021", "footing_size")
    limits = {f.least.value for f in found.findings if f.status == found.status and f.least}
    assert len(limits) > 1
    assert figure_text(found, drawn=False) == f"min {min(limits)} in to {max(limits)} in"


def test_what_the_design_has_stands_before_the_limit(catalogue: Catalogue) -> None:
    found = cell(catalogue, "step-down-3in", "irc-2012", "ledger_greatest_drop")
    assert cell_text(found) == "FAILS 3 in, max 3/4 in*"
    assert cell_text(found, drawn=False) == "FAILS max 3/4 in*"


def test_a_figure_the_rules_give_is_no_check(catalogue: Catalogue) -> None:
    found = cell(catalogue, "whole-deck-12x16", "Tarn Hollow@2026-01-01", "deck_live_load")
    assert cell_text(found) == "gives 60 psf"
    share = cell(catalogue, "whole-deck-12x16", "irc-2021", "deflection_limit")
    assert given_text(share) == "1/360*"


def test_the_permit_exemption_says_yes_or_no(catalogue: Catalogue) -> None:
    found = cell(catalogue, "whole-deck-12x16", "irc-2021", "permit_exemption")
    assert found.on_memory == cell_text(found).endswith("*")
    assert cell_text(found).rstrip("*") == "no"


def test_what_is_silent_shows_no_limit(catalogue: Catalogue) -> None:
    found = cell(catalogue, "complies-everywhere", "irc-2006", "ledger_lower_row_below_ledger_top")
    assert cell_text(found) == "silent"


def test_a_step_says_whose_value_stands(catalogue: Catalogue) -> None:
    name = "Tarn Hollow@2026-01-01"
    design = catalogue.design(EXAMPLES / "whole-deck-12x16.yaml")
    evaluation = evaluate(design, catalogue.evaluator(name), catalogue.vocabulary)
    finding = evaluation.outcome("deck_live_load").findings[0]
    step = Explainer(evaluation, catalogue.vocabulary).steps(finding)[-1]
    assert step.startswith("given: deck live load: 60 psf, set by Tarn Hollow in place of")
