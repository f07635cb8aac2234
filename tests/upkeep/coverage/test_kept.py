"""Boundary designs are built again where what they follow from changed, and nowhere else."""

from __future__ import annotations

from fractions import Fraction

import pytest
from msgspec.structs import replace

from deckclause.evaluate.cache import Cache
from deckclause.evaluate.catalogue import Catalogue
from deckclause.rulesets.clauses import Clause, Fixed, Limit, Provides
from deckclause.rulesets.ruleset import RuleSet
from deckclause.upkeep.coverage import boundary
from deckclause.upkeep.coverage.boundary import BoundaryBuilder
from deckclause.upkeep.coverage.kept import KeptBuilds, inputs_digest
from deckclause.upkeep.lint.context import LintContext, ReadSet


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return Catalogue.open()


@pytest.fixture(scope="module")
def context(catalogue: Catalogue) -> LintContext:
    return LintContext(catalogue.library, ("irc-2006",))


def changed(read: ReadSet, key: str, clause: Clause) -> ReadSet:
    clauses = tuple(clause if c.key == key else c for c in read.ruleset.clauses)
    return ReadSet(replace(read.ruleset, clauses=clauses), read.plan, read.lowered)


def digests(read: ReadSet, context: LintContext) -> dict[str, str]:
    return {c.key: inputs_digest(read, c, context.quantities) for c in read.ruleset.clauses}


def of_key(ruleset: RuleSet, key: str) -> Clause:
    clause = ruleset.clause(key)
    assert clause is not None
    return clause


def test_words_and_standing_make_nothing_stale(context: LintContext) -> None:
    (read,) = context.sets
    clause = of_key(read.ruleset, "guard_height")
    other = replace(clause, says="In other words.", cites="R1", standing="derived", note="A note.")
    assert digests(changed(read, clause.key, other), context) == digests(read, context)


def test_a_figure_makes_its_topic_stale_and_nothing_else(context: LintContext) -> None:
    (read,) = context.sets
    clause = of_key(read.ruleset, "guard_height")
    assert isinstance(clause.requirement, Limit)
    higher = replace(clause.requirement, least=Fixed(Fraction(42)))
    before = digests(read, context)
    after = digests(changed(read, clause.key, replace(clause, requirement=higher)), context)
    stale = {key for key in before if before[key] != after[key]}
    assert "guard_height" in stale
    assert {of_key(read.ruleset, key).topic for key in stale} == {"guard_height"}


def test_what_provides_to_a_clause_makes_it_stale(context: LintContext) -> None:
    (read,) = context.sets
    clause = of_key(read.ruleset, "guard_required.trigger")
    assert isinstance(clause.requirement, Provides)
    lower = replace(clause, requirement=replace(clause.requirement, value=Fixed(Fraction(24))))
    before = digests(read, context)
    after = digests(changed(read, clause.key, lower), context)
    assert before["guard_required"] != after["guard_required"]
    assert before["deck_live_load"] == after["deck_live_load"]


def test_what_was_kept_is_given_back_and_not_built_again(
    catalogue: Catalogue, context: LintContext, tmp_path, monkeypatch: pytest.MonkeyPatch
) -> None:  # type: ignore[no-untyped-def]
    (read,) = context.sets
    few = ReadSet(replace(read.ruleset, clauses=read.ruleset.clauses[:6]), read.plan, read.lowered)
    few = ReadSet(few.ruleset, replace(read.plan, provides=read.plan.provides[:6]), read.lowered)
    folder = tmp_path / "kept"
    folder.mkdir(mode=0o700)
    evaluator = catalogue.evaluator("irc-2006")
    first = BoundaryBuilder(context, KeptBuilds(Cache(folder))).cases(few, evaluator)
    monkeypatch.setattr(boundary, "_ClauseBuilder", None)
    again = BoundaryBuilder(context, KeptBuilds(Cache(folder))).cases(few, evaluator)
    assert first
    assert again == first
