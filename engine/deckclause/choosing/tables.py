"""Which sizes a rule set allows together: each clause tried on the choices it depends on.

A clause depends on a choice where one of the facts it reads, or of the facts that what it reads is
given from, changes with it (facts.py). So each clause is evaluated once for every combination of
the few choices it depends on, by the ordinary evaluator, and never for the rest.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from itertools import product
from math import prod
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from deckclause.choosing.answers import Answers
from deckclause.choosing.facts import ChoiceFacts, Name, Prepare, Values
from deckclause.choosing.members import Choice, Variable
from deckclause.designs.design import Design
from deckclause.evaluate.evaluator import Evaluator, InTicks
from deckclause.evaluate.status import (
    COMPLIES,
    DOES_NOT_COMPLY,
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
    NOT_APPLICABLE,
    worst,
)
from deckclause.rulesets.clauses import Clause, Scalar
from deckclause.rulesets.walk import distances, limit_of


class Verdict(Struct, frozen=True):
    """What a clause makes of one combination: its status, and facts the design does not state."""

    status: int
    missing: frozenset[str] = frozenset()
    hopeless: bool = False
    """Whether no answer to what is missing is known to make it comply."""

    @property
    def waits_on_the_design(self) -> bool:
        """Whether it is undecided only for facts that the design could state, and may comply."""
        return self.status == INFORMATION_MISSING and bool(self.missing) and not self.hopeless


class ClauseTable(Struct, frozen=True):
    """One clause of one rule set on every combination of the choices it depends on."""

    ruleset: str
    clause: Clause
    scope: tuple[str, ...]
    verdicts: Mapping[Values, Verdict]

    undecided_throughout: bool
    """Whether no choice at all makes the clause decide: an engineer, or print not seen."""
    allowed: frozenset[Values]
    """The combinations that may be chosen as far as this clause goes."""

    def allows(self, values: Values) -> bool:
        """Tell whether a combination may be chosen as far as this clause goes."""
        return values in self.allowed


def clause_table(
    ruleset: str, clause: Clause, scope: tuple[str, ...], verdicts: Mapping[Values, Verdict]
) -> ClauseTable:
    """Return a clause's table.

    What fails may not be chosen; nor what is not known or needs an engineer where another choice
    is known to comply. A fact the design leaves out is a question, not a bar, unless no answer to
    it is known to make this choice comply where one may make another.
    """
    read = {v.status for v in verdicts.values()} - {NOT_APPLICABLE}
    throughout = bool(read) and read <= {ENGINEERING_REQUIRED, INFORMATION_MISSING}
    waits = any(v.waits_on_the_design for v in verdicts.values())
    allowed = frozenset(
        values
        for values, verdict in verdicts.items()
        if verdict.status in (COMPLIES, NOT_APPLICABLE)
        or verdict.waits_on_the_design
        or (throughout and verdict.status != DOES_NOT_COMPLY and not (verdict.hopeless and waits))
    )
    return ClauseTable(ruleset, clause, scope, verdicts, throughout, allowed)


def clause_tables(
    design: Design, chosen: Sequence[Variable], evaluators: Iterable[Evaluator], prepare: Prepare
) -> tuple[ClauseTable, ...]:
    """Return every clause that depends on a choice, with what it makes of each combination."""
    facts = ChoiceFacts(design, chosen, prepare)
    return tuple(table for e in evaluators for table in _tables_of(e, chosen, facts))


def tables_at(tables: Iterable[ClauseTable], fixed: Choice) -> tuple[ClauseTable, ...]:
    """Return the same clauses where some choices are no choices any more, but stand as given."""
    found = []
    for table in tables:
        left = [n for n, name in enumerate(table.scope) if name not in fixed]
        if len(left) == len(table.scope):
            found.append(table)
            continue
        verdicts = {
            tuple(values[n] for n in left): verdict
            for values, verdict in table.verdicts.items()
            if all(
                value == fixed.get(name, value)
                for name, value in zip(table.scope, values, strict=True)
            )
        }
        if left:
            scope = tuple(table.scope[n] for n in left)
            found.append(clause_table(table.ruleset, table.clause, scope, verdicts))
    return tuple(found)


MOST_TOGETHER = 100
"""Combinations that clauses of several scopes are tried on at once; larger scopes go one by one."""


def _tables_of(
    evaluator: Evaluator, chosen: Sequence[Variable], facts: ChoiceFacts
) -> list[ClauseTable]:
    read = [_reads(evaluator, index) for index in range(len(evaluator.ruleset.clauses))]
    scopes = {i: s for i, names in enumerate(read) if (s := facts.on(names))}
    options = {v.quantity: v.options for v in chosen}
    wide = {s for s in scopes.values() if _many(s, options)}
    found: list[ClauseTable] = []
    for scope in [*wide, *_widest(s for s in scopes.values() if s not in wide)]:
        fits = (lambda s, w=scope: s == w) if scope in wide else (lambda s, w=scope: s <= w)
        mine = [i for i, s in scopes.items() if fits(s)]  # type: ignore[no-untyped-call]
        names = tuple(v.quantity for v in chosen if v.quantity in scope)
        tried = _Tried(evaluator, mine, names, facts, {n for i in mine for n in read[i]})
        by_combination = tried.narrow() if scope in wide else tried
        rows = {values: by_combination(values) for values in product(*(options[n] for n in names))}
        found += [_table(evaluator, i, scopes.pop(i), names, rows) for i in mine]
    return found


def _many(scope: frozenset[str], options: Mapping[str, tuple[Scalar, ...]]) -> bool:
    return prod(len(options[name]) for name in scope) > MOST_TOGETHER


def _widest(scopes: Iterable[frozenset[str]]) -> list[frozenset[str]]:
    """Return the scopes none of the others holds, the widest first."""
    every = sorted(set(scopes), key=lambda s: (-len(s), sorted(s)))
    return [s for n, s in enumerate(every) if not any(s < other for other in every[:n])]


class _Tried:
    """Evaluates some clauses on combinations of the choices they depend on."""

    def __init__(
        self,
        evaluator: Evaluator,
        clauses: Sequence[int],
        names: tuple[str, ...],
        facts: ChoiceFacts,
        read: Iterable[Name],
    ) -> None:
        self.evaluator = evaluator
        self.wanted = frozenset(clauses)
        self.names = names
        self.facts = facts
        self.sets = facts.together(read, names)
        self.groups = frozenset(
            group for group, order in evaluator.plan.groups if not self.wanted.isdisjoint(order)
        )

    def __call__(self, values: Values, read: set[Name] | None = None) -> dict[int, Verdict]:
        """Return what each clause makes of one combination; note what was looked up for it."""
        found: dict[int, list[Any]] = {}
        deck = self.facts.deck(self.names, values, self.sets)
        for index, _, result in self.evaluator.rows(deck, self.groups, read):
            if index in self.wanted:
                found.setdefault(index, []).append(result)
        return {index: self._verdict(index, found[index], deck) for index in found}

    def _verdict(self, index: int, results: list[Any], deck: InTicks) -> Verdict:
        """Return what a clause makes of it; where facts are missing, whether any answer may comply."""
        verdict = _together(results)
        limit = limit_of(self.evaluator.ruleset.clauses[index].requirement)
        limits_a_choice = limit is not None and limit.subject in self.names
        if limits_a_choice and verdict.waits_on_the_design:
            answers = Answers(self.evaluator, index, self.groups, self.facts.quantities)
            return replace(verdict, hopeless=answers.none_passes(deck))
        return verdict

    def narrow(self) -> Callable[[Values], dict[int, Verdict]]:
        """Return the same for many combinations: what was looked up once is not looked up again.

        A clause that looked at some of the facts only comes to the same wherever these are the
        same: a bolt spacing that decides nothing for a 2x10 ledger is tried there once.
        """
        self.evaluator = self.evaluator.narrowed(self.wanted)
        known: dict[tuple[int, ...], dict[Values, dict[int, Verdict]]] = {}

        def verdicts(values: Values) -> dict[int, Verdict]:
            for places, found in known.items():
                again = found.get(tuple(values[n] for n in places))
                if again is not None:
                    return again
            read: set[Name] = set()
            now = self(values, read)
            on = self.facts.on(read)
            places = tuple(n for n, name in enumerate(self.names) if name in on)
            known.setdefault(places, {})[tuple(values[n] for n in places)] = now
            return now

        return verdicts


def _together(results: list[Any]) -> Verdict:
    status = worst([r[0] for r in results])
    lacking = [r for r in results if r[0] == status == INFORMATION_MISSING]
    if any(not r[5] for r in lacking):  # for one part at least, nothing stated would decide it
        return Verdict(status)
    return Verdict(status, frozenset(str(name) for r in lacking for name in r[5]))


def _table(
    evaluator: Evaluator,
    index: int,
    scope: frozenset[str],
    names: tuple[str, ...],
    rows: Mapping[Values, Mapping[int, Verdict]],
) -> ClauseTable:
    own = [n for n, name in enumerate(names) if name in scope]
    verdicts = {
        tuple(values[n] for n in own): found.get(index, Verdict(NOT_APPLICABLE))
        for values, found in rows.items()
    }
    clause = evaluator.ruleset.clauses[index]
    return clause_table(evaluator.ruleset.name, clause, tuple(names[n] for n in own), verdicts)


def _reads(evaluator: Evaluator, index: int) -> set[Name]:
    """Return what a clause reads, and what the clauses read that give it what it reads."""
    plan, clauses = evaluator.plan, evaluator.ruleset.clauses
    fixed = {s.quantity for s in evaluator.ruleset.settings}
    names: set[Name] = set()
    waiting, seen = [index], {index}
    while waiting:
        at = waiting.pop()
        names |= {(d.start, d.end) for d in distances(clauses[at])}
        for name in plan.reads[at]:
            if name in fixed:
                continue
            names.add(name)
            new = [i for i, given in enumerate(plan.provides) if given == name and i not in seen]
            seen.update(new)
            waiting += new
    return names
