"""Designs on both sides of every boundary of a rule set: generated, then checked by evaluating them.

The regions say what must come out; the evaluator, another back end, says what does. A design is
kept only where the two agree.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from deckclause.compare.coverage.levers import facts_for_distance
from deckclause.compare.lint.context import LintContext, ReadSet
from deckclause.compare.lint.survey import Course, Surveyor
from deckclause.evaluate.evaluator import Evaluator
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.regions.asked import CONFLICT, Bound
from deckclause.evaluate.regions.explore import Piece
from deckclause.evaluate.regions.linear import Form
from deckclause.evaluate.regions.sample import design_at
from deckclause.evaluate.regions.space import Range
from deckclause.evaluate.status import (
    COMPLIES,
    DOES_NOT_COMPLY,
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
    NOT_APPLICABLE,
)
from deckclause.rulesets.clauses import Clause, Distance, Limit, Scalar
from deckclause.rulesets.problems import InputError

STEPS = {"length": Fraction(1, 16), "load": Fraction(1, 144), "area": Fraction(144)}
"""How far beyond a limit the other side of its boundary is taken (inch-pound units)."""


@dataclass(frozen=True, slots=True)
class BoundaryCase:
    """One design, and what one clause must make of it."""

    clause: str
    branch: int
    """0 the clause itself, n its n-th exception, -n its n-th other reading."""
    status: int
    facts: dict[str, Scalar]


@dataclass(frozen=True, slots=True)
class NotBuilt:
    """A class of designs none could be built for, and why."""

    clause: str
    why: str


class BoundaryBuilder:
    """Builds boundary designs of the rule sets of one context."""

    def __init__(self, context: LintContext, *, cells: bool = False) -> None:
        self.context = context
        self.surveyor = Surveyor(context)
        self.cells = cells
        self.not_built: list[NotBuilt] = []

    def cases(self, read: ReadSet, evaluator: Evaluator) -> list[BoundaryCase]:
        """Return the cases of a rule set; for a place, of the clauses the place changed."""
        found: dict[tuple[object, ...], BoundaryCase] = {}
        for index, clause in enumerate(evaluator.ruleset.clauses):
            if read.is_place and not clause.origin.ordinance:
                continue
            for case in self._clause(read, evaluator, index, clause):
                key = (case.clause, case.branch, case.status, tuple(sorted(case.facts.items())))
                found.setdefault(key, case)
        return list(found.values())

    def _clause(
        self, read: ReadSet, evaluator: Evaluator, index: int, clause: Clause
    ) -> Iterator[BoundaryCase]:
        pieces = self.surveyor.courses(read, clause)
        if pieces is None:
            self.not_built.append(NotBuilt(clause.key, "its regions are too many to explore"))
            return
        classes: dict[object, list[Piece[Course]]] = {}
        for piece in pieces:
            classes.setdefault(self._class(piece.answer), []).append(piece)
        for members in classes.values():
            built: list[BoundaryCase] = []
            for piece in members[:6]:
                built = self._piece(evaluator, index, clause, piece)
                if built:
                    break
            if not built:
                self.not_built.append(NotBuilt(clause.key, "no design on this side evaluates so"))
            yield from built

    def _class(self, course: Course) -> object:
        steps = tuple(
            (s.kind, s.node, s.detail)
            for s in course.steps
            if s.kind in ("case", "no case", "no key")
            or (s.kind == "decided by" and (not course.in_scope or not _has_cases(course)))
            or (self.cells and s.kind == "cell")
        )
        status = course.asked.status if course.asked else None
        return course.applies, course.in_scope, course.fired, status, steps

    def _piece(
        self, evaluator: Evaluator, index: int, clause: Clause, piece: Piece[Course]
    ) -> list[BoundaryCase]:
        course = piece.answer
        if len(course.fired) > 1 or (course.asked and course.asked.status == CONFLICT):
            return []
        facts = self._facts(piece)
        open_bounds = [b for b in (course.asked.bounds if course.asked else ()) if not b.decided]
        if not open_bounds:
            return self._kept(evaluator, index, clause, piece, [(_status(course), facts)])
        tried: list[tuple[int, dict[str, Scalar]]] = []
        for bound in open_bounds:
            for status, sided in self._sides(clause, bound, facts):
                tried.append((status, sided))
        return self._kept(evaluator, index, clause, piece, tried)

    def _facts(self, piece: Piece[Course]) -> dict[str, Scalar]:
        """Return facts of a design in the piece: at the far, closed end of each range."""
        quantities = self.context.quantities
        facts = piece.space.point(quantities)
        named = {name for line in piece.space.lines for name, _ in line.form.terms}
        for name, limits in piece.space.ranges.items():
            if name in named:
                continue
            if limits.high is not None and not limits.high_open:
                facts[name] = limits.high
        return facts

    # -- both sides of a limit ------------------------------------------------------------------

    def _sides(
        self, clause: Clause, bound: Bound, facts: dict[str, Scalar]
    ) -> Iterator[tuple[int, dict[str, Scalar]]]:
        subject = next((s for s in _subjects(clause) if str(s) == bound.subject), None)
        if subject is None:
            return
        if bound.one_of is not None:
            assert isinstance(subject, str)
            for option in self.context.quantities[subject].choices:
                status = COMPLIES if option in bound.one_of else DOES_NOT_COMPLY
                yield status, {**facts, subject: option}
            return
        numbers = {n: v for n, v in facts.items() if isinstance(v, Fraction)}
        for form, way in ((bound.least, -1), (bound.most, 1)):
            if form is None or any(name not in numbers for name, _ in form.terms):
                continue
            limit = form.at(numbers)
            for status, value in (
                (COMPLIES, limit),
                (DOES_NOT_COMPLY, limit + way * self._step(subject)),
            ):
                sided = self._with_subject(subject, value, facts)
                if sided is not None:
                    yield status, sided

    def _step(self, subject: str | Distance) -> Fraction:
        if isinstance(subject, Distance):
            return STEPS["length"]
        return (
            STEPS.get(self.context.quantities[subject].kind, Fraction(1, 100))
            if (self.context.quantities[subject].kind != "count")
            else Fraction(1)
        )

    def _with_subject(
        self, subject: str | Distance, value: Fraction, facts: dict[str, Scalar]
    ) -> dict[str, Scalar] | None:
        quantities = self.context.quantities
        if isinstance(subject, Distance):
            return facts_for_distance(subject, value, facts, quantities)
        if value < 0 and not quantities[subject].signed:
            return None
        return {**facts, subject: value}

    # -- keeping what holds ---------------------------------------------------------------------

    def _kept(
        self,
        evaluator: Evaluator,
        index: int,
        clause: Clause,
        piece: Piece[Course],
        tried: list[tuple[int, dict[str, Scalar]]],
    ) -> list[BoundaryCase]:
        kept: list[BoundaryCase] = []
        seen: set[int] = set()
        for status, facts in tried:
            fewer = self._without_open(piece, facts)
            for candidate in (fewer, facts):
                result = clause_result(evaluator, index, candidate, self.context)
                if result is None or result[0] != status:
                    continue
                if status not in seen or self.cells or len(tried) > 2:
                    kept.append(BoundaryCase(clause.key, result[1], status, candidate))
                seen.add(status)
                break
        return kept

    def _without_open(self, piece: Piece[Course], facts: dict[str, Scalar]) -> dict[str, Scalar]:
        """Drop facts the region leaves open and no figure rests on."""
        course = piece.answer
        needed = {name for line in piece.space.lines for name, _ in line.form.terms}
        for bound in course.asked.bounds if course.asked else ():
            needed.add(bound.subject)
            for form in (bound.least, bound.most):
                needed |= {name for name, _ in form.terms} if isinstance(form, Form) else set()
        for figure in course.asked.provided if course.asked else ():
            needed |= {name for name, _ in figure.terms} if isinstance(figure, Form) else set()
        floor = Range(Fraction(0))
        return {n: v for n, v in facts.items() if n in needed or piece.space.ranges.get(n) != floor}


def _has_cases(course: Course) -> bool:
    return any(s.kind in ("case", "no case") for s in course.steps)


def _status(course: Course) -> int:
    if not course.applies:
        return NOT_APPLICABLE if course.applies is False else INFORMATION_MISSING
    if course.in_scope is not True:
        return ENGINEERING_REQUIRED if course.in_scope is False else INFORMATION_MISSING
    return course.asked.status if course.asked is not None else ENGINEERING_REQUIRED


def _subjects(clause: Clause) -> Iterator[str | Distance]:
    from deckclause.rulesets.walk import requirements

    for requirement in requirements(clause):
        if isinstance(requirement, Limit):
            yield requirement.subject


def clause_result(
    evaluator: Evaluator, index: int, facts: dict[str, Scalar], context: LintContext
) -> tuple[int, int] | None:
    """Return (status, branch) of one clause on a design of these facts; None where it is refused."""
    quantities = context.quantities
    try:
        rows = evaluator.rows(PreparedDesign(design_at(facts, quantities), quantities))
    except InputError:
        return None
    results = [result for at, _, result in rows if at == index]
    return (results[0][0], results[0][4]) if results else None
