"""50 seeded single changes of the shipped rules: each is found by lint or by a test.

Boundary designs (shipped beside the rules) are the test run here. What neither finds is a figure
of a table cell that keeps the table's order: those are held by the tests that compare tables with
published sources (tests/published), and by nothing else; see ONLY_BY_PUBLISHED_FIGURES.
"""

from __future__ import annotations

import pytest

from compare.lint.mutated_rules import Bench
from compare.lint.mutations import Mutation, mutations

COUNT, SEED = 50, 7
ONLY_BY_PUBLISHED_FIGURES = "figure of a cell: "


@pytest.fixture(scope="module")
def bench() -> Bench:
    return Bench()


@pytest.fixture(scope="module")
def found(bench: Bench) -> list[tuple[Mutation, list[str], list[str]]]:
    """Each mutation with what lint finds and, where it finds nothing, what boundary designs do."""
    results = []
    for mutation in mutations(COUNT, SEED):
        by_lint = bench.lint(mutation)
        results.append((mutation, by_lint, [] if by_lint else bench.boundary(mutation)))
    return results


def test_each_change_is_found(found: list[tuple[Mutation, list[str], list[str]]]) -> None:
    missed = [m for m, by_lint, by_designs in found if not by_lint and not by_designs]
    unexplained = [
        f"{m.ruleset} {m.file.name} {m.says}"
        for m in missed
        if not m.says.startswith(ONLY_BY_PUBLISHED_FIGURES)
    ]
    assert len(found) == COUNT
    assert not unexplained


def test_lint_alone_finds_most(found: list[tuple[Mutation, list[str], list[str]]]) -> None:
    assert sum(bool(by_lint) for _, by_lint, _ in found) >= COUNT * 3 // 5


def test_the_shipped_rules_are_found_faultless(bench: Bench) -> None:
    """The bench itself finds nothing where nothing was changed."""
    for path in sorted((bench.base.files.root / "editions" / "irc-2012").glob("[ls]*.yaml")):
        if path.name != "ruleset.yaml":
            same = Mutation("irc-2012", path, path.read_text(), "nothing")
            assert bench.lint(same) == []
            assert bench.boundary(same) == []
