"""Designs in a region worth evaluating: at its far edges, and on both sides of what is asked there."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from deckclause.evaluate.regions.asked import Bound
from deckclause.evaluate.regions.linear import Form
from deckclause.evaluate.regions.space import Range, Space
from deckclause.rulesets.clauses import Clause, Distance, Limit, Scalar
from deckclause.rulesets.walk import requirements
from deckclause.upkeep.coverage.levers import facts_for_distance
from deckclause.upkeep.coverage.outcome import Quantities
from deckclause.upkeep.coverage.variants import step_of
from deckclause.upkeep.lint.survey import Course

AMPLE = {"length": Fraction(48), "ratio": Fraction(1, 4), "load": Fraction(50, 144)}
"""What a quantity is at least given where a limit is a share of it and nothing bounds it above."""


def forms_of(course: Course) -> Iterator[Form]:
    """Yield every figure a course asks or gives that is a number."""
    if course.asked is None:
        return
    for bound in course.asked.bounds:
        yield from (f for f in (bound.least, bound.most) if f is not None)
    yield from (f for f in course.asked.provided if isinstance(f, Form))


def designs(
    clause: Clause, space: Space, course: Course, quantities: Quantities
) -> Iterator[dict[str, Scalar]]:
    """Yield facts of designs in a region: with each limit at its figure, and one step beyond."""
    facts = _facts(space, course, quantities)
    bounds = [b for b in (course.asked.bounds if course.asked else ()) if not b.decided]
    if not bounds:
        yield facts
        return
    met: dict[str, Scalar] | None = facts
    for bound in bounds:
        met = next(_on_sides(clause, bound, met, quantities), None) if met is not None else None
    if met is not None:
        yield met
    for bound in bounds:
        others: dict[str, Scalar] | None = facts
        for other in bounds:
            if other is not bound and others is not None:
                others = next(_on_sides(clause, other, others, quantities), None)
        yield from _on_sides(clause, bound, facts if others is None else others, quantities)


def _facts(space: Space, course: Course, quantities: Quantities) -> dict[str, Scalar]:
    """Return facts of one design in the region: at the far, closed end of each range."""
    for name in {n for form in forms_of(course) for n, _ in form.terms}:
        ample = AMPLE.get(quantities[name].kind)
        limits = space.ranges.get(name, Range())
        if ample is None or (limits.high is not None and not limits.high_open):
            continue
        roomier = space.with_range(name, Range(ample))
        if not roomier.empty:
            space = roomier
    facts = space.point(quantities)
    named = {name for line in space.lines for name, _ in line.form.terms}
    for name, limits in space.ranges.items():
        if name not in named and limits.high is not None and not limits.high_open:
            facts[name] = limits.high
    return facts


def _on_sides(
    clause: Clause, bound: Bound, facts: dict[str, Scalar], quantities: Quantities
) -> Iterator[dict[str, Scalar]]:
    """Yield facts with the bound's subject at its figure, a step beyond, and just inside it."""
    subject = next((s for s in _subjects(clause) if str(s) == bound.subject), None)
    if subject is None:
        return
    if bound.one_of is not None:
        assert isinstance(subject, str)
        options = quantities[subject].choices
        for option in sorted(options, key=lambda o: o not in (bound.one_of or ())):
            yield {**facts, subject: option}
        return
    numbers = {n: v for n, v in facts.items() if isinstance(v, Fraction)}
    for form, way in ((bound.least, -1), (bound.most, 1)):
        if form is None or any(name not in numbers for name, _ in form.terms):
            continue
        limit = form.at(numbers)
        step = step_of(subject, quantities)
        for value in (limit, limit + way * step, limit - way * step / 2):
            sided = _with_subject(subject, value, facts, quantities)
            if sided is not None:
                yield sided


def _subjects(clause: Clause) -> Iterator[str | Distance]:
    for requirement in requirements(clause):
        if isinstance(requirement, Limit):
            yield requirement.subject


def _with_subject(
    subject: str | Distance, value: Fraction, facts: dict[str, Scalar], quantities: Quantities
) -> dict[str, Scalar] | None:
    if isinstance(subject, Distance):
        return facts_for_distance(subject, value, facts, quantities)
    if value < 0 and not quantities[subject].signed:
        return None
    return {**facts, subject: value}


def fewer_facts(space: Space, courses: list[Course], facts: dict[str, Scalar]) -> dict[str, Scalar]:
    """Drop facts the region leaves open and no figure rests on."""
    needed = {name for line in space.lines for name, _ in line.form.terms}
    for course in courses:
        needed |= {name for form in forms_of(course) for name, _ in form.terms}
        needed |= {b.subject for b in (course.asked.bounds if course.asked else ())}
    floor = Range(Fraction(0))
    return {n: v for n, v in facts.items() if n in needed or space.ranges.get(n) != floor}
