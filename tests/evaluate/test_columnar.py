"""The columnar evaluator against the scalar one, status by status, on random designs.

The default run takes five thousand designs over all editions and guides; the proof on 100,000
runs by name: `pytest tests/benchmarks/test_columnar_proof.py --benchmark-enable`.
"""

from __future__ import annotations

from collections import Counter

import numpy as np
import pytest

from deckclause.designs.design import Design
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.columnar import NO_FINDING, SET_ASIDE, Portfolio
from deckclause.evaluate.columnar_chunk import chunk_of_designs
from deckclause.evaluate.evaluator import Evaluator
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.status import SEVERITY, STATUS_WORDS
from deckclause.rulesets.problems import InputError
from evaluate.vocabulary_designs import Drawer

DESIGNS = 5_000


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return Catalogue.open(cached=False)


@pytest.fixture(scope="module")
def evaluators(catalogue: Catalogue) -> list[Evaluator]:
    """Every edition and guide, and every shipped place as it stands in mid 2025."""
    places = [f"{place}@2025-06-01" for place in catalogue.register.places]
    return [catalogue.evaluator(name) for name in [*sorted(catalogue.files.rulesets), *places]]


def scalar_statuses(evaluator: Evaluator, design: PreparedDesign) -> list[int]:
    """The worst status of each clause over the parts it is read for, by the scalar evaluator."""
    worst = [NO_FINDING] * len(evaluator.ruleset.clauses)
    try:
        rows = evaluator.rows(design)
    except InputError:
        return [SET_ASIDE] * len(worst)
    for index, _, result in rows:
        if SEVERITY[result[0]] > SEVERITY[worst[index]]:
            worst[index] = result[0]
    return worst


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


def agreement(catalogue: Catalogue, evaluator: Evaluator, designs: list[Design]) -> Counter[str]:
    """Hold the two evaluators against each other; return how often each status was seen."""
    vocabulary = catalogue.vocabulary
    portfolio = Portfolio([evaluator], vocabulary)
    chunk = chunk_of_designs(designs, vocabulary)
    found, problems = portfolio.evaluators[0].statuses(chunk, portfolio.table(chunk))
    seen: Counter[str] = Counter()
    for row, design in enumerate(designs):
        expected = scalar_statuses(evaluator, PreparedDesign(design, vocabulary.quantities))
        wrong = np.flatnonzero(found[:, row] != np.array(expected))
        keys = [evaluator.ruleset.clauses[i].key for i in wrong]
        assert not keys, f"{evaluator.ruleset.name}, {design.name}: {keys[:5]}"
        assert (row in problems) == (SET_ASIDE in expected)
        seen.update(STATUS_WORDS[s] for s in expected if s != SET_ASIDE)
    return seen


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
