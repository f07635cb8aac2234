"""What a new clause silently lacks is told in one line."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from deckclause.rulesets import clauses
from deckclause.rulesets.library import RuleLibrary
from deckclause.upkeep.lint.context import LintContext, ReadSet
from deckclause.upkeep.lint.support_checks import without_support


@pytest.fixture(scope="module")
def context() -> LintContext:
    return LintContext(RuleLibrary.open(), ("irc-2009",))


def told(context: LintContext) -> dict[str, str]:
    return {key: message for _, key, message in without_support(context)}


def test_a_clause_with_all_of_it_is_not_told(context: LintContext) -> None:
    assert "ledger_fastener_spacing" not in told(context)


def test_a_new_clause_is_told_all_it_lacks_in_one_line(context: LintContext) -> None:
    (read,) = context.sets
    model = read.ruleset.clause("ledger_flashing")
    assert model is not None
    asked = clauses.MustBe(clauses.Test("stairs.never_heard_of", options=(True,)))
    new = replace(model, key="never_heard_of", topic="never_heard_of", requirement=asked)
    wider = LintContext(context.library, ("irc-2009",))
    every = (*read.ruleset.clauses, new)
    wider.sets = [ReadSet(replace(read.ruleset, clauses=every), read.plan, read.lowered)]
    flashed = context.quantities["ledger.flashed"]
    wider.quantities["stairs.never_heard_of"] = replace(flashed, name="stairs.never_heard_of")
    try:
        message = told(wider)["never_heard_of"]
    finally:
        del wider.quantities["stairs.never_heard_of"]
    assert message == (
        "never_heard_of has no boundary design; no example that states stairs.never_heard_of; no "
        "recipe of stairs.never_heard_of in the invented permits; no second reading in tests/oracle; "
        "no check against print in tests/published"
    )


def test_what_follows_from_the_plan_is_not_asked_of_an_example(context: LintContext) -> None:
    assert "joists.span" not in " ".join(told(context).values())
