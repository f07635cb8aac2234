"""One function for all clauses gives what the clauses' own functions give, one by one."""

from __future__ import annotations

from collections import Counter

import pytest

from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.evaluator import Evaluator, Known, Result, Row, settled_missing
from deckclause.evaluate.prepare import PreparedDesign, TickFacts
from deckclause.evaluate.runtime import ExceptionsConflict
from deckclause.rulesets.problems import InputError
from evaluate.vocabulary_designs import Drawer

DESIGNS = 60


def one_by_one(evaluator: Evaluator, design: PreparedDesign) -> list[Row]:
    """Call each clause's function in order, merging a part's facts with those of the whole."""
    rows: list[Row] = []

    def run(
        order: tuple[int, ...], part: str, facts: dict[str, object], ticks: TickFacts, known: Known
    ) -> None:
        for index in order:
            result = evaluator.functions[index](facts.get, ticks.distances)
            result = settled_missing(result, known.unknown)
            if evaluator.plan.provides[index]:
                result = evaluator._provide(index, result, facts, known)
            rows.append((index, part, result))

    once = design.once(evaluator.scale)
    settings = {
        s.quantity: evaluator.scale.ticks(s.value, design._quantities[s.quantity])
        for s in evaluator.ruleset.settings
    }
    facts = {**once.facts, **settings}
    known = Known({}, set())
    run(evaluator.plan.once, "", facts, once, known)
    for group, order in evaluator.plan.groups:
        for name, part in design.parts(group, evaluator.scale):
            run(order, name, {**part.facts, **facts}, part, known.copy())
    return rows


def tidy(row: Row) -> tuple[int, str, Result]:
    """A fact that is missing counts once, however often it was asked for."""
    index, part, result = row
    missing = None if result[5] is None else tuple(dict.fromkeys(result[5]))
    return index, part, (*result[:5], missing)


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return Catalogue.open(cached=False)


def test_rows_are_those_of_the_clauses_one_by_one(catalogue: Catalogue) -> None:
    names = [*sorted(catalogue.files.rulesets)]
    names += [f"{place}@2025-06-01" for place in catalogue.register.places]
    evaluators = [catalogue.evaluator(name) for name in names]
    drawer = Drawer.of(catalogue.vocabulary, [e.ruleset for e in evaluators])
    statuses: Counter[int] = Counter()
    for seed in range(DESIGNS):
        design = PreparedDesign(drawer.design(seed), catalogue.vocabulary.quantities)
        for evaluator in evaluators:
            try:
                expected = one_by_one(evaluator, design)
            except (InputError, ExceptionsConflict):
                with pytest.raises(InputError):
                    evaluator.rows(design)
                continue
            found = evaluator.rows(design)
            assert list(map(tidy, found)) == list(map(tidy, expected)), evaluator.ruleset.name
            statuses.update(row[2][0] for row in found)
    assert len(statuses) == 5
