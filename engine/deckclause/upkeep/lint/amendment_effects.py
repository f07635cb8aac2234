"""Checks of what an amendment does to the clauses it stands on: exceptions left, guards lost, nothing."""

from __future__ import annotations

from collections.abc import Iterator

from deckclause.evaluate.words import ClauseWords
from deckclause.rulesets.clauses import Clause, Origin
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.ruleset import RuleSet
from deckclause.upkeep.amending.effect import unchanged_clauses, unchanged_values
from deckclause.upkeep.amending.exceptions import exception_words, guards_lost
from deckclause.upkeep.amending.exceptions import left_standing as exceptions_left
from deckclause.upkeep.lint.context import LintContext
from deckclause.upkeep.lint.finding import Found, Place


def left_standing(context: LintContext) -> Found:
    """Find limits an amendment changed whose old exceptions still permit less."""
    if context.vocabulary is None:
        return  # its own fault is reported as unreadable
    words = ClauseWords(context.vocabulary)
    for base, amended in _pairs(context):
        for before, after in _changed(base, amended):
            if before.requirement == after.requirement:
                continue
            now = words.requirement(after.requirement)
            for exception in exceptions_left(before, after):
                message = (
                    f"{after.key}: asks {now} now; this exception of {base.name} stays and "
                    f"permits less: {exception_words(exception, words)}"
                )
                yield _place(after.origin), after.key, message


def guard_struck(context: LintContext) -> Found:
    """Find exceptions an amendment took away that asked something else, such as engineering."""
    if context.vocabulary is None:
        return  # its own fault is reported as unreadable
    words = ClauseWords(context.vocabulary)
    for base, amended in _pairs(context):
        struck = {s.key: s.origin for s in amended.struck}
        here = {c.key: c for c in amended.clauses}
        for before in base.clauses:
            after = here.get(before.key)
            if after is before or (after is None and before.key not in struck):
                continue
            origin = after.origin if after is not None else struck[before.key]
            for exception in guards_lost(before, after):
                message = f"{before.key}: lost here: {exception_words(exception, words)}"
                yield _place(origin), before.key, message


def without_effect(context: LintContext) -> Found:
    """Find changes of an amendment that leave what the edition asks as it was."""
    if context.vocabulary is None:
        return  # its own fault is reported as unreadable
    for base, amended in _pairs(context):
        origins = {c.key: c.origin for c in amended.clauses}
        for key, why in unchanged_clauses(base, amended):
            yield _place(origins[key]), key, f"{key}: the change changes nothing: {why}"
        fixed = {s.quantity: s.origin for s in amended.settings}
        for name, why in unchanged_values(base, amended, context.vocabulary):
            yield _place(fixed[name]), name, f"{name}: fixing it changes nothing: {why}"


def _pairs(context: LintContext) -> Iterator[tuple[RuleSet, RuleSet]]:
    """Yield each amended rule set with the edition beneath it."""
    if context.vocabulary is None:
        return
    for read in context.sets:
        if read.is_place:
            try:
                yield context.library.ruleset(read.ruleset.edition), read.ruleset
            except InputError:
                continue  # reported as unreadable


def _changed(base: RuleSet, amended: RuleSet) -> Iterator[tuple[Clause, Clause]]:
    before = {c.key: c for c in base.clauses}
    for clause in amended.clauses:
        old = before.get(clause.key)
        if old is not None and old is not clause:
            yield old, clause


def _place(origin: Origin) -> Place:
    return Place(origin.file, origin.line)
