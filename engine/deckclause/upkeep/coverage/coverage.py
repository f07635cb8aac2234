"""Which clauses, exceptions, readings and cells a set of designs exercises, under each rule set."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct, field

from deckclause.evaluate.evaluator import Evaluator
from deckclause.evaluate.explain import Explainer
from deckclause.evaluate.findings import Finding, evaluate
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.regions.sample import design_at
from deckclause.evaluate.status import COMPLIES, DOES_NOT_COMPLY, NOT_APPLICABLE
from deckclause.reading.branch import OWN, Branch, exception
from deckclause.rulesets.clauses import (
    ALWAYS,
    Clause,
    Informs,
    Limit,
    MustBe,
    NotPermitted,
    Table,
    Waived,
)
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.ruleset import RuleSet
from deckclause.rulesets.vocabulary import Vocabulary
from deckclause.rulesets.walk import clause_tables
from deckclause.upkeep.coverage.cases import BoundaryCase
from deckclause.upkeep.coverage.outcome import ClauseRunner


class ClauseCoverage(Struct):
    """What was seen of one clause."""

    clause: Clause
    branches: set[Branch] = field(default_factory=set)
    statuses: set[int] = field(default_factory=set)
    """Statuses seen where the clause itself or a branch of it governed."""
    out_of_reach: frozenset[int] = frozenset()
    """Which of `complies` and `does not comply` no design can come to (reach.py)."""

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

    @property
    def sides_left(self) -> frozenset[int]:
        """Which of the two sides was not seen, though a design could come to it."""
        if not self.has_sides:
            return frozenset()
        return frozenset((COMPLIES, DOES_NOT_COMPLY)) - self.statuses - self.out_of_reach

    def missing_exceptions(self) -> list[int]:
        """Return the numbers, from 1, of exceptions that never governed."""
        return [
            i
            for i in range(1, len(self.clause.exceptions) + 1)
            if exception(i) not in self.branches
        ]


class Coverage(Struct):
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
        used = self.tables()
        return {
            "clauses": (sum(e.covered for e in entries), len(entries)),
            "exceptions": (exceptions - missing, exceptions),
            "both sides": (sum(e.both_sides for e in sided), len(sided)),
            "cells": (
                sum(len(self.cells.get(name, ())) for name in used),
                sum(len(t.cells) for t in used.values()),
            ),
        }

    def tables(self) -> dict[str, Table]:
        """Return the tables its clauses read, by name."""
        return {t.name: t for e in self.clauses.values() for t in clause_tables(e.clause)}

    @property
    def complete(self) -> bool:
        """Whether every clause, exception, cell and side that can be exercised was."""
        counts = self.counts()
        whole = all(counts[k][0] == counts[k][1] for k in ("clauses", "exceptions", "cells"))
        return whole and not any(entry.sides_left for entry in self.clauses.values())


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
        _add(coverage, evaluator, design, vocabulary, "")


def add_cases(
    coverage: Coverage, runner: ClauseRunner, cases: Iterable[BoundaryCase], vocabulary: Vocabulary
) -> None:
    """Evaluate boundary designs, each for the clause it was made for."""
    for case in cases:
        if runner.has(case.clause):
            evaluator = runner.under(case.clause, case.sets)
            design = PreparedDesign(design_at(case.facts, runner.quantities), runner.quantities)
            _add(coverage, evaluator, design, vocabulary, case.clause)


def _add(
    coverage: Coverage,
    evaluator: Evaluator,
    design: PreparedDesign,
    vocabulary: Vocabulary,
    only: str,
) -> None:
    try:
        evaluation = evaluate(design, evaluator, vocabulary)
    except InputError:
        return
    explainer = Explainer(evaluation, vocabulary)
    for finding in evaluation.findings:
        entry = coverage.clauses.get(finding.key)
        if entry is None or only not in ("", finding.key) or not _exercised(finding):
            continue
        entry.branches.add(finding.branch)
        entry.statuses.add(finding.status)
        if clause_tables(finding.clause):
            for cell in (cell for read in explainer.cells(finding) for cell in read.cells):
                coverage.cells.setdefault(cell.table.name, set()).add(cell.place)


def _exercised(finding: Finding) -> bool:
    """Tell whether a finding says something of its clause: not merely that it does not apply."""
    if finding.status != NOT_APPLICABLE:
        return True
    return isinstance(finding.requirement, Informs | Waived) and (
        finding.branch != OWN or isinstance(finding.clause.requirement, Informs)
    )
