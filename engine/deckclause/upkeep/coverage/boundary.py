"""Designs that tell every slip in a rule set: generated, then checked by evaluating them.

For each clause: a design for every way it can come out, both sides of every table cell, and for
every single slip (variants.py) a design that comes out otherwise under it. The regions say what
must come out; the evaluator, another back end, says what does. A design is kept only where the two
agree. A slip that no design tells is told by name.
"""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from deckclause.designs.derive.facts import derived_facts
from deckclause.evaluate.cache import Cache
from deckclause.evaluate.evaluator import Evaluator
from deckclause.evaluate.regions.asked import CONFLICT
from deckclause.evaluate.regions.explore import Piece, TooMany, Undecided, explore
from deckclause.evaluate.regions.reader import NotLinear
from deckclause.evaluate.regions.rule_set import RuleSetReader, topic_reads
from deckclause.evaluate.regions.space import Space
from deckclause.evaluate.regions.view import whole_space
from deckclause.reading.lower import Lowered
from deckclause.rulesets.clauses import Clause, Scalar
from deckclause.rulesets.walk import clause_tables
from deckclause.upkeep.coverage.cases import BoundaryCase, Built
from deckclause.upkeep.coverage.kept import KeptBuilds, inputs_digest
from deckclause.upkeep.coverage.outcome import (
    ClauseRunner,
    Outcome,
    Reading,
    course_status,
    point,
)
from deckclause.upkeep.coverage.points import designs, fewer_facts
from deckclause.upkeep.coverage.variants import Variant, cell_variants, variants
from deckclause.upkeep.lint.context import LintContext, ReadSet
from deckclause.upkeep.lint.survey import Course, Surveyor

MOST_RUNS = 4_000
"""Regions searched for a design that tells one slip."""
MOST_TRIED = 40
"""Regions in which one is tried."""
GAPS = ("no case", "no key", "between keys")


class NotBuilt(Struct, frozen=True):
    """Something no design could be built for, and why."""

    ruleset: str
    clause: str
    why: str
    slip: bool = False
    """A single slip that no design tells: it changes no outcome."""


class BoundaryBuilder:
    """Builds boundary designs of the rule sets of one context."""

    def __init__(self, context: LintContext, kept: KeptBuilds | None = None) -> None:
        self.context = context
        self.surveyor = Surveyor(context)
        self.kept = kept or KeptBuilds(Cache(None))
        self.not_built: list[NotBuilt] = []

    def cases(self, read: ReadSet, evaluator: Evaluator) -> list[BoundaryCase]:
        """Return the cases of a rule set; for a place, of the clauses the place changed.

        A clause that asks the same as one built before, of what is provided by the same, comes to
        the same cases and is not built again (kept.py).
        """
        runner = ClauseRunner(evaluator, self.context.quantities, alone=True)
        found: list[BoundaryCase] = []
        for clause in read.ruleset.clauses:
            if read.is_place and not clause.origin.ordinance:
                continue
            key = inputs_digest(read, clause, self.context.quantities)
            built = self.kept.load(key)
            if built is None:
                built = self._build(read, clause, runner)
                self.kept.store(key, built)
            cases, left = built
            found += cases
            name = read.ruleset.name
            self.not_built += [NotBuilt(name, clause.key, why, slip) for why, slip in left]
        return found

    def _build(self, read: ReadSet, clause: Clause, runner: ClauseRunner) -> Built:
        pieces = self.surveyor.courses(read, clause)
        builder = _ClauseBuilder(read, clause, runner, pieces or [])
        cases = builder.build()
        if pieces is None:
            builder.fault("its regions are too many to explore")
        return tuple(cases), tuple(builder.left)


class _ClauseBuilder:
    """Builds the cases of one clause."""

    def __init__(
        self, read: ReadSet, clause: Clause, runner: ClauseRunner, pieces: list[Piece[Course]]
    ) -> None:
        self.clause = clause
        self.runner = runner
        self.pieces = pieces
        self.quantities = runner.quantities
        own = replace(read, lowered=Lowered(self.quantities))  # the slips go with their clause
        self.plain = Reading(own, self.quantities)
        self.open = self.plain.left_open()
        self.kept: dict[object, BoundaryCase] = {}
        self._before: dict[object, tuple[dict[str, Scalar], RuleSetReader, Outcome | None]] = {}
        self.left: list[tuple[str, bool]] = []
        """What could not be built: why, and whether it is a slip that no design tells."""

    def fault(self, why: str, *, slip: bool = False) -> None:
        """Note what could not be built."""
        self.left.append((why, slip))

    def build(self) -> list[BoundaryCase]:
        """Return the cases, those for every way to come out first."""
        self._every_way()
        self._every_cell()
        for variant in variants(self.clause, self.quantities):
            if not any(self._tells(variant, case) for case in self.kept.values()):
                self._search(variant)
        return list(self.kept.values())

    # -- every way to come out ------------------------------------------------------------------

    def _every_way(self) -> None:
        classes: dict[object, list[Piece[Course]]] = {}
        for piece in self.pieces:
            course = piece.answer
            gaps = frozenset(m.kind for m in course.marks if m.kind in GAPS)
            way = course.applies, course.in_scope, course.fired, course_status(course), gaps
            classes.setdefault(way, []).append(piece)
        for members in classes.values():
            if not any(self._both_sides(piece) for piece in members[:6]):
                self.fault("no design of one of its ways to come out evaluates so")

    def _both_sides(self, piece: Piece[Course]) -> bool:
        """Build a design for each status that can come out in a piece; tell whether one could."""
        course = piece.answer
        if len(course.fired) > 1 or (course.asked and course.asked.status == CONFLICT):
            return True
        seen: set[int] = set()
        for facts in designs(self.clause, piece.space, course, self.quantities):
            case = self._case(self.plain, facts, fewer_facts(piece.space, [course], facts))
            if case is not None and case.status not in seen:
                seen.add(case.status)
                self._keep(case)
        return bool(seen)

    # -- every cell -----------------------------------------------------------------------------

    def _every_cell(self) -> None:
        left = {
            (table.name, place)
            for table in clause_tables(self.clause)
            for place in range(len(table.cells))
        }
        if not left:
            return
        for piece in self.pieces:
            reads = _cells_read(piece.answer)
            if reads & left and self._both_sides(piece):
                left -= reads
        readers: dict[object, list[BoundaryCase]] = {}
        for case in self.kept.values():
            for cell in self._cells_of(case):
                readers.setdefault(cell, []).append(case)
        for cell, variant in cell_variants(self.clause, self.quantities):
            if not any(self._tells(variant, case) for case in readers.get(cell, ())):
                found = self._search(variant)
                if found is not None:
                    readers.setdefault(cell, []).append(found)

    def _cells_of(self, case: BoundaryCase) -> set[tuple[int | str, object]]:
        try:
            return _cells_read(self.plain.course(self.clause, point(case.facts)))
        except (Undecided, NotLinear):
            return set()

    # -- every slip -----------------------------------------------------------------------------

    def _tells(self, variant: Variant, case: BoundaryCase) -> bool:
        reading = self.open if case.sets else self.plain
        if case.key not in self._before:
            known = derived_facts({**case.facts, **case.sets})
            here = reading.reader(point(known))
            self._before[case.key] = known, here, reading.at_known(self.clause, known, here)
        known, here, before = self._before[case.key]
        if before is None or self._away_from(variant.near, known):
            return False
        return _differ(before, reading.at_known(variant.clause, known, here))

    def _away_from(self, near: Space, known: dict[str, Scalar]) -> bool:
        """Tell whether a stated fact lies where the slip cannot show."""
        for name, options in near.options.items():
            stated = None if self.quantities[name].provided else known.get(name)
            if stated is not None and stated not in options:
                return True
        for name, limits in near.ranges.items():
            value = None if self.quantities[name].provided else known.get(name)
            if isinstance(value, Fraction) and not limits.holds(value):
                return True
        return False

    def _search(self, variant: Variant) -> BoundaryCase | None:
        """Find a design that tells the slip: under what is provided, else under what a place sets."""
        too_many = False
        for reading in (self.plain, self.open):
            try:
                found = self._found(variant, reading)
                if found is not None:
                    return found
            except TooMany:
                too_many = True
            except NotLinear:
                self.fault(f"not explored, as it multiplies quantities: {variant.says}")
                return None
        if too_many:
            self.fault(f"none among the first regions tells it: {variant.says}")
        else:
            self.fault(f"no design tells it: {variant.says}", slip=True)
        return None

    def _found(self, variant: Variant, reading: Reading) -> BoundaryCase | None:
        def question(space: Space) -> tuple[Course, Course]:
            here = reading.reader(space)
            return (
                reading.course(self.clause, space, here),
                reading.course(variant.clause, space, here),
            )

        tried = 0
        for piece in explore(self._start(variant, reading), question, most=MOST_RUNS):
            one, two = piece.answer
            if not _courses_differ(one, two):
                continue
            tried += 1
            found = self._told_in(variant, reading, piece)
            if found is not None:
                return found
            if tried > MOST_TRIED:
                raise TooMany
        return None

    def _start(self, variant: Variant, reading: Reading) -> Space:
        names = topic_reads(reading.read.ruleset, reading.read.plan, self.clause.topic)
        start = whole_space(reading.quantities, list(names))
        free = {n for n in names if not reading.quantities[n].provided}
        for name, options in variant.near.options.items():
            start = start.with_options(name, options) if name in free else start
        for name, limits in variant.near.ranges.items():
            start = start.with_range(name, limits) if name in free else start
        return start

    def _told_in(
        self, variant: Variant, reading: Reading, piece: Piece[tuple[Course, Course]]
    ) -> BoundaryCase | None:
        courses = list(piece.answer)
        for course in courses:
            for facts in designs(self.clause, piece.space, course, self.quantities):
                fewer = fewer_facts(piece.space, courses, facts)
                case = self._case(reading, facts, fewer, variant)
                if case is not None:
                    self._keep(case)
                    return case
        return None

    # -- keeping what holds ---------------------------------------------------------------------

    def _case(
        self,
        reading: Reading,
        facts: dict[str, Scalar],
        fewer: dict[str, Scalar],
        variant: Variant | None = None,
    ) -> BoundaryCase | None:
        """Return the case of these facts, or of fewer; None where the two back ends do not agree."""
        expected = reading.at(self.clause, facts)
        if expected is None:
            return None
        for candidate in (fewer, facts):
            provided = {n for n in candidate if self.quantities[n].provided}
            sets = {n: v for n, v in candidate.items() if n in provided and reading is self.open}
            stated = {n: v for n, v in candidate.items() if n not in provided}
            result = self.runner.result(self.clause.key, stated, sets)
            if result is None or result.outcome != (expected.status, expected.gives):
                continue
            gives = result.gives
            case = BoundaryCase(self.clause.key, result.branch, result.status, stated, sets, gives)
            if variant is None or self._tells(variant, case):
                return case
        return None

    def _keep(self, case: BoundaryCase) -> None:
        self.kept.setdefault(case.key, case)


def _cells_read(course: Course) -> set[tuple[int | str, object]]:
    return {(m.at, m.detail) for m in course.marks if m.kind == "cell"}


def _differ(one: Outcome | None, two: Outcome | None) -> bool:
    return one is not None and two is not None and one != two


def _courses_differ(one: Course, two: Course) -> bool:
    return (
        course_status(one) != course_status(two)
        or one.fired != two.fired
        or (one.asked != two.asked and one.in_scope is True)
    )
