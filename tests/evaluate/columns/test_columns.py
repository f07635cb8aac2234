"""The columnar evaluator against the scalar one, status by status, on random designs.

The default run takes five thousand designs over all editions and guides; the proof on 100,000
runs by name: `pytest tests/benchmarks/test_columnar_proof.py --benchmark-enable`.
"""

from __future__ import annotations

from collections import Counter

import pytest

from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.columns.chunk import chunk_of_designs
from deckclause.evaluate.columns.evaluator import Portfolio
from deckclause.evaluate.evaluator import Evaluator
from deckclause.evaluate.status import STATUS_WORDS
from evaluate.columns.agreement import agreement
from evaluate.vocabulary_designs import Drawer
from support.sizes import cases

DESIGNS = cases(2_000, by_name=5_000)


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return Catalogue.open(cached=False)


@pytest.fixture(scope="module")
def evaluators(catalogue: Catalogue) -> list[Evaluator]:
    """Every edition and guide, and every shipped place under its last code."""
    register = catalogue.register
    places = [f"{p.name}@{p.adoptions[-1].begins}" for p in register.places.values()]
    return [catalogue.evaluator(name) for name in [*sorted(catalogue.files.rulesets), *places]]


def test_columnar_agrees_with_scalar_on_every_clause(
    catalogue: Catalogue, evaluators: list[Evaluator]
) -> None:
    vocabulary = catalogue.vocabulary
    drawer = Drawer.of(vocabulary, [e.ruleset for e in evaluators])
    seen: Counter[str] = Counter()
    for number, evaluator in enumerate(evaluators):
        designs = [drawer.design(s) for s in range(number, DESIGNS, len(evaluators))]
        seen.update(agreement(catalogue, evaluator, designs))
    assert set(seen) == set(STATUS_WORDS), "the random designs miss a status"


def test_most_rows_are_evaluated_in_columns(
    catalogue: Catalogue, evaluators: list[Evaluator]
) -> None:
    """Without this the proof above could hold by falling back everywhere."""
    vocabulary = catalogue.vocabulary
    drawer = Drawer.of(vocabulary, [e.ruleset for e in evaluators])
    chunk = chunk_of_designs([drawer.design(seed) for seed in range(400)], vocabulary)
    portfolio = Portfolio(evaluators, vocabulary)
    table = portfolio.table(chunk)
    for columnar in portfolio.evaluators:
        left = columnar.run(table, lambda start, stop: lambda index, *masks: None)
        assert left.sum() < 400 / 4, columnar.evaluator.ruleset.name


def test_counts_are_the_counts_of_the_statuses(
    catalogue: Catalogue, evaluators: list[Evaluator]
) -> None:
    vocabulary = catalogue.vocabulary
    drawer = Drawer.of(vocabulary, [e.ruleset for e in evaluators])
    chunk = chunk_of_designs([drawer.design(seed) for seed in range(300)], vocabulary)
    portfolio = Portfolio(evaluators, vocabulary)
    table = portfolio.table(chunk)
    for columnar in portfolio.evaluators:
        statuses, problems = columnar.statuses(chunk, table)
        counts, set_aside = columnar.counts(chunk, table)
        assert set(problems) == set(set_aside)
        for status in range(6):
            assert (counts[:, status] == (statuses == status).sum(axis=1)).all()
