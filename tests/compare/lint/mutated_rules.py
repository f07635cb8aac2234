"""Lint one mutated rule set among the shipped ones, and run its shipped boundary designs."""

from __future__ import annotations

import copy

from compare.lint.mutations import Mutation
from deckclause.compare.coverage.boundary import clause_result
from deckclause.compare.coverage.boundary_file import shipped_cases
from deckclause.compare.difference import substance
from deckclause.compare.lint.clause_checks import ClauseChecks
from deckclause.compare.lint.context import LintContext, ReadSet
from deckclause.compare.lint.finding import LintFinding
from deckclause.compare.lint.run import _SHARED, CHECKS, run_checks
from deckclause.compare.lint.survey import Course, Surveyor
from deckclause.evaluate.compile import compile_ruleset
from deckclause.evaluate.plan import make_plan
from deckclause.evaluate.ready import make_ready
from deckclause.evaluate.regions.explore import Piece
from deckclause.rulesets.clauses import Clause
from deckclause.rulesets.files import RuleFiles
from deckclause.rulesets.library import RuleLibrary
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.schema_check import SchemaChecker, kind_of, load_schemas, plain_data
from deckclause.rulesets.walk import clause_reads
from deckclause.rulesets.yaml_tree import parse_tree

SHARED = {
    "figure-far-from-kin", "bound-turned", "key-on-two-topics", "topic-lost",
}  # fmt: skip
ALONE = {
    "dangling-source", "missing-standing", "standing-unfounded", "kind-mismatch", "mixed-table",
    "clause-never-applies", "never-in-scope", "exception-never-holds", "exceptions-hold-together",
    "no-value-complies", "scope-wider-than-assumed", "value-given-twice", "value-given-by-none", "assumption-changed",
    "requirement-never-holds", "case-never-reached", "figure-gap", "unread-table",
    "table-out-of-order", "cases-hold-together", "cells-not-seen",
}  # fmt: skip


class Bench:
    """The shipped rules, read once, against which mutated ones are held."""

    def __init__(self) -> None:
        self.base = LintContext(RuleLibrary.open())
        self.vocabulary = self.base.library.vocabulary
        self.schemas = SchemaChecker(load_schemas(self.base.files.root))
        self.cases = {
            name: cases for _, name, cases in shipped_cases(self.base.files.root, self.vocabulary)
        }
        self._among = self._shared(self.base.sets, None)

    def _read(self, name: str) -> ReadSet:
        return next(s for s in self.base.sets if s.ruleset.name == name)

    def lint(self, mutation: Mutation) -> list[str]:
        """Return the checks that find something they do not find in the shipped set."""
        content = mutation.text.encode()
        kind = kind_of(self.base.files, mutation.file)
        found = [
            f"against-schema: {p.message}"
            for p in self.schemas.faults(plain_data(content, "mutated"), kind, "mutated")
        ]
        try:
            read = self.mutated(mutation)
        except InputError as fault:
            return [*found, f"unreadable: {fault.problems[0].message}"]
        keys = self._touched(read.ruleset.clauses, mutation.ruleset)
        known = self._alone(self._read(mutation.ruleset), keys, None) | self._among
        sets = [read if s.ruleset.name == mutation.ruleset else s for s in self.base.sets]
        now = self._alone(read, keys, mutation) | self._shared(sets, mutation)
        return found + sorted(now - known)

    def mutated(self, mutation: Mutation) -> ReadSet:
        """Read the mutated set with the shipped vocabulary."""
        files = self.base.files
        contents = {**files.contents, mutation.file: mutation.text.encode()}
        library = RuleLibrary(RuleFiles(files.root, files.rulesets, files.amendments, contents))
        library._vocabulary = self.vocabulary
        ruleset = library.ruleset(mutation.ruleset)
        return ReadSet(ruleset, make_plan(ruleset, self.vocabulary.quantities))

    def _alone(self, read: ReadSet, keys: set[str], mutation: Mutation | None) -> set[str]:
        """Run the checks of one set; those of regions on the clauses of `keys` alone."""
        context = self._context([read], mutation)
        _SHARED[context] = ClauseChecks(context, _Only(context, keys))
        return _words(run_checks(context, [c for c in CHECKS if c.name in ALONE]))

    def _shared(self, sets: list[ReadSet], mutation: Mutation | None) -> set[str]:
        """Run the checks that look across rule sets."""
        context = self._context(sets, mutation)
        return _words(run_checks(context, [c for c in CHECKS if c.name in SHARED]))

    def _context(self, sets: list[ReadSet], mutation: Mutation | None) -> LintContext:
        context = copy.copy(self.base)
        context.sets = sets
        context.trees = dict(self.base.trees)
        if mutation is not None:
            name = self.base.files.name(mutation.file)
            context.trees[mutation.file] = parse_tree(mutation.text.encode(), name)
        return context

    def boundary(self, mutation: Mutation) -> list[str]:
        """Return the shipped boundary designs that come out otherwise under the mutated set."""
        read = self.mutated(mutation)
        quantities = self.vocabulary.quantities
        evaluator = make_ready(compile_ruleset(read.ruleset, quantities), quantities)
        index = {c.key: i for i, c in enumerate(read.ruleset.clauses)}
        touched = self._touched(read.ruleset.clauses, mutation.ruleset)
        failed = []
        for case in self.cases[mutation.ruleset]:
            if case.clause not in index:
                failed.append(f"{case.clause} is gone")
            elif case.clause in touched:
                result = clause_result(evaluator, index[case.clause], case.facts, self.base)
                if result != (case.status, case.branch):
                    failed.append(f"{case.clause}: {case.facts}")
        return failed

    def _touched(self, clauses: tuple[Clause, ...], name: str) -> set[str]:
        """Return the clauses that changed, and those that read what a changed one provides."""
        old = {c.key: c for c in self._read(name).ruleset.clauses}
        keys = {c.key for c in clauses if substance(old.get(c.key)) != substance(c)}
        keys |= {key for key in old if key not in {c.key for c in clauses}}
        provided = {
            c.requirement.quantity
            for k, c in old.items()
            if k in keys and hasattr(c.requirement, "quantity")
        }
        grew = True
        while grew:
            grew = False
            for clause in clauses:
                if clause.key not in keys and provided & set(clause_reads(clause)):
                    keys.add(clause.key)
                    grew = True
                    if hasattr(clause.requirement, "quantity"):
                        provided.add(clause.requirement.quantity)
        return keys


class _Only(Surveyor):
    """Surveys the clauses of some keys and leaves the others alone."""

    def __init__(self, context: LintContext, keys: set[str]) -> None:
        super().__init__(context)
        self._keys = keys

    def courses(self, read: ReadSet, clause: Clause) -> list[Piece[Course]] | None:
        return super().courses(read, clause) if clause.key in self._keys else None


def _words(found: list[LintFinding]) -> set[str]:
    return {f"{f.check}: {f.message}" for f in found}
