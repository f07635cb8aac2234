"""50 seeded single changes of the shipped rules: each is found by lint or by a boundary design.

Boundary designs are shipped beside the rules. A change that neither finds must be shown, region by
region over the whole input space, to change no outcome; there may be few of those. Many seeds more
are run by name: tests/benchmarks/test_many_mutations.py.
"""

from __future__ import annotations

import pytest

from deckclause.rulesets.files import default_root
from upkeep.lint.mutated_rules import Bench, Judged, judged
from upkeep.lint.mutations import Mutation, mutations

COUNT, SEED = 50, 2024


@pytest.fixture(scope="module")
def bench() -> Bench:
    return Bench()


@pytest.fixture(scope="module")
def found(bench: Bench) -> list[Judged]:
    return [judged(bench, mutation) for mutation in mutations(COUNT, SEED)]


def test_each_change_is_found_or_shown_to_change_nothing(found: list[Judged]) -> None:
    assert len(found) == COUNT
    assert [j.words for j in found if j.survives] == []
    assert sum(j.changes_nothing for j in found) <= COUNT // 10


def test_lint_and_designs_each_find_many(found: list[Judged]) -> None:
    assert sum(bool(j.by_lint) for j in found) >= COUNT // 2
    assert sum(bool(j.by_designs) for j in found) >= COUNT // 5


def test_what_a_design_finds_is_never_said_to_change_nothing(
    bench: Bench, found: list[Judged]
) -> None:
    by_designs = [j.mutation for j in found if j.by_designs]
    assert not any(bench.changes_nothing(mutation) for mutation in by_designs[:8])


CHANGES = [
    ("guides/awc-dca6-2012/posts-and-footings.yaml", "loads.deck_live_load: {at_most: 40 psf}, ", ""),
    ("editions/irc-2021/posts.yaml", "{loads.framing_table_snow: {more_than: 40 psf}}", "{loads.framing_table_snow: {more_than: 41 psf}}"),
    ("editions/irc-2021/posts.yaml", "4x4: [14 ft, 13 ft 8 in,", "4x4: [14 ft, 13 ft 7 in,"),
    ("editions/irc-2021/posts.yaml", "140 sq ft, 160 sq ft]", "141 sq ft, 160 sq ft]"),
    ("editions/irc-2006/guards.yaml", "{guards.opening: {less_than: 4 in}}", "{guards.opening: {less_than: 3 in}}"),
    ("editions/irc-2009/ledger.yaml", "4 ft", "4 ft 1 in"),
]  # fmt: skip


@pytest.mark.parametrize(("file", "old", "new"), CHANGES, ids=[f"{f} {n}" for f, _, n in CHANGES])
def test_a_change_that_keeps_every_order_is_found_by_a_design(
    bench: Bench, file: str, old: str, new: str
) -> None:
    """Conditions on what other clauses give, figures of cells, keys of tables, other readings."""
    path = default_root() / file
    text = path.read_text()
    assert old in text
    if file.startswith("editions/irc-2009"):
        start = text.index("columns: [")
        text = text[:start] + text[start:].replace(old, new, 1)
    else:
        text = text.replace(old, new)
    mutation = Mutation(path.parent.name, path, text, new)
    assert bench.boundary(mutation)
    assert not bench.changes_nothing(mutation)


def test_a_change_of_nothing_that_matters_is_shown_to_be_one(bench: Bench) -> None:
    """The ledger table ends at 18 ft of joist span: a scope to 20 ft asks for engineering all the same."""
    path = default_root() / "editions/irc-2021/ledger.yaml"
    text = path.read_text()
    at = text.index("key: ledger_fastener_spacing")
    changed = text[:at] + text[at:].replace("at_most: 18 ft", "at_most: 20 ft", 1)
    assert changed != text
    mutation = Mutation("irc-2021", path, changed, "scope to 20 ft")
    assert bench.boundary(mutation) == []
    assert bench.changes_nothing(mutation)


def test_the_shipped_rules_are_found_faultless(bench: Bench) -> None:
    """The bench itself finds nothing where nothing was changed."""
    for path in sorted((bench.base.files.root / "editions" / "irc-2012").glob("[ls]*.yaml")):
        if path.name != "ruleset.yaml":
            same = Mutation("irc-2012", path, path.read_text(), "nothing")
            assert bench.lint(same) == []
            assert bench.boundary(same) == []
