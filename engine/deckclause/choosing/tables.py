"""Which sizes a rule set allows together: each clause tried on the choices it depends on.

A clause depends on a choice where one of the facts it reads, or of the facts that what it reads is
given from, changes with it (facts.py). So each clause is evaluated once for every combination of
the few choices it depends on, by the ordinary evaluator, and never for the rest.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Any

from deckclause.choosing.facts import ChoiceFacts, Name, Prepare, Values
from deckclause.choosing.members import Variable
from deckclause.designs.design import Design
from deckclause.evaluate.evaluator import Evaluator
from deckclause.evaluate.status import (
    COMPLIES,
    DOES_NOT_COMPLY,
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
    NOT_APPLICABLE,
    worst,
)
from deckclause.rulesets.clauses import Clause
from deckclause.rulesets.walk import distances


@dataclass(frozen=True, slots=True)
class Verdict:
    """What a clause makes of one combination: its status, and facts the design does not state."""

    status: int
    missing: frozenset[str] = frozenset()

    @property
    def waits_on_the_design(self) -> bool:
        """Whether it is undecided only for facts that the design could state."""
        return self.status == INFORMATION_MISSING and bool(self.missing)


@dataclass(frozen=True, slots=True)
class ClauseTable:
    """One clause of one rule set on every combination of the choices it depends on."""

    ruleset: str
    clause: Clause
    scope: tuple[str, ...]
    verdicts: Mapping[Values, Verdict]

    @property
    def undecided_throughout(self) -> bool:
        """Whether no choice at all makes the clause decide: an engineer, or print not seen."""
        read = [v for v in self.verdicts.values() if v.status != NOT_APPLICABLE]
        return bool(read) and all(
            v.status in (ENGINEERING_REQUIRED, INFORMATION_MISSING) for v in read
        )

    def allows(self, values: Values) -> bool:
        """Tell whether a combination may be chosen as far as this clause goes.

        What fails may not; nor what is not known or needs an engineer where another choice is
        known to comply. A fact the design leaves out is a question, not a bar.
        """
        verdict = self.verdicts[values]
        if verdict.status == DOES_NOT_COMPLY:
            return False
        if verdict.status in (COMPLIES, NOT_APPLICABLE) or verdict.waits_on_the_design:
            return True
        return self.undecided_throughout


def clause_tables(
    design: Design, chosen: Sequence[Variable], evaluators: Iterable[Evaluator], prepare: Prepare
) -> tuple[ClauseTable, ...]:
    """Return every clause that depends on a choice, with what it makes of each combination."""
    facts = ChoiceFacts(design, chosen, prepare)
    return tuple(table for e in evaluators for table in _tables_of(e, chosen, facts))


def _tables_of(
    evaluator: Evaluator, chosen: Sequence[Variable], facts: ChoiceFacts
) -> list[ClauseTable]:
    read = [_reads(evaluator, index) for index in range(len(evaluator.ruleset.clauses))]
    scopes = [facts.on(names) for names in read]
    pending = {i: s for i, s in enumerate(scopes) if s}
    found: list[ClauseTable] = []
    for scope in _widest(pending.values()):
        mine = [i for i, s in pending.items() if s <= scope]
        names = tuple(v.quantity for v in chosen if v.quantity in scope)
        tried = _Tried(evaluator, mine, names, facts, {n for i in mine for n in read[i]})
        rows = {values: tried.verdicts(values) for values in _combinations(chosen, names)}
        found += [_table(evaluator, i, pending.pop(i), names, rows) for i in mine]
    return found


def _combinations(chosen: Sequence[Variable], names: tuple[str, ...]) -> Iterable[Values]:
    options = {v.quantity: v.options for v in chosen}
    return product(*(options[name] for name in names))


def _widest(scopes: Iterable[frozenset[str]]) -> list[frozenset[str]]:
    """Return the scopes none of the others holds, the widest first."""
    every = sorted(set(scopes), key=lambda s: (-len(s), sorted(s)))
    return [s for n, s in enumerate(every) if not any(s < other for other in every[:n])]


class _Tried:
    """Evaluates some clauses on every combination of the choices they depend on."""

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

    def verdicts(self, values: Values) -> dict[int, Verdict]:
        """Return what each clause makes of one combination."""
        found: dict[int, list[Any]] = {}
        deck = self.facts.deck(self.names, values, self.sets)
        for index, _, result in self.evaluator.rows(deck, self.groups):
            if index in self.wanted:
                found.setdefault(index, []).append(result)
        return {index: _together(results) for index, results in found.items()}


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
    return ClauseTable(evaluator.ruleset.name, clause, tuple(names[n] for n in own), verdicts)


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
