"""Two decks side by side: what differs, what it does, and which fact does it."""

from __future__ import annotations

import json
from fractions import Fraction
from itertools import combinations
from pathlib import Path
from typing import Any

import pytest

from deckclause.choosing.members import with_choice
from deckclause.cli.main import run
from deckclause.compare.designs import compare_designs, facts_apart, mixed
from deckclause.compare.outcome import outcome_of
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.findings import evaluate
from deckclause.evaluate.status import NOT_APPLICABLE
from deckclause.evaluate.traces import Traces
from support.designs import EXAMPLES

WHOLE = EXAMPLES / "whole-deck-12x16.yaml"
CHANGES = {
    "joists.size": "2x6",
    "posts.size": "4x4",
    "fasteners.spacing": Fraction(20),
    "footings.diameter": Fraction(12),
}


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return Catalogue.open(cached=False)


def test_every_difference_is_named_once_and_nothing_else(catalogue: Catalogue) -> None:
    one = catalogue.design(WHOLE).design
    two = with_choice(one, CHANGES)
    assert {a.key for a in facts_apart(one, two)} == set(CHANGES)
    assert facts_apart(one, one) == ()
    assert mixed(one, two, frozenset(CHANGES)).facts == two.facts
    assert mixed(one, two, frozenset(CHANGES)).parts == two.parts
    assert mixed(one, two, frozenset()).parts == one.parts


def test_each_change_of_outcome_rests_on_the_facts_named(catalogue: Catalogue) -> None:
    """Drivers by trying every subset of the differing facts, evaluated whole."""
    one = catalogue.design(WHOLE).design
    two = with_choice(one, CHANGES)
    names = ["irc-2018", "Tarn Hollow@2025-03-01"]
    found = compare_designs(catalogue, one, two, names)
    keys = tuple(CHANGES)
    subsets = [frozenset(c) for n in range(len(keys) + 1) for c in combinations(keys, n)]
    checked = 0
    for name in names:
        evaluator = catalogue.evaluator(name)
        whole = {
            s: evaluate(catalogue.prepare(mixed(one, two, s)), evaluator, catalogue.vocabulary)
            for s in subsets
        }
        traces = {s: Traces(e, catalogue.vocabulary) for s, e in whole.items()}
        changed = {o.topic.name: o for o in found.outcomes if o.rule_set == name}
        for topic, definition in catalogue.vocabulary.topics.items():

            def of(
                some: frozenset[str], topic: str = topic, definition: Any = definition
            ) -> object:
                outcome = whole[some].outcome(topic)  # noqa: B023
                spoken = outcome.status == NOT_APPLICABLE
                return outcome_of(outcome.findings, definition, traces[some], spoken=spoken)  # noqa: B023

            first, second = of(frozenset()), of(frozenset(keys))
            assert (first != second) == (topic in changed), topic
            if first == second:
                continue
            works = [s for s in subsets if of(s) == second and of(frozenset(keys) - s) == first]
            least = {s for s in works if not any(o < s for o in works)}
            drivers = changed[topic].drivers
            assert drivers is not None
            assert {frozenset(d.keys) for d in drivers.drivers} == least
            checked += 1
    assert checked >= 6


def test_the_command_tells_it(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    other = tmp_path / "other.yaml"
    other.write_text(
        WHOLE.read_text().replace("spacing: 16 in\n  finish", "spacing: 20 in\n  finish")
    )
    assert run(["compare", str(WHOLE), str(other), "--under", "irc-2018"]) == 1
    told = " ".join(capsys.readouterr().out.split())
    assert "16 in 20 in" in told
    assert "does not comply (at most 18 in), as drawn 20 in" in told
    assert run(["compare", str(WHOLE), str(other), "--under", "irc-2018", "--format", "json"]) == 1
    data = json.loads(capsys.readouterr().out)
    assert [o["topic"] for o in data["outcomes"]] == ["ledger_fastener_spacing"]
    assert data["apart"][0]["key"] == "fasteners.spacing"
