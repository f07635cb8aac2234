"""The plain working-out of one clause against the compiled rule sets, on random designs."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from typing import Any

import pytest

from deckclause.designs.design import Design, Part
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.plain import OutsideTables, figure, truth
from deckclause.evaluate.runtime import Special
from deckclause.evaluate.status import COMPLIES, ENGINEERING_REQUIRED, NOT_APPLICABLE
from deckclause.reading.branch import OWN
from deckclause.rulesets.clauses import Axis, Fixed, Limit, Lookup, Provides, Table
from oracle.random_designs import random_facts

EDITIONS = ("irc-2009", "irc-2012", "irc-2021")
SEEDS = 250


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return Catalogue.open(cached=False)


@pytest.mark.parametrize("name", EDITIONS)
def test_conditions_and_figures_agree_with_the_compiled_rule_set(
    catalogue: Catalogue, name: str
) -> None:
    """Where a clause does not apply, and what its limits and provided values are."""
    evaluator = catalogue.evaluator(name)
    quantities = catalogue.vocabulary.quantities
    applied = figures = 0
    for seed in range(SEEDS):
        design = design_of(catalogue, random_facts(seed))
        provided: dict[str, Any] = {}
        for index, part, result in evaluator.rows(design):
            clause = evaluator.ruleset.clauses[index]
            group = next((g for g, order in evaluator.plan.groups if index in order), "")
            facts = {**design.facts(group, part), **provided}
            status, value, least, most, branch, _ = result
            try:
                applies = truth(clause.applies, facts, [])
            except OutsideTables:
                assert status == ENGINEERING_REQUIRED
                continue
            if applies is False:
                assert status == NOT_APPLICABLE, clause.key
                continue
            applied += 1
            requirement = clause.requirement
            if isinstance(requirement, Provides) and branch == OWN and status == COMPLIES:
                kind = quantities[requirement.quantity].kind
                number = isinstance(value, int | Fraction) and not isinstance(value, bool)
                exact = evaluator.scale.back(value, kind) if number else value
                provided[requirement.quantity] = exact
                assert figure(requirement.value, facts, []) == exact
                figures += 1
            elif isinstance(requirement, Limit) and branch == OWN:
                subject = requirement.subject
                kind = quantities[subject].kind if isinstance(subject, str) else "length"
                for bound, ticks in ((requirement.least, least), (requirement.most, most)):
                    if bound is not None and ticks is not None:
                        figures += 1
                        assert figure(bound, facts, []) == evaluator.scale.back(ticks, kind)
            assert not branch.is_set_by_place
    assert applied > 5_000
    assert figures > 1_000


def design_of(catalogue: Catalogue, given: dict[str, Any]) -> Any:
    quantities = catalogue.vocabulary.quantities
    facts = {
        k: v
        if isinstance(v, str | bool)
        else Fraction(v) / (144 if quantities[k].kind == "load" else 1)
        for k, v in given.items()
    }
    joists = {k: v for k, v in facts.items() if k.startswith("joists.")}
    others = {k: v for k, v in facts.items() if not k.startswith("joists.")}
    return catalogue.prepare(Design("r", "", others, {"joists": (Part("", joists),)}, "r", "r"))


def test_interpolation_is_exact_between_printed_keys() -> None:
    keys = (Fraction(0), Fraction(10), Fraction(30))
    cells = (Fraction(4), Fraction(5), Fraction(6))
    table = Table("t", "t", (Axis("a.b", keys, "interpolate"),), cells)
    for low, high in pairwise(range(3)):
        middle = (keys[low] + keys[high]) / 2
        found = figure(Lookup(table), {"a.b": middle}, [])
        assert found == (cells[low] + cells[high]) / 2
    assert isinstance(figure(Lookup(table), {"a.b": Fraction(31)}, []), Special)


def test_a_table_key_of_nothing_is_a_key() -> None:
    table = Table("t", "t", (Axis("a.b", (Fraction(0),)),), (Fraction(4),))
    fixed = Lookup(table, (("a.b", Fraction(0)),))
    assert figure(fixed, {}, []) == Fraction(4)
    assert figure(Fixed(Fraction(0)), {}, []) == 0
