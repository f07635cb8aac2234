"""Which clauses, exceptions, readings and cells a set of designs exercises, under each rule set."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from deckclause.evaluate.evaluator import Evaluator
from deckclause.evaluate.explain import Explainer
from deckclause.evaluate.findings import Finding, evaluate
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.status import COMPLIES, DOES_NOT_COMPLY, NOT_APPLICABLE
from deckclause.rulesets.clauses import ALWAYS, Clause, Informs, Limit, MustBe, NotPermitted, Waived
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.ruleset import RuleSet
from deckclause.rulesets.vocabulary import Vocabulary
from deckclause.rulesets.walk import clause_tables


@dataclass(slots=True)
class ClauseCoverage:
    """What was seen of one clause."""

    clause: Clause
    branches: set[int] = field(default_factory=set)
    statuses: set[int] = field(default_factory=set)
    """Statuses seen where the clause itself or a branch of it governed."""

    @property
    def covered(self) -> bool:
        """Whether the clause was exercised at all."""
        return bool(self.branches)

    @property
    def has_sides(self) -> bool:
        """Whether the clause can be both met and broken."""
        requirement = self.clause.requirement
        if isinstance(requirement, Limit | NotPermitted):
            return True
        return isinstance(requirement, MustBe) and requirement.condition != ALWAYS

    @property
    def both_sides(self) -> bool:
        """Whether it was seen both met and broken."""
        return {COMPLIES, DOES_NOT_COMPLY} <= self.statuses

    def missing_exceptions(self) -> list[int]:
        """Return the numbers, from 1, of exceptions that never governed."""
        return [i for i in range(1, len(self.clause.exceptions) + 1) if i not in self.branches]


@dataclass(slots=True)
class Coverage:
    """What was seen of one rule set."""

    ruleset: RuleSet
    clauses: dict[str, ClauseCoverage]
    cells: dict[str, set[int]] = field(default_factory=dict)

    def counts(self) -> dict[str, tuple[int, int]]:
        """Return (seen, all) of clauses, exceptions, both sides and cells."""
        entries = list(self.clauses.values())
        sided = [e for e in entries if e.has_sides]
        exceptions = sum(len(e.clause.exceptions) for e in entries)
        missing = sum(len(e.missing_exceptions()) for e in entries)
        used = {t.name: t for e in entries for t in clause_tables(e.clause)}
        return {
            "clauses": (sum(e.covered for e in entries), len(entries)),
            "exceptions": (exceptions - missing, exceptions),
            "both sides": (sum(e.both_sides for e in sided), len(sided)),
            "cells": (
                sum(len(self.cells.get(name, ())) for name in used),
                sum(len(t.cells) for t in used.values()),
            ),
        }

    @property
    def complete(self) -> bool:
        """Whether every clause and every exception was exercised."""
        counts = self.counts()
        return all(counts[k][0] == counts[k][1] for k in ("clauses", "exceptions"))


def start_coverage(ruleset: RuleSet) -> Coverage:
    """Return the coverage of a rule set before any design; of a place, its own clauses only."""
    own = [c for c in ruleset.clauses if ruleset.kind != "place" or c.origin.ordinance]
    return Coverage(ruleset, {c.key: ClauseCoverage(c) for c in own})


def add_designs(
    coverage: Coverage,
    evaluator: Evaluator,
    designs: Iterable[PreparedDesign],
    vocabulary: Vocabulary,
) -> None:
    """Evaluate designs and note what they exercise; one that a rule set refuses counts for nothing."""
    for design in designs:
        try:
            evaluation = evaluate(design, evaluator, vocabulary)
        except InputError:
            continue
        explainer = Explainer(evaluation, vocabulary)
        for finding in evaluation.findings:
            entry = coverage.clauses.get(finding.key)
            if entry is None or not _exercised(finding):
                continue
            entry.branches.add(finding.branch)
            entry.statuses.add(finding.status)
            if clause_tables(finding.clause):
                for cell in explainer.cells(finding):
                    coverage.cells.setdefault(cell.table.name, set()).add(cell.place)


def _exercised(finding: Finding) -> bool:
    """Tell whether a finding says something of its clause: not merely that it does not apply."""
    if finding.status != NOT_APPLICABLE:
        return True
    return isinstance(finding.requirement, Informs | Waived) and (
        finding.branch != 0 or isinstance(finding.clause.requirement, Informs)
    )
