"""Checks of what clauses come to once lowered: that they compile, and what they leave open."""

from __future__ import annotations

from contextlib import suppress

from deckclause.evaluate.compile import compile_ruleset
from deckclause.reading.fold import asks, branches, every, gives
from deckclause.reading.forms import Fact, Gives, Rule
from deckclause.rulesets.problems import InputError, Problem
from deckclause.rulesets.ruleset import RuleSet
from deckclause.upkeep.lint.clause_checks import place_of
from deckclause.upkeep.lint.context import LintContext
from deckclause.upkeep.lint.finding import Found, Place


def does_not_compile(context: LintContext) -> Found:
    """Find rule sets that pass every other reading and still cannot be run.

    Rule sets of the very same clauses are compiled once: a place that only sets values differs from
    its edition in nothing that could keep it from being run.
    """
    done: dict[tuple[int, ...], tuple[Problem, ...]] = {}
    for read in context.sets:
        clauses = tuple(map(id, read.ruleset.clauses))
        if clauses not in done:
            done[clauses] = _faults(context, read.ruleset)
        for problem in done[clauses]:
            yield Place(problem.file, problem.line), read.ruleset.name, problem.message


def _faults(context: LintContext, ruleset: RuleSet) -> tuple[Problem, ...]:
    if context.compiled is not None:
        with suppress(InputError):  # then it is compiled here, to say what is wrong
            context.compiled(ruleset.name)
            return ()
    try:
        compile_ruleset(ruleset, context.quantities)
    except InputError as fault:
        return fault.problems
    return ()


def value_left_open(context: LintContext) -> Found:
    """Find values that are open, with all that reads them, until an exception or reading is settled."""
    for read in context.sets:
        for clause in read.ruleset.clauses:
            if not (clause.exceptions or clause.readings):
                continue
            rule = read.lowered.rule(clause)
            if gives(rule) and _values_differ(rule):
                if clause.readings:
                    why = "its words are read in ways that give different values, neither stricter"
                else:
                    conditions = [when for when, _ in rule.exceptions]
                    names = dict.fromkeys(fact.name for fact in every(Fact, *conditions))
                    why = f"an exception gives another value, and {', '.join(names)} may be unknown"
                message = (
                    f"{clause.key}: {why}: then the value is open, and so is all that reads it"
                )
                yield place_of(clause), clause.key, message


def _values_differ(rule: Rule) -> bool:
    """Tell whether the branches of a rule that give a value need not give the same."""
    given = [ask.value for ask in asks(rule) if isinstance(ask, Gives)]
    return len(branches(rule)) > 1 and any(value != given[0] for value in given[1:])
