"""Reader, printed functions and columns agree on clauses nobody wrote, and facts with gaps.

A million by name: `pytest tests/benchmarks/test_million_clauses.py -n 0` (hours; `RULE_SETS=500` for
fewer). There a disagreement is shrunk to the smallest rule set and design that shows it.
"""

from __future__ import annotations

from collections import Counter

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from deckclause.designs.design import Design
from deckclause.evaluate.catalogue import Catalogue
from deckclause.rulesets.ruleset import RuleSet
from deckclause.rulesets.vocabulary import Vocabulary
from reading.held_together import hold
from reading.random_clauses import designs, rulesets

RULE_SETS = 60
DESIGNS = 6


@pytest.fixture(scope="module")
def vocabulary() -> Vocabulary:
    return Catalogue.open().vocabulary


def agreement(vocabulary: Vocabulary, rule_sets: int, *, phases: tuple[Phase, ...]) -> Counter[str]:
    """Hold the three together on so many random rule sets; return how often each status was seen."""
    seen: Counter[str] = Counter()

    @settings(
        max_examples=rule_sets,
        phases=phases,
        suppress_health_check=list(HealthCheck),
        deadline=None,
        database=None,
    )
    @given(rulesets(), st.lists(designs(), min_size=DESIGNS, max_size=DESIGNS))
    def agree(ruleset: RuleSet, drawn: list[Design]) -> None:
        seen.update(hold(ruleset, drawn, vocabulary))

    agree()
    return seen


def test_reader_functions_and_columns_agree(vocabulary: Vocabulary) -> None:
    seen = agreement(vocabulary, RULE_SETS, phases=(Phase.generate,))
    statuses = ("complies", "not applicable", "information missing", "engineering required")
    for status in (*statuses, "does not comply", "conflict"):
        assert seen[status] > 10, seen
