"""What one clause comes to on given facts: by the regions' reading of it, and by the evaluator."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from deckclause.designs.derive.facts import derived_facts
from deckclause.designs.geometry import known_distances
from deckclause.evaluate.compile import compile_ruleset
from deckclause.evaluate.evaluator import Evaluator
from deckclause.evaluate.plan import provided_quantity
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.ready import make_ready
from deckclause.evaluate.regions.asked import CONFLICT, Bound
from deckclause.evaluate.regions.explore import Undecided
from deckclause.evaluate.regions.linear import Form
from deckclause.evaluate.regions.reader import NotLinear
from deckclause.evaluate.regions.rule_set import RuleSetReader
from deckclause.evaluate.regions.sample import design_at
from deckclause.evaluate.regions.space import Range, Space
from deckclause.evaluate.regions.view import View
from deckclause.evaluate.status import (
    COMPLIES,
    DOES_NOT_COMPLY,
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
    NOT_APPLICABLE,
    worst,
)
from deckclause.reading.branch import Branch
from deckclause.rulesets.clauses import Clause, Origin, Scalar
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.ruleset import RuleSet, Setting
from deckclause.rulesets.vocabulary import QuantityDefinition
from deckclause.rulesets.walk import clause_reads
from deckclause.upkeep.lint.context import ReadSet
from deckclause.upkeep.lint.survey import Course, course_of

Quantities = dict[str, QuantityDefinition]
Facts = Mapping[str, Scalar]


class Outcome(Struct, frozen=True):
    """The status, the exceptions that fired, and what the clause gives to others."""

    status: int
    fired: tuple[int, ...] = ()
    gives: Scalar | None = None


class Reading(Struct, frozen=True):
    """A rule set as its clauses are read: with what others provide, or with that left open."""

    read: ReadSet
    quantities: Quantities

    def left_open(self) -> Reading:
        """Return the reading in which every provided quantity is what a place might set."""
        plan = replace(self.read.plan, provides=("",) * len(self.read.plan.provides))
        ruleset = replace(self.read.ruleset, settings=())
        quantities = {
            n: replace(q, provided=False) if q.provided else q for n, q in self.quantities.items()
        }
        return Reading(ReadSet(ruleset, plan, self.read.lowered), quantities)

    def course(self, clause: Clause, space: Space, like: RuleSetReader | None = None) -> Course:
        """Return how a clause runs on a region. Raises Undecided where it must be cut."""
        view = View(space, self.quantities) if like is None else like.view
        return course_of(self.read, clause, view, like)

    def reader(self, space: Space) -> RuleSetReader:
        """Return a reader of a region, for several clauses to be read there one after the other."""
        return RuleSetReader(
            self.read.ruleset, self.read.plan, self.read.lowered, View(space, self.quantities)
        )

    def at(self, clause: Clause, facts: Facts) -> Outcome | None:
        """Return what a clause comes to at a point; None where facts it needs are not stated."""
        known = derived_facts(dict(facts))
        return self.at_known(clause, known, self.reader(point(known)))

    def at_known(
        self, clause: Clause, known: dict[str, Scalar], here: RuleSetReader
    ) -> Outcome | None:
        """Do as `at` does, on facts with what derives from them, by a reader of their point."""
        try:
            course = self.course(clause, here.view.space, here)
        except (Undecided, NotLinear):
            return None
        return resolved(course, known)


def point(facts: Facts) -> Space:
    """Return the region of nothing but these facts."""
    options = {n: frozenset((v,)) for n, v in facts.items() if isinstance(v, str | bool)}
    ranges = {n: Range(v, False, v, False) for n, v in facts.items() if isinstance(v, Fraction)}
    return Space(options, ranges)


def course_status(course: Course) -> int:
    """Return the status of a clause on a region, its limits on free subjects aside."""
    if not course.applies:
        return NOT_APPLICABLE if course.applies is False else INFORMATION_MISSING
    if course.in_scope is not True:
        return ENGINEERING_REQUIRED if course.in_scope is False else INFORMATION_MISSING
    return course.asked.status if course.asked is not None else ENGINEERING_REQUIRED


def resolved(course: Course, facts: Facts) -> Outcome | None:
    """Return the outcome at facts that lie in the course's region, its limits included."""
    asked = course.asked
    if len(course.fired) > 1 or (asked is not None and asked.status == CONFLICT):
        return None
    status = course_status(course)
    numbers = {n: v for n, v in facts.items() if isinstance(v, Fraction)}
    if asked is not None and status == COMPLIES:
        for bound in asked.bounds:
            if not bound.decided:
                status = worst([status, _met(bound, facts, numbers)])
    gives: Scalar | None = None
    for figure in asked.provided if asked is not None and status == COMPLIES else ():
        if isinstance(figure, Form) and not _known(figure, numbers):
            return Outcome(INFORMATION_MISSING, course.fired)
        gives = figure.at(numbers) if isinstance(figure, Form) else figure  # type: ignore[assignment]
    return Outcome(status, course.fired, gives)


def _met(bound: Bound, facts: Facts, numbers: dict[str, Fraction]) -> int:
    value: Scalar | None = facts.get(bound.subject)
    if value is None and " to " in bound.subject:
        start, end = bound.subject.split(" to ")
        value = known_distances(dict(facts)).get((start, end))
    if value is None:
        return INFORMATION_MISSING
    if bound.one_of is not None:
        return COMPLIES if value in bound.one_of else DOES_NOT_COMPLY
    assert isinstance(value, Fraction)
    if not all(_known(form, numbers) for form in (bound.least, bound.most) if form):
        return INFORMATION_MISSING
    if bound.least is not None and value < bound.least.at(numbers):
        return DOES_NOT_COMPLY
    if bound.most is not None and value > bound.most.at(numbers):
        return DOES_NOT_COMPLY
    return COMPLIES


def _known(form: Form, numbers: dict[str, Fraction]) -> bool:
    return all(name in numbers for name, _ in form.terms)


# -- by the evaluator -----------------------------------------------------------------------------


class ClauseRunner:
    """Runs one clause of a rule set on the facts of a design, in a place that sets what it sets.

    `alone` runs the clause with no more than what provides to it: the same answer, far sooner.
    """

    def __init__(
        self, evaluator: Evaluator, quantities: Quantities, *, alone: bool = False
    ) -> None:
        self.evaluator = evaluator
        self.alone = alone
        self.quantities = quantities
        self._index = {c.key: i for i, c in enumerate(evaluator.ruleset.clauses)}
        self._set: dict[object, Evaluator] = {}

    def has(self, key: str) -> bool:
        """Tell whether the rule set has a clause."""
        return key in self._index

    def under(self, key: str, sets: Facts) -> Evaluator:
        """Return what runs the clause: the rule set, or what bears on the clause with settings."""
        if not sets and not self.alone:
            return self.evaluator
        named = (key, tuple(sorted(sets.items())))
        if named not in self._set:
            cut = _cut(self.evaluator.ruleset, key, sets)
            self._set[named] = make_ready(compile_ruleset(cut, self.quantities), self.quantities)
        return self._set[named]

    def result(self, key: str, facts: Facts, sets: Facts | None = None) -> Result | None:
        """Return what the evaluator makes of a clause; None where the design is refused."""
        evaluator = self.under(key, sets or {})
        clauses = evaluator.ruleset.clauses
        whole = evaluator is self.evaluator
        index = (
            self._index[key] if whole else next(i for i, c in enumerate(clauses) if c.key == key)
        )
        try:
            rows = evaluator.rows(
                PreparedDesign(design_at(facts, self.quantities), self.quantities)
            )
        except InputError:
            return None
        found = next((result for at, _, result in rows if at == index), None)
        if found is None:
            return None
        return Result(found[0], found[4], self._given(evaluator, index, found[0], found[1]))

    def _given(
        self, evaluator: Evaluator, index: int, status: int, value: Any
    ) -> dict[str, Scalar]:
        quantity = evaluator.plan.provides[index]
        if not quantity or status != COMPLIES or value is None:
            return {}
        if not isinstance(value, str | bool):
            value = evaluator.scale.back(value, self.quantities[quantity].kind)
        return {quantity: value}


class Result(Struct, frozen=True):
    """What the evaluator makes of a clause: status, governing branch, what it gives to others."""

    status: int
    branch: Branch
    gives: dict[str, Scalar]

    @property
    def outcome(self) -> tuple[int, Scalar | None]:
        """The status, and the value given, if any."""
        return self.status, next(iter(self.gives.values()), None)


def with_providers(ruleset: RuleSet, *keys: str) -> tuple[Clause, ...]:
    """Return the clauses named and all that provide to them, in the order of the rule set."""
    providers: dict[str, list[Clause]] = {}
    for clause in ruleset.clauses:
        providers.setdefault(provided_quantity(clause), []).append(clause)
    kept: set[str] = set()
    waiting = [c for c in ruleset.clauses if c.key in keys]
    while waiting:
        clause = waiting.pop()
        if clause.key not in kept:
            kept.add(clause.key)
            for name in clause_reads(clause):
                waiting += providers.get(name, [])
    return tuple(c for c in ruleset.clauses if c.key in kept)


def _cut(ruleset: RuleSet, key: str, sets: Facts) -> RuleSet:
    """Return a rule set of a clause and of what provides to it, with other settings."""
    kept = {c.key for c in with_providers(ruleset, key)}
    place = Origin(ruleset.name, "", 0, place="a place")
    settings = [s for s in ruleset.settings if s.quantity not in sets]
    settings += [Setting(n, v, place, "", "", "derived") for n, v in sets.items()]
    clauses = tuple(c for c in ruleset.clauses if c.key in kept)
    return replace(ruleset, clauses=clauses, settings=tuple(settings))
