"""Lint one mutated rule set among the shipped ones, and run its shipped boundary designs."""

from __future__ import annotations

import copy
from dataclasses import dataclass

from deckclause.compare.difference import substance
from deckclause.evaluate.compile import compile_ruleset
from deckclause.evaluate.plan import make_plan
from deckclause.evaluate.ready import make_ready
from deckclause.evaluate.regions.explore import Piece, TooMany, explore
from deckclause.evaluate.regions.linear import Form
from deckclause.evaluate.regions.reader import NotLinear
from deckclause.evaluate.regions.space import Space
from deckclause.evaluate.regions.view import View, whole_space
from deckclause.evaluate.status import COMPLIES, DOES_NOT_COMPLY
from deckclause.reading.lower import Lowered
from deckclause.rulesets.clauses import Clause
from deckclause.rulesets.files import RuleFiles
from deckclause.rulesets.library import RuleLibrary
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.schema_check import SchemaChecker, kind_of, load_schemas, plain_data
from deckclause.rulesets.walk import clause_reads
from deckclause.rulesets.yaml_tree import parse_tree
from deckclause.upkeep.coverage.boundary_file import shipped_cases
from deckclause.upkeep.coverage.outcome import ClauseRunner, Reading, course_status
from deckclause.upkeep.lint.clause_checks import ClauseChecks
from deckclause.upkeep.lint.context import LintContext, ReadSet
from deckclause.upkeep.lint.finding import LintFinding
from deckclause.upkeep.lint.run import _SHARED, CHECKS, run_checks
from deckclause.upkeep.lint.survey import Course, Surveyor
from upkeep.lint.mutations import Mutation

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


@dataclass(frozen=True)
class Judged:
    """A change, and what finds it: lint; else boundary designs; else the proof that it is none."""

    mutation: Mutation
    by_lint: tuple[str, ...] = ()
    by_designs: tuple[str, ...] = ()
    changes_nothing: bool = False

    @property
    def survives(self) -> bool:
        """Whether nothing finds it, though it may change an outcome."""
        return not (self.by_lint or self.by_designs or self.changes_nothing)

    @property
    def words(self) -> str:
        """The change in words."""
        return f"{self.mutation.ruleset} {self.mutation.file.name} {self.mutation.says}"


def judged(bench: Bench, mutation: Mutation) -> Judged:
    """Look for a change: by lint, then by boundary designs, then by regions."""
    by_lint = bench.lint(mutation)
    if by_lint:
        return Judged(mutation, tuple(by_lint))
    by_designs = bench.boundary(mutation)
    if by_designs:
        return Judged(mutation, (), tuple(by_designs))
    return Judged(mutation, (), (), bench.changes_nothing(mutation))


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
        self._last: tuple[Mutation, ReadSet] | None = None

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
        """Read the mutated set with the shipped vocabulary, over the shipped sets before it.

        What it carries stands in earlier sets, which the change leaves alone: they are not read
        again.
        """
        if self._last is not None and self._last[0] == mutation:
            return self._last[1]
        files = self.base.files
        contents = {**files.contents, mutation.file: mutation.text.encode()}
        library = RuleLibrary(RuleFiles(files.root, files.rulesets, files.amendments, contents))
        library._vocabulary = self.vocabulary
        written = self.base.library._written
        library._written = {n: w for n, w in written.items() if n != mutation.ruleset}
        ruleset = library.ruleset(mutation.ruleset)
        quantities = self.vocabulary.quantities
        read = ReadSet(ruleset, make_plan(ruleset, quantities), Lowered(quantities))
        self._last = mutation, read
        return read

    def _alone(self, read: ReadSet, keys: set[str], mutation: Mutation | None) -> set[str]:
        """Run the checks of one set; those of regions on the clauses of `keys` alone.

        The files of other sets are left aside: what these checks say of them does not change.
        """
        context = self._context([read], mutation)
        own = set(self.base.files.ruleset_paths(read.ruleset.name))
        others = {p for n in self.base.files.rulesets for p in self.base.files.ruleset_paths(n)}
        context.trees = {p: t for p, t in context.trees.items() if p in own or p not in others}
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
        runner = ClauseRunner(
            make_ready(compile_ruleset(read.ruleset, quantities), quantities), quantities
        )
        touched = self._touched(read.ruleset.clauses, mutation.ruleset)
        failed = []
        for case in self.cases[mutation.ruleset]:
            if not runner.has(case.clause):
                failed.append(f"{case.clause} is gone")
            elif case.clause in touched and not case.holds(runner):
                failed.append(f"{case.clause}: {case.facts} {case.sets}")
        return failed

    def changes_nothing(self, mutation: Mutation) -> bool:
        """Tell whether it is shown, all over the input space, that no outcome changes.

        Every region on which the clause and the changed clause both run one way is compared, with
        what the rule set provides left open to whatever a place may set.
        """
        quantities = self.vocabulary.quantities
        old, new = self._read(mutation.ruleset), self.mutated(mutation)
        before = {c.key: c for c in old.ruleset.clauses}
        keys = self._touched(new.ruleset.clauses, mutation.ruleset)
        return bool(keys) and all(
            _same_everywhere(Reading(old, quantities).left_open(), before.get(key), clause)
            for key, clause in {k: new.ruleset.clause(k) for k in keys}.items()
        )

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


def _same_everywhere(reading: Reading, old: Clause | None, new: Clause | None) -> bool:
    if old is None or new is None:
        return False
    names = {n for c in (old, new) for n in clause_reads(c)}
    start = whole_space(reading.quantities, sorted(names))

    def question(space: Space) -> tuple[object, object]:
        return _answer(reading, old, space), _answer(reading, new, space)

    try:
        return all(one == two for one, two in (p.answer for p in explore(start, question)))
    except (TooMany, NotLinear):
        return False


def _answer(reading: Reading, clause: Clause, space: Space) -> object:
    """Return how a clause comes out on a region, its limits on quantities decided there too."""
    course = reading.course(clause, space)
    status = course_status(course)
    if course.asked is None or status != COMPLIES:
        return status, course.fired
    view = View(space, reading.quantities)
    rest: list[object] = [course.asked.provided]
    for bound in course.asked.bounds:
        if bound.subject not in reading.quantities or bound.decided:
            rest.append(bound)
        elif bound.one_of is not None:
            status = status if view.is_one_of(bound.subject, bound.one_of) else DOES_NOT_COMPLY
        else:
            subject = Form.of(bound.subject)
            least = bound.least is None or view.at_most(bound.least, subject)
            most = bound.most is None or view.at_most(subject, bound.most)
            status = status if least and most else DOES_NOT_COMPLY
    return status, course.fired, *rest
