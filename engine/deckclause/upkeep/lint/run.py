"""Every check of the rule files, and running them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from weakref import WeakKeyDictionary

from deckclause.upkeep.lint import (
    amendment_checks,
    amendment_effects,
    calculation_checks,
    carried_checks,
    file_checks,
    form_checks,
    kin_checks,
    kind_checks,
    local_checks,
    meaning_checks,
    provided_checks,
    support_checks,
    tables,
)
from deckclause.upkeep.lint.clause_checks import ClauseChecks
from deckclause.upkeep.lint.context import LintContext
from deckclause.upkeep.lint.finding import ERROR, NOTE, WARNING, Check, Found, LintFinding
from deckclause.upkeep.lint.survey import Surveyor

_SHARED: WeakKeyDictionary[LintContext, ClauseChecks] = WeakKeyDictionary()
"""One survey of the clauses for each context, shared by the checks that need it."""


def _clause(method: Callable[[ClauseChecks], Found]) -> Callable[[LintContext], Found]:
    def find(context: LintContext) -> Found:
        if context not in _SHARED:
            _SHARED[context] = ClauseChecks(context, Surveyor(context))
        return method(_SHARED[context])

    return find


CHECKS: tuple[Check, ...] = (
    Check("unreadable", ERROR, "a file, rule set or place cannot be read", file_checks.unreadable),
    Check("against-schema", ERROR, "a file does not hold to its published schema", file_checks.against_schema),
    Check("editor-hint-missing", ERROR, "a file does not point editors at its schema", file_checks.hint_missing),
    Check("schema-not-current", ERROR, "a published schema is out of date", file_checks.schema_stale),
    Check("dangling-source", ERROR, "a source that is not listed", file_checks.dangling_source),
    Check("missing-standing", ERROR, "a clause or table does not say how well it is known", file_checks.missing_standing),
    Check("standing-unfounded", ERROR, "a figure is called confirmed without a published source", file_checks.standing_unfounded),
    Check("kind-mismatch", ERROR, "a value is of another kind than what it stands for", lambda c: kind_checks.KindChecks(c).mismatches()),
    Check("mixed-table", ERROR, "a table's cells are of several kinds", kind_checks.mixed_table),
    Check("clause-never-applies", ERROR, "no design can meet the clause's conditions", _clause(ClauseChecks.never_applies)),
    Check("never-in-scope", ERROR, "wherever the clause applies it is outside its scope", _clause(ClauseChecks.never_in_scope)),
    Check("exception-never-holds", ERROR, "an exception that can never fire", _clause(ClauseChecks.exception_never)),
    Check("exceptions-hold-together", ERROR, "two exceptions that can fire at once", _clause(ClauseChecks.exceptions_together)),
    Check("no-value-complies", ERROR, "a limit or range no value can meet", _clause(ClauseChecks.contradiction)),
    Check("value-given-twice", ERROR, "two clauses give one quantity different values", provided_checks.given_twice),
    Check("does-not-compile", ERROR, "a clause reads well and still cannot be run", meaning_checks.does_not_compile),
    Check("value-given-by-none", ERROR, "a clause reads a value that nothing gives", provided_checks.given_by_none),
    Check("stale-amendment", ERROR, "an amendment was written for words that have moved", amendment_checks.stale_amendment),
    Check("stale-carried", ERROR, "a line carries words that have moved since", carried_checks.stale_line),
    Check("assumption-changed", ERROR, "figures made for a value that is another here", _clause(lambda checks: provided_checks.assumption_changed(checks.context, checks.surveyor))),
    Check("scope-wider-than-assumed", ERROR, "a scope lets in more than the figures were made for", provided_checks.scope_wider),
    Check("local-limit", ERROR, "a place goes further than a larger one lets it", local_checks.beyond),
    Check("key-on-two-topics", ERROR, "one key stands for two topics", kin_checks.key_elsewhere),
    Check("range-not-settled", WARNING, "a clause of sections replaced at once that nothing deals with", amendment_checks.not_dealt_with),
    Check("another-place", WARNING, "an amendment is in force at a place it is not of", amendment_checks.of_another_place),
    Check("requirement-never-holds", WARNING, "an exception always takes the requirement's place", _clause(ClauseChecks.base_never)),
    Check("value-left-open", WARNING, "a value is open until an exception or a reading is settled", meaning_checks.value_left_open),
    Check("case-never-reached", WARNING, "a case or choice of a figure that is never reached", _clause(ClauseChecks.case_never)),
    Check("figure-gap", WARNING, "no figure inside the scope", _clause(ClauseChecks.figure_gap)),
    Check("unreachable-cell", WARNING, "a cell no clause can read", _clause(ClauseChecks.unreachable_cell)),
    Check("unread-table", WARNING, "a table no clause reads", tables.unread_table),
    Check("table-out-of-order", WARNING, "a cell breaks the table's order", tables.out_of_order),
    Check("figure-against-calculation", WARNING, "figures from memory differ from their calculation", calculation_checks.against_calculation),
    Check("carried-past", WARNING, "a line carries from an edition that is not the one before", carried_checks.carried_past),
    Check("topic-lost", WARNING, "an edition is silent where the one before spoke", kin_checks.topic_lost),
    Check("figure-far-from-kin", WARNING, "a figure far from every other rule set's", kin_checks.figure_far_from_kin),
    Check("bound-turned", WARNING, "a limit that bounds from the other side than elsewhere", kin_checks.bound_turned),
    Check("exception-left-standing", WARNING, "an amended limit whose exception still permits less", amendment_effects.left_standing),
    Check("guard-struck", WARNING, "an amendment takes away what guarded another matter", amendment_effects.guard_struck),
    Check("change-without-effect", WARNING, "an amendment's change changes nothing", amendment_effects.without_effect),
    Check("rules-fall-away", WARNING, "a local rule ends with an edition, and nobody decided so", amendment_checks.rules_fallen),
    Check("local-approval", WARNING, "a departure that needs leave, or that a larger place's rule overrides", local_checks.leave),
    Check("cases-hold-together", NOTE, "two cases with different figures hold at once", _clause(ClauseChecks.cases_together)),
    Check("cells-not-seen", NOTE, "cells whose figures nobody has seen", tables.not_seen),
    Check("from-memory", NOTE, "clauses from memory, unverified", file_checks.from_memory),
    Check("carried-unread", NOTE, "carried clauses nobody has read to be the same", carried_checks.carried_unread),
    Check("choice-as-condition", NOTE, "a choice that must be one of some, said as a condition", form_checks.choice_as_condition),
    Check("exception-standing-unstated", NOTE, "an exception of a well-founded clause that states no standing", file_checks.exception_standing),
    Check("clause-without-support", NOTE, "a clause that lacks a design, an example, a recipe or a test", support_checks.without_support),
    Check("unused-source", NOTE, "a source no figure names", file_checks.unused_source),
    Check("unused-topic", NOTE, "a topic no rule set speaks on", kin_checks.topic_unused),
    Check("unused-quantity", NOTE, "a provided or derived quantity no clause reads", kin_checks.quantity_unused),
    Check("never-adopted", NOTE, "an amendment in force nowhere", amendment_checks.never_adopted),
    Check("amendments-not-inherited", NOTE, "a larger place's amendments that a place within it does not take on", amendment_checks.not_inherited),
    Check("adoption-gap", NOTE, "a stretch in which nothing is in force", amendment_checks.adoption_gap),
    Check("not-explored", NOTE, "a clause too large to be explored", _clause(ClauseChecks.not_explored)),
)  # fmt: skip
"""Every check, the gravest first. Each has a page in docs/lint."""


def run_checks(context: LintContext, checks: Sequence[Check] = CHECKS) -> list[LintFinding]:
    """Run checks; return each finding once, the gravest first, then by place."""
    found: dict[LintFinding, None] = {}
    for check in checks:
        for place, subject, message in check.find(context):
            found[LintFinding(check.name, check.level, place, message, subject)] = None
    return sorted(_without_echoes(list(found)), key=lambda f: f.order)


def _without_echoes(found: list[LintFinding]) -> list[LintFinding]:
    """Drop what `unreadable` says of a line that a more telling check names too."""
    told = {
        (f.place, f.check)
        for f in found
        if f.check in ("dangling-source", "stale-amendment", "missing-standing")
    }
    places = {place for place, _ in told}
    return [f for f in found if f.check != "unreadable" or f.place not in places]
