"""Columns and single designs agree on 100,000 random designs over every rule set, by name.

`pytest tests/benchmarks/test_columnar_proof.py -n2` takes some minutes.
"""

from __future__ import annotations

from collections import Counter

import pytest

from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.status import STATUS_WORDS
from evaluate.columns.agreement import agreement
from evaluate.vocabulary_designs import Drawer

DESIGNS = 100_000
SLICES = 20


@pytest.mark.parametrize("number", range(SLICES))
def test_agreement_on_a_hundred_thousand_designs(number: int) -> None:
    catalogue = Catalogue.open()
    register = catalogue.register
    places = [f"{p.name}@{p.adoptions[-1].begins}" for p in register.places.values()]
    evaluators = [catalogue.evaluator(n) for n in [*sorted(catalogue.files.rulesets), *places]]
    drawer = Drawer.of(catalogue.vocabulary, [e.ruleset for e in evaluators])
    seen: Counter[str] = Counter()
    first = 1_000_000 + number
    for place, evaluator in enumerate(evaluators):
        seeds = range(first + place * SLICES, first + DESIGNS, SLICES * len(evaluators))
        seen.update(agreement(catalogue, evaluator, [drawer.design(seed) for seed in seeds]))
    assert set(seen) == set(STATUS_WORDS)
