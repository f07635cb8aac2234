"""Reader, printed functions and columns agree on clauses nobody wrote, and facts with gaps."""

from __future__ import annotations

from collections import Counter

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from deckclause.designs.design import Design
from deckclause.evaluate.catalogue import Catalogue
from deckclause.rulesets.ruleset import RuleSet
from deckclause.rulesets.vocabulary import Vocabulary
from reading.held_together import hold
from reading.random_clauses import designs, rulesets

RULE_SETS = 120
DESIGNS = 6


@pytest.fixture(scope="module")
def vocabulary() -> Vocabulary:
    return Catalogue.open().vocabulary


def test_reader_functions_and_columns_agree(vocabulary: Vocabulary) -> None:
    seen: Counter[str] = Counter()

    @settings(
        max_examples=RULE_SETS,
        suppress_health_check=list(HealthCheck),
        deadline=None,
        database=None,
    )
    @given(rulesets(), st.lists(designs(), min_size=DESIGNS, max_size=DESIGNS))
    def agree(ruleset: RuleSet, drawn: list[Design]) -> None:
        seen.update(hold(ruleset, drawn, vocabulary))

    agree()
    statuses = ("complies", "not applicable", "information missing", "engineering required")
    for status in (*statuses, "does not comply", "conflict"):
        assert seen[status] > 10, seen
