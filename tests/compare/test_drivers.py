"""Drivers: verified by hybrids, smallest first, with exact shares."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable
from fractions import Fraction
from functools import cache
from itertools import combinations
from pathlib import Path

import pytest

from deckclause.compare.comparison import compare
from deckclause.compare.difference import differing_keys
from deckclause.compare.drivers import Driver, find_drivers
from deckclause.compare.hybrid import HybridRunner
from deckclause.compare.outcome import Outcome, outcome_of
from deckclause.compare.rule_diff.pair import RulePair
from deckclause.designs.design import Design, Part
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.findings import Evaluation, evaluate
from deckclause.evaluate.traces import Traces
from deckclause.rulesets.vocabulary import Topic
from oracle.random_designs import random_facts
from support.designs import changed
from support.small_rules import HEAD, small_rules


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return Catalogue.open(cached=False)


RULE_SETS = (
    "irc-2006", "irc-2009", "irc-2012", "irc-2015", "irc-2018", "irc-2021", "irc-2024",
    "awc-dca6-2012", "Tarn Hollow@2024-02-01", "Skerryvane@2024-05-01", "Dunmarrow@2020-01-01",
)  # fmt: skip


def test_the_band_joist_relief_drives_2012_to_2015(catalogue: Catalogue) -> None:
    comparison = compare(
        catalogue,
        changed(catalogue),
        ["irc-2012", "irc-2015"],
        topics=["band_joist_bottom_edge_distance"],
    )
    drivers = comparison.rows[0].changes[0].drivers
    assert [d.keys for d in drivers.drivers] == [("band_joist_bottom_edge_distance",)]
    assert [(s.key, s.amount) for s in drivers.shares] == [
        ("band_joist_bottom_edge_distance", Fraction(-5, 4))
    ]


def of(evaluation: Evaluation, topic: Topic, traces: Traces) -> Outcome:
    outcome = evaluation.outcome(topic.name)
    spoken = outcome.status_words == "not applicable"
    return outcome_of(outcome.findings, topic, traces, spoken=spoken)


@pytest.fixture(scope="module")
def pairs(catalogue: Catalogue) -> Callable[[str, str], RulePair]:
    """Put two rule sets side by side, once for all designs."""

    @cache
    def pair(one: str, two: str) -> RulePair:
        return RulePair(catalogue.evaluator(one), catalogue.evaluator(two))

    return pair


@pytest.mark.parametrize("seed", range(int(os.environ.get("DRIVER_DESIGNS", "60"))))
def test_every_driver_turns_the_outcome_and_none_is_larger_than_needed(
    catalogue: Catalogue, pairs: Callable[[str, str], RulePair], seed: int
) -> None:
    quantities = catalogue.vocabulary.quantities
    facts = {
        k: v
        if isinstance(v, str | bool)
        else Fraction(v) / (144 if quantities[k].kind == "load" else 1)
        for k, v in random_facts(seed).items()
    }
    joists = {k: v for k, v in facts.items() if k.startswith("joists.")}
    others = {k: v for k, v in facts.items() if not k.startswith("joists.")}
    design = catalogue.prepare(Design("r", "", others, {"joists": (Part("", joists),)}, "r", "r"))
    count = len(RULE_SETS)
    one, two = RULE_SETS[seed % count], RULE_SETS[(seed // count + seed + 1) % count]
    forth, back = pairs(one, two), pairs(two, one)
    evaluators = forth.sides
    evaluations = [evaluate(design, e, catalogue.vocabulary) for e in evaluators]
    topics = catalogue.vocabulary.topics
    traces = [Traces(e, catalogue.vocabulary) for e in evaluations]
    for topic, definition in topics.items():
        runner = HybridRunner(*forth.sides, design, catalogue.vocabulary, topic, forth)
        swapped = HybridRunner(*back.sides, design, catalogue.vocabulary, topic, back)
        # with nothing exchanged the hybrid is the first rule set, with all exchanged the second
        first, second = (of(e, definition, t) for e, t in zip(evaluations, traces, strict=True))
        assert runner.outcome() == swapped.outcome(frozenset(swapped.keys)) == first, topic
        assert swapped.outcome() == runner.outcome(frozenset(runner.keys)) == second, topic
        found, other = find_drivers(runner), find_drivers(swapped)
        assert found.drivers == tuple(Driver(d.keys, d.backward, d.forward) for d in other.drivers)
        if first == second:
            assert found.drivers == ()
            continue
        assert found.drivers, (topic, one, two)

        def works(keys: Iterable[str], forth: HybridRunner, back: HybridRunner) -> bool:
            exchange = frozenset(keys)
            return forth.outcome(exchange) == second and back.outcome(exchange) == first  # noqa: B023

        for driver in found.drivers:
            assert works(driver.keys, runner, swapped)
            for size in range(len(driver.keys)):
                for smaller in combinations(driver.keys, size):
                    assert not works(smaller, runner, swapped)
        if found.shares:
            moved = sum((s.amount for s in found.shares), Fraction(0))
            figures = [found.first.figure, found.second.figure]
            if None not in figures:
                assert moved == figures[1] - figures[0]  # type: ignore[operator]


def test_shares_of_two_clauses_that_multiply(tmp_path: Path) -> None:
    """A product of two provided figures: 2 x 3 becomes 4 x 5; Shapley shares by hand, 8 and 6."""
    body = """
  - {{key: a, topic: t, cites: '1', says: A., provides: loads.deck_live_load, value: {a} psf, standing: memory, sources: [memory]}}
  - {{key: b, topic: t, cites: '2', says: B., provides: loads.deck_dead_load, value: {b} psf, standing: memory, sources: [memory]}}
  - {{key: c, topic: t, cites: '3', says: C., limit: site.ground_snow_load, at_most: {{sum: [{{reads: loads.deck_live_load}}, {{reads: loads.deck_dead_load}}]}}, standing: memory, sources: [memory]}}
"""
    catalogue = small_rules(tmp_path, body.format(a=2, b=3))
    other = HEAD.replace("ruleset: small", "ruleset: other") + "clauses:" + body.format(a=4, b=8)
    (tmp_path / "editions" / "other.yaml").write_text(other)
    catalogue = Catalogue.open(tmp_path, cached=False)
    design = catalogue.prepare(
        Design("d", "", {"site.ground_snow_load": Fraction(1, 144)}, {}, "d", "d")
    )
    runner = HybridRunner(
        catalogue.evaluator("small"),
        catalogue.evaluator("other"),
        design,
        catalogue.vocabulary,
        "t",
    )
    found = find_drivers(runner)
    assert [d.keys for d in found.drivers] == [("a", "b")]
    assert {s.key: s.amount * 144 for s in found.shares} == {"a": 2, "b": 5}


def test_moved_numbers_and_new_words_are_no_difference(catalogue: Catalogue) -> None:
    keys = differing_keys(catalogue.ruleset("irc-2021"), catalogue.ruleset("irc-2024"))
    assert "ledger_top_edge_distance" not in keys
    assert "fastener_corrosion" not in keys  # only its number moved
