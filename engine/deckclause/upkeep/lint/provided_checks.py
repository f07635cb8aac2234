"""Checks of what clauses give one another: given twice, given by none, assumed otherwise."""

from __future__ import annotations

from fractions import Fraction

from deckclause.evaluate.regions.explore import TooMany, explore
from deckclause.evaluate.regions.linear import Form
from deckclause.evaluate.regions.reader import NotLinear
from deckclause.evaluate.regions.rule_set import RuleSetReader, topic_reads
from deckclause.evaluate.regions.space import Space
from deckclause.evaluate.regions.view import View, whole_space
from deckclause.evaluate.regions.words import RegionWords
from deckclause.evaluate.status import COMPLIES
from deckclause.evaluate.words import fact_text, name_text
from deckclause.rulesets.clauses import Clause, Fixed, Scalar
from deckclause.rulesets.walk import clause_reads, condition_tests
from deckclause.upkeep.lint.clause_checks import place_of
from deckclause.upkeep.lint.context import LintContext, ReadSet
from deckclause.upkeep.lint.finding import Found
from deckclause.upkeep.lint.survey import Surveyor


def given_by_none(context: LintContext) -> Found:
    """Find clauses that read a value only a clause or a place can give, where none gives it."""
    for read in context.sets:
        given = set(read.plan.provides) | {s.quantity for s in read.ruleset.settings}
        for clause in read.ruleset.clauses:
            for name in clause_reads(clause):
                if context.quantities[name].provided and name not in given:
                    message = (
                        f"{clause.key}: reads {name}, which no clause of {read.ruleset.name} gives; "
                        "the answer is always `information missing`"
                    )
                    yield place_of(clause), clause.key, message


def given_twice(context: LintContext) -> Found:
    """Find quantities that two clauses give different values at once."""
    for read in context.sets:
        settings = {s.quantity for s in read.ruleset.settings}
        by_quantity: dict[str, list[Clause]] = {}
        for clause, name in zip(read.ruleset.clauses, read.plan.provides, strict=True):
            if name and name not in settings:
                by_quantity.setdefault(name, []).append(clause)
        for name, clauses in by_quantity.items():
            if len(clauses) > 1:
                yield from _given_twice(context, read, name, clauses)


def _given_twice(context: LintContext, read: ReadSet, name: str, clauses: list[Clause]) -> Found:
    if context.vocabulary is None:
        return  # its own fault is reported as unreadable
    reads = [q for c in clauses for q in topic_reads(read.ruleset, read.plan, c.topic)]

    def question(space: Space) -> tuple[int, ...]:
        reader = RuleSetReader(
            read.ruleset, read.plan, read.lowered, View(space, context.quantities)
        )
        asked = [reader.clause(clause) for clause in clauses]
        giving = [i for i, a in enumerate(asked) if a.status == COMPLIES and a.provided]
        return tuple(giving) if len({asked[i].provided for i in giving}) > 1 else ()

    try:
        for piece in explore(whole_space(context.quantities, reads), question):
            if piece.answer:
                keys = " and ".join(clauses[i].key for i in piece.answer)
                where = RegionWords(context.vocabulary).space(piece.space)
                message = f"{name} is given different values by {keys}: {where}"
                yield place_of(clauses[piece.answer[0]]), name, message
                return
    except (TooMany, NotLinear):
        return


def assumption_changed(context: LintContext, surveyor: Surveyor) -> Found:
    """Find figures made for a value that is another here: 40 psf tables under 60 psf decks.

    A clause whose scope leaves that value out fails closed, and is not reported.
    """
    for read in context.sets:
        settings = {s.quantity: s for s in read.ruleset.settings}
        reader = RuleSetReader(
            read.ruleset, read.plan, read.lowered, View(Space(), context.quantities)
        )
        for clause in read.ruleset.clauses:
            for name, assumed in clause.assumes:
                here = _known(reader, name)
                if here is None or here == assumed:
                    continue
                pieces = surveyor.courses(read, clause)
                if pieces is not None and not any(p.answer.in_scope for p in pieces):
                    continue
                definition = context.quantities[name]
                setting = settings.get(name)
                who = f" ({setting.origin.ordinance})" if setting else ""
                message = (
                    f"{clause.key}: its figures are for {name_text(name)} "
                    f"{fact_text(assumed, definition)}; {read.ruleset.name} has "
                    f"{fact_text(here, definition)}{who}"
                )
                yield place_of(clause), clause.key, message


def scope_wider(context: LintContext) -> Found:
    """Find clauses whose scope lets in more than the value their figures were made for."""
    for read in context.sets:
        for clause in read.ruleset.clauses:
            assumed = dict(clause.assumes)
            for test in condition_tests(clause.scope):
                wanted = assumed.get(test.quantity)
                if wanted is None or not isinstance(test.high, Fixed):
                    continue
                if isinstance(wanted, Fraction) and test.high.value != wanted:
                    definition = context.quantities[test.quantity]
                    message = (
                        f"{clause.key}: its figures are for {name_text(test.quantity)} "
                        f"{fact_text(wanted, definition)}, its scope goes to "
                        f"{fact_text(test.high.value, definition)}"
                    )
                    yield place_of(clause), clause.key, message


def _known(reader: RuleSetReader, name: str) -> Scalar | None:
    """Return the one value a quantity has under a rule set; None where it depends on the design."""
    from deckclause.evaluate.regions.explore import Undecided
    from deckclause.reading.reader import NoFigure

    try:
        found = reader.source(name)
    except (Undecided, NoFigure, NotLinear):
        return None
    if isinstance(found, Form):
        return found.constant if found.is_constant else None
    return found if isinstance(found, str | bool) else None
