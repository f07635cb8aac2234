"""The engine against a second, plain implementation of guards, stairs and doors, on random designs.

The oracle was written from published sources without the engine or its rule files.
"""

from __future__ import annotations

from collections import Counter
from fractions import Fraction

import pytest

from deckclause.designs.design import Design, Part
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.findings import evaluate
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.status import STATUS_WORDS
from oracle.general_oracle import EDITIONS, evaluate_general
from oracle.random_parts import random_parts
from support.agreement import difference, only_parts
from support.sizes import cases

DESIGNS = cases(5_000, by_name=20_000)


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return Catalogue.open()


def prepared(catalogue: Catalogue, parts: dict[str, list[dict[str, object]]]) -> PreparedDesign:
    whole: dict[str, object] = {}
    groups: dict[str, tuple[Part, ...]] = {}
    for group, members in parts.items():
        found = []
        for number, facts in enumerate(members):
            exact = {n: v if isinstance(v, str | bool) else Fraction(v) for n, v in facts.items()}
            whole.update({n: v for n, v in exact.items() if n.startswith("deck.")})
            own = {n: v for n, v in exact.items() if not n.startswith("deck.")}
            found.append(Part(f"{group} {number}", own))
        groups[group] = tuple(found)
    return catalogue.prepare(Design("random", "", whole, groups, "random", "random"))


@pytest.mark.parametrize("edition_number", range(len(EDITIONS)))
def test_agreement_on_random_designs(catalogue: Catalogue, edition_number: int) -> None:
    edition = list(EDITIONS)[edition_number]
    evaluator = only_parts(catalogue, edition, ("guards", "stairs", "doors"))
    statuses: Counter[tuple[str, str]] = Counter()
    disagreements: list[str] = []
    for seed in range(edition_number, DESIGNS, len(EDITIONS)):
        parts = random_parts(seed)
        evaluation = evaluate(prepared(catalogue, parts), evaluator, catalogue.vocabulary)
        for topic, wanted in evaluate_general(edition, parts).items():
            outcome = evaluation.outcome(topic)
            statuses[topic, STATUS_WORDS[outcome.status]] += 1
            words = difference(outcome, wanted)
            if words:
                disagreements.append(f"{edition} {topic} seed {seed}: {words}")
    assert not disagreements, f"{len(disagreements)}: " + "\n".join(disagreements[:12])
    for topic in EDITIONS[edition]:
        reached = {status for name, status in statuses if name == topic}
        assert {"complies", "does not comply", "information missing"} <= reached, topic
