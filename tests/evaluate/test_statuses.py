"""The six statuses, fail-closed logic, exceptions and explanations, on small rule sets."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.explain import Explainer
from deckclause.evaluate.findings import evaluate
from deckclause.rulesets.problems import InputError
from support.designs import changed
from support.small_rules import small_rules


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return Catalogue.open(cached=False)


def test_a_topic_without_a_clause_is_not_regulated(catalogue: Catalogue) -> None:
    evaluation = evaluate(changed(catalogue), catalogue.evaluator("irc-2009"), catalogue.vocabulary)
    assert evaluation.outcome("ledger_row_spacing").status_words == "not regulated"


@pytest.mark.parametrize(
    "edition", ["irc-2006", "irc-2009", "irc-2012", "irc-2015", "irc-2018", "irc-2021", "irc-2024"]
)
def test_an_empty_design_never_complies(catalogue: Catalogue, edition: str) -> None:
    empty = catalogue.prepare(_design({}))
    evaluation = evaluate(empty, catalogue.evaluator(edition), catalogue.vocabulary)
    complying = [
        f.key
        for f in evaluation.findings
        if f.status_words == "complies" and f.clause.requirement.__class__.__name__ != "Provides"
    ]
    assert complying == []
    explainer = Explainer(evaluation, catalogue.vocabulary)
    for finding in evaluation.findings:
        if finding.status_words == "information missing":
            assert (
                explainer.questions(finding)
                or "not modelled" in explainer.steps(finding)[-1]
                or "not been seen" in explainer.steps(finding)[-1]
            )


def test_taking_facts_away_never_makes_a_failing_clause_comply(catalogue: Catalogue) -> None:
    full = changed(catalogue)
    names = [*full.design.facts, *(f for p in full.design.values("joists") for f in p.facts)]
    evaluator = catalogue.evaluator("irc-2018")
    before = {
        f.key: f.status_words for f in evaluate(full, evaluator, catalogue.vocabulary).findings
    }
    for name in names:
        less = changed(catalogue, **{name.replace(".", "__"): None})
        for finding in evaluate(less, evaluator, catalogue.vocabulary).findings:
            if finding.status_words == "complies":
                assert before[finding.key] == "complies", (name, finding.key)


def test_the_question_names_what_is_missing(catalogue: Catalogue) -> None:
    design = changed(catalogue, ledger__size=None, fasteners__lower_row_below_ledger_top=None)
    evaluation = evaluate(design, catalogue.evaluator("irc-2018"), catalogue.vocabulary)
    explainer = Explainer(evaluation, catalogue.vocabulary)
    finding = evaluation.outcome("ledger_bottom_edge_distance").findings[0]
    assert {name for name, _ in explainer.questions(finding)} == {
        "ledger.size",
        "fasteners.lower_row_below_ledger_top",
    }


def test_two_fired_exceptions_name_both_lines(tmp_path: Path) -> None:
    catalogue = small_rules(
        tmp_path,
        """
  - key: spacing
    topic: t
    cites: 1.1
    says: Spacing.
    limit: fasteners.spacing
    at_most: 16 in
    unless:
      - {when: {ledger.size: 2x10}, at_most: 18 in}
      - {when: {ledger.size: [2x10, 2x12]}, at_most: 20 in}
    standing: memory
    sources: [memory]
""",
    )
    design = catalogue.prepare(_design({"ledger.size": "2x10", "fasteners.spacing": Fraction(12)}))
    with pytest.raises(InputError) as caught:
        evaluate(design, catalogue.evaluator("small"), catalogue.vocabulary)
    assert len(caught.value.problems) == 2
    assert {p.line for p in caught.value.problems} == {13, 14}
    assert all("both fire" in p.message for p in caught.value.problems)


def test_an_unknown_exception_counts_only_if_it_cannot_matter(tmp_path: Path) -> None:
    catalogue = small_rules(
        tmp_path,
        """
  - key: spacing
    topic: t
    cites: 1.1
    says: Spacing.
    limit: fasteners.spacing
    at_most: 16 in
    unless:
      - {when: {ledger.size: 2x10}, at_most: 18 in}
    standing: memory
    sources: [memory]
""",
    )
    for spacing, wanted in ((12, "complies"), (17, "information missing"), (19, "does not comply")):
        design = catalogue.prepare(_design({"fasteners.spacing": Fraction(spacing)}))
        outcome = evaluate(design, catalogue.evaluator("small"), catalogue.vocabulary).outcome("t")
        assert outcome.status_words == wanted, spacing


def test_table_cells_interpolate_forbid_and_end(tmp_path: Path) -> None:
    catalogue = small_rules(
        tmp_path,
        """
  - key: span
    topic: t
    cites: 1.1
    says: Span.
    limit: fasteners.spacing
    at_most: {table: t1}
    standing: memory
    sources: [memory]
""",
        tables="""
  t1:
    title: A table
    cites: Table 1
    by: [ledger.size, joists.span]
    between: {joists.span: interpolate}
    columns: [6 ft, 8 ft, 10 ft]
    cells:
      2x8: [30 in, 20 in, not permitted]
      2x10: [36 in, 25 in, not seen]
    standing: memory
    sources: [memory]
""",
    )

    def outcome(size: str, span: object, spacing: int = 1) -> tuple[str, object]:
        from deckclause.designs.design import Design, Part

        design = Design(
            "d",
            "",
            {"ledger.size": size, "fasteners.spacing": Fraction(spacing)},
            {"joists": (Part("", {"joists.span": Fraction(span)}),)},
            "d",
            "d",
        )  # type: ignore[arg-type]
        found = evaluate(
            catalogue.prepare(design), catalogue.evaluator("small"), catalogue.vocabulary
        ).outcome("t")
        return found.status_words, found.findings[0].most

    assert outcome("2x8", 72) == ("complies", 30)
    assert outcome("2x8", 84) == ("complies", 25)  # half way, exactly
    assert outcome("2x8", Fraction(217, 3)) == ("complies", 30 - Fraction(10, 24) * Fraction(1, 3))
    assert outcome("2x8", 120)[0] == "does not comply"
    assert outcome("2x10", 120)[0] == "information missing"
    assert outcome("2x8", 121)[0] == "engineering required"
    assert outcome("2x8", 60)[0] == "engineering required"  # no extrapolation below either
    assert outcome("2x12", 72)[0] == "engineering required"


def test_provided_quantities_in_a_circle_are_refused(tmp_path: Path) -> None:
    catalogue = small_rules(
        tmp_path,
        """
  - {key: a, topic: t, cites: 1, says: A., provides: loads.deck_live_load, value: {reads: loads.deck_dead_load}, standing: memory, sources: [memory]}
  - {key: b, topic: t, cites: 2, says: B., provides: loads.deck_dead_load, value: {reads: loads.deck_live_load}, standing: memory, sources: [memory]}
""",
    )
    with pytest.raises(InputError, match="circle"):
        catalogue.evaluator("small")


def test_steps_show_values_limit_margin_and_cell(catalogue: Catalogue) -> None:
    evaluation = evaluate(changed(catalogue), catalogue.evaluator("irc-2015"), catalogue.vocabulary)
    explainer = Explainer(evaluation, catalogue.vocabulary)
    finding = evaluation.outcome("ledger_fastener_spacing").findings[0]
    text = "\n".join(explainer.steps(finding))
    assert "joist span: 11 ft 6 in" in text
    assert "read at fastener row of the ledger table through bolt, joist span 12 ft" in text
    assert "16 in against at most 29 in: 13 in to spare" in text
    assert explainer.standing(finding) == "confirmed"


def _design(facts: dict[str, object]) -> object:
    from deckclause.designs.design import Design

    return Design("d", "", facts, {}, "d", "d")  # type: ignore[arg-type]
