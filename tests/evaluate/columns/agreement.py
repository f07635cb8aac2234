"""Hold the columnar evaluator against the scalar one, clause by clause."""

from __future__ import annotations

from collections import Counter

import numpy as np

from deckclause.designs.design import Design
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.columns.chunk import chunk_of_designs
from deckclause.evaluate.columns.evaluator import NO_FINDING, SET_ASIDE, Portfolio
from deckclause.evaluate.evaluator import Evaluator
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.status import STATUS_WORDS
from deckclause.rulesets.problems import InputError


def scalar_statuses(evaluator: Evaluator, design: PreparedDesign) -> list[int]:
    """The worst status of each clause over the parts it is read for, by the scalar evaluator."""
    worst = [NO_FINDING] * len(evaluator.ruleset.clauses)
    try:
        rows = evaluator.rows(design)
    except InputError:
        return [SET_ASIDE] * len(worst)
    for index, _, result in rows:
        worst[index] = max(worst[index], result[0])
    return worst


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
