"""The reference reader and the compiled rule sets agree, on every example and random designs."""

from __future__ import annotations

from typing import Any

import pytest

from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.evaluator import Evaluator
from deckclause.evaluate.findings import measure_of
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.reference import ReferenceEvaluator
from deckclause.evaluate.status import STATUS_WORDS
from deckclause.rulesets.problems import InputError
from evaluate.vocabulary_designs import Drawer
from support.designs import EXAMPLES

PLACES = ("Tarn Hollow@2026-01-31", "Skerryvane@2024-05-01", "Dunmarrow@2020-01-01")
SEEDS = 40


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return Catalogue.open()


@pytest.fixture(scope="module")
def evaluators(catalogue: Catalogue) -> list[Evaluator]:
    return [catalogue.evaluator(name) for name in (*catalogue.files.rulesets, *PLACES)]


def told(design: PreparedDesign, evaluator: Evaluator, catalogue: Catalogue) -> list[Any]:
    """Return what the compiled rule set makes of a design, in the reference reader's terms."""
    found = []
    for index, part, (status, value, least, most, branch, missing) in evaluator.rows(design):
        _, _, back = measure_of(index, evaluator, catalogue.vocabulary)
        bare = value if isinstance(value, str | bool) else back(value)
        names = tuple(dict.fromkeys(missing or ()))
        found.append(
            (
                (index, part),
                (STATUS_WORDS[status], bare, back(least), back(most), branch, names),
            )
        )
    return found


def held_together(design: PreparedDesign, evaluators: list[Evaluator], catalogue: Catalogue) -> int:
    """Hold the two together on one design; return the rows compared."""
    rows = 0
    quantities = catalogue.vocabulary.quantities
    for evaluator in evaluators:
        reference = ReferenceEvaluator(evaluator.ruleset, evaluator.plan, quantities)
        try:
            expected = told(design, evaluator, catalogue)
        except InputError:
            with pytest.raises(Exception, match=r"both fire|two different values"):
                reference.rows(design)
            continue
        for (place, result), row in zip(expected, reference.rows(design), strict=True):
            rows += 1
            o = row.outcome
            assert place == (row.index, row.part)
            mine = (o.status.words, o.value, o.least, o.most, row.trace.branch, o.missing)
            assert mine == result, (evaluator.ruleset.name, row.trace.rule.clause.key)
    return rows


def test_every_example(catalogue: Catalogue, evaluators: list[Evaluator]) -> None:
    for path in sorted(EXAMPLES.glob("*.yaml")):
        assert held_together(catalogue.design(path), evaluators, catalogue) > 1_000


def test_random_designs(catalogue: Catalogue, evaluators: list[Evaluator]) -> None:
    drawer = Drawer.of(catalogue.vocabulary, [e.ruleset for e in evaluators])
    designs = (catalogue.prepare(drawer.design(seed)) for seed in range(SEEDS))
    assert sum(held_together(design, evaluators, catalogue) for design in designs) > 40_000
