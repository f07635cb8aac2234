"""An explanation says what was read and nothing else: the cells, the case, the branch that held."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from msgspec.structs import replace

from deckclause.designs.design import Design
from deckclause.designs.read_design import design_of
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.explain import Explainer
from deckclause.evaluate.findings import Evaluation, Finding, evaluate
from deckclause.evaluate.prepare import PreparedDesign
from support.small_rules import small_rules

BETWEEN_TWO_SPANS = """\
design: 1
name: Between two printed spans
deck: {attachment: ledger}
joists: {species: southern_pine, size: 2x10, spacing: 16 in, span: 13 ft, cantilever: 3 ft 2 in}
site: {ground_snow_load: 30 psf}
"""
TABLES = """
  first: {title: First, cites: T1, standing: memory, sources: [memory], by: [ledger.size], columns: [2x8, 2x10], cells: [10 in, 12 in]}
  second: {title: Second, cites: T2, standing: confirmed, sources: [memory], by: [ledger.size], columns: [2x8, 2x10], cells: [20 in, 22 in]}
"""
CLAUSES = """
  - key: a
    topic: t
    cites: "1"
    says: s
    limit: fasteners.spacing
    at_most:
      cases:
        - {when: {deck.attachment: freestanding}, value: {table: first}}
        - {when: {deck.attachment: ledger}, value: {table: second}}
    standing: confirmed
    sources: [memory]
"""
LIVE_LOAD = """
  - key: load
    topic: t
    cites: "1"
    says: s
    provides: loads.deck_live_load
    value: 40 psf
    unless: [{when: {deck.use: exterior_balcony}, says: e, provides: loads.deck_live_load, value: 60 psf}]
    standing: memory
    sources: [memory]
  - key: reads_it
    topic: t
    cites: "2"
    says: s
    limit: loads.deck_live_load
    at_most: 50 psf
    standing: memory
    sources: [memory]
"""


def evaluation_of(catalogue: Catalogue, name: str, design: Design) -> Evaluation:
    prepared = PreparedDesign(design, catalogue.vocabulary.quantities)
    return evaluate(prepared, catalogue.evaluator(name), catalogue.vocabulary)


def one(evaluation: Evaluation, key: str) -> Finding:
    (finding,) = [f for f in evaluation.findings if f.key == key]
    return finding


@pytest.mark.parametrize("edition", ["irc-2021", "irc-2024"])
def test_an_interpolated_figure_is_shown_between_the_two_printed(edition: str) -> None:
    """Table R507.6 prints 3 ft at 12 ft and 3 ft 4 in at 14 ft; 3 ft 2 in stands nowhere in it."""
    catalogue = Catalogue.open()
    design = design_of(BETWEEN_TWO_SPANS.encode(), "between.yaml", catalogue.vocabulary)
    evaluation = evaluation_of(catalogue, edition, design)
    finding = one(evaluation, "joist_cantilever")
    assert finding.most == 38
    explainer = Explainer(evaluation, catalogue.vocabulary)
    text = "\n".join(explainer.steps(finding))
    assert "span 12 ft (3 ft) and 14 ft (3 ft 4 in)" in text
    (read,) = explainer.cells(finding)
    assert [cell.figure for cell in read.cells] == [36, 40]
    assert read.share == Fraction(1, 2)


def test_only_the_case_that_held_is_read(tmp_path: Path) -> None:
    catalogue = small_rules(tmp_path, CLAUSES, TABLES)
    facts = {"deck.attachment": "ledger", "ledger.size": "2x10", "fasteners.spacing": Fraction(16)}
    evaluation = evaluation_of(catalogue, "small", Design("d", "", facts, {}, "", ""))
    finding = one(evaluation, "a")
    explainer = Explainer(evaluation, catalogue.vocabulary)
    assert [read.table.name for read in explainer.cells(finding)] == ["second"]
    assert explainer.standing(finding) == "confirmed"
    assert "T1" not in "\n".join(explainer.steps(finding))


def test_an_undecided_exception_leaves_a_given_value_open(tmp_path: Path) -> None:
    """40 psf is not given while the deck may be a balcony with 60: nothing complies on it."""
    catalogue = small_rules(tmp_path, LIVE_LOAD)
    outcomes = {}
    for use in ("deck", "exterior_balcony", None):
        facts = {} if use is None else {"deck.use": use}
        evaluation = evaluation_of(catalogue, "small", Design("d", "", facts, {}, "", ""))
        outcomes[use] = [f.status_words for f in evaluation.findings]
        if use is None:
            assert [f.missing for f in evaluation.findings] == [("deck.use",), ("deck.use",)]
    assert outcomes == {
        "deck": ["complies", "complies"],
        "exterior_balcony": ["complies", "does not comply"],
        None: ["information missing", "information missing"],
    }


def test_readings_that_give_different_values_leave_it_open(tmp_path: Path) -> None:
    """No value given is the stricter: what reads it may ask the most of either."""
    text = LIVE_LOAD.replace("unless: [{when: {deck.use: exterior_balcony}, says: e, provides: loads.deck_live_load, value: 60 psf}]",
        "readings: [{says: other, provides: loads.deck_live_load, value: 60 psf, standing: memory, sources: [memory]}]")  # fmt: skip
    catalogue = small_rules(tmp_path, text)
    evaluation = evaluation_of(catalogue, "small", Design("d", "", {}, {}, "", ""))
    assert [f.status_words for f in evaluation.findings] == ["information missing"] * 2
    step = Explainer(evaluation, catalogue.vocabulary).steps(evaluation.findings[0])[-1]
    assert step == "the words are read in ways that give different values: s / other"


def test_the_trace_of_a_finding_comes_to_the_finding() -> None:
    catalogue = Catalogue.open()
    design = catalogue.design(Path(__file__).parents[2] / "rules/examples/whole-deck-12x16.yaml")
    for name in ("irc-2012", "irc-2021", "Tarn Hollow@2026-01-31"):
        evaluation = evaluate(design, catalogue.evaluator(name), catalogue.vocabulary)
        explainer = Explainer(evaluation, catalogue.vocabulary)
        for finding in evaluation.findings:
            trace = explainer.trace(finding)
            outcome = trace.outcome
            if finding.setting is None:
                assert trace.branch == finding.branch
            assert (outcome.status, outcome.value, outcome.least, outcome.most) == (
                finding.status,
                finding.value,
                finding.least,
                finding.most,
            )
            assert replace(outcome).missing == finding.missing
