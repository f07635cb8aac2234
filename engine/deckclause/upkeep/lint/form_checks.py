"""Checks of the form a rule is written in: one thing is said in one way."""

from __future__ import annotations

from deckclause.rulesets.clauses import MustBe, Requirement, Test
from deckclause.rulesets.walk import requirements
from deckclause.upkeep.lint.context import LintContext
from deckclause.upkeep.lint.finding import Found, Place


def choice_as_condition(context: LintContext) -> Found:
    """Find `must_be` of one choice with several answers: a `limit` with `one_of` says it too."""
    for read in context.books:
        for clause in read.ruleset.clauses:
            if clause.origin.carried is not None:
                continue  # told where it is written out
            for requirement in requirements(clause):
                quantity = _one_choice(requirement, context)
                if quantity:
                    message = (
                        f"{clause.key}: write `limit: {quantity}` and `one_of: [...]`; then the "
                        "design's own choice is shown beside those that comply"
                    )
                    yield Place(clause.origin.file, clause.origin.line), clause.key, message


def _one_choice(requirement: Requirement, context: LintContext) -> str:
    if not isinstance(requirement, MustBe) or not isinstance(requirement.condition, Test):
        return ""
    test = requirement.condition
    if test.options is None or len(test.options) < 2:
        return ""
    return test.quantity if context.quantities[test.quantity].kind == "choice" else ""
