"""Notices: a place's own values, and figures made for another load than the one in force."""

from __future__ import annotations

import pytest

from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.explain import Explainer
from deckclause.evaluate.findings import evaluate
from deckclause.evaluate.notices import notices
from support.designs import changed


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return Catalogue.open(cached=False)


def said(catalogue: Catalogue, name: str, **facts: object) -> list[str]:
    evaluation = evaluate(
        changed(catalogue, **facts), catalogue.evaluator(name), catalogue.vocabulary
    )
    return [n.says for n in notices(evaluation, catalogue.vocabulary)]


def test_a_place_value_that_replaces_the_designs_is_said(catalogue: Catalogue) -> None:
    town = "Tarn Hollow@2024-02-01"
    assert any(
        "sets the frost depth to 42 in" in s and "36 in is not used" in s
        for s in said(catalogue, town)
    )
    alike = said(catalogue, town, site__frost_depth=42)
    assert any("sets the frost depth to 42 in" in s for s in alike)
    assert not any("frost" in s and "is not used" in s for s in alike)


def test_a_place_value_the_design_does_not_state_is_said(catalogue: Catalogue) -> None:
    assert any(
        "Tarn Hollow sets the deck live load to 60 psf (Town Ordinance 97 Sec. 3)" in s
        for s in said(catalogue, "Tarn Hollow@2026-01-01")
    )


def test_figures_made_for_another_load_are_said(catalogue: Catalogue) -> None:
    assert any(
        "60 psf here" in s and "made for 40 psf" in s
        for s in said(catalogue, "Tarn Hollow@2024-02-01")
    )
    assert not any("made for" in s for s in said(catalogue, "irc-2018"))


def test_a_60_psf_town_never_passes_on_a_40_psf_table(catalogue: Catalogue) -> None:
    evaluation = evaluate(
        changed(catalogue), catalogue.evaluator("Tarn Hollow@2024-02-01"), catalogue.vocabulary
    )
    outcome = evaluation.outcome("ledger_fastener_spacing")
    assert outcome.status_words == "engineering required"
    assert outcome.governing is not None
    reason = Explainer(evaluation, catalogue.vocabulary).engineering_reason(outcome.governing)
    assert "deck live load is 60 psf" in reason
