"""500 seeded single changes of the shipped rules, by name: `pytest tests/benchmarks/test_many_mutations.py -n 2`.

Ten seeds of fifty. Each change is found by lint or by a shipped boundary design, or shown to change
no outcome anywhere in the input space.
"""

from __future__ import annotations

import pytest

from upkeep.lint.mutated_rules import Bench, judged
from upkeep.lint.mutations import mutations

COUNT = 50
SEEDS = range(1, 11)


@pytest.fixture(scope="module")
def bench() -> Bench:
    return Bench()


@pytest.mark.parametrize("seed", SEEDS)
def test_each_change_is_found_or_shown_to_change_nothing(bench: Bench, seed: int) -> None:
    found = [judged(bench, mutation) for mutation in mutations(COUNT, seed)]
    assert len(found) == COUNT
    assert [j.words for j in found if j.survives] == []
    assert sum(j.changes_nothing for j in found) <= COUNT // 10
    assert sum(bool(j.by_designs) for j in found) >= COUNT // 5
