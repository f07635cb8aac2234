"""What becomes of one clause all over the input space: every branch, case and cell it can reach."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from msgspec import Struct

from deckclause.evaluate.regions.asked import CONFLICT, Asked
from deckclause.evaluate.regions.explore import Piece, TooMany, explore
from deckclause.evaluate.regions.linear import Form
from deckclause.evaluate.regions.reader import NotLinear, RegionReader
from deckclause.evaluate.regions.rule_set import RuleSetReader, topic_rests_on
from deckclause.evaluate.regions.space import Space
from deckclause.evaluate.regions.view import View, whole_space
from deckclause.reading.forms import ByChoice, FirstCase
from deckclause.reading.special import BEYOND
from deckclause.reading.trace import CellRead, Step, Trace
from deckclause.rulesets.clauses import Clause
from deckclause.rulesets.walk import clause_tables
from deckclause.upkeep.lint.context import LintContext, ReadSet

MOST_RUNS = 20_000


class Mark(Struct, frozen=True):
    """One thing met on the way: a case chosen, a choice without a figure, a cell, a gap.

    `at` is the name of the table or axis, or which of the clause's cases it was (`Lowered.places`).
    """

    kind: str
    at: int | str
    detail: object = None


class Course(Struct, frozen=True):
    """How a clause runs on one region."""

    applies: bool | None
    in_scope: bool | None
    fired: tuple[int, ...]
    asked: Asked | None
    marks: tuple[Mark, ...]


Surveyed = list[Piece[Course]] | None
Places = Mapping[int, int]
RestsOn = tuple[tuple[str, ...], tuple[Clause, ...]]


class Surveyor:
    """Surveys the clauses of the rule sets of one context, each once.

    A survey is shared by rule sets that agree on all it rests on: what the clause asks, those that
    give what it reads, and the values a place sets for that. Editions carry most clauses on as they
    were, and most towns differ in a value or two.
    """

    def __init__(self, context: LintContext) -> None:
        self.context = context
        self._done: dict[tuple[str, str], Surveyed] = {}
        self._reads: dict[tuple[tuple[int, ...], str], RestsOn] = {}
        self._clauses: dict[str, tuple[int, ...]] = {}

    def courses(self, read: ReadSet, clause: Clause) -> Surveyed:
        """Return how a clause runs, region by region; None where there is too much to explore."""
        asked = (read.ruleset.name, clause.key)
        if asked not in self._done:
            reads, clauses = self._rests_on(read, clause.topic)
            known = frozenset(reads)
            settings = tuple(
                (s.quantity, s.value) for s in read.ruleset.settings if s.quantity in known
            )
            tables = tuple(table.name for table in clause_tables(clause))
            every = tuple(map(read.lowered.substance, (clause, *clauses)))
            key = (clause.topic, tables, reads, every, settings)
            surveys = self.context.surveys
            if key not in surveys:
                surveys[key] = self._kept(read, clause, reads)
            self._done[asked] = surveys[key]
        return self._done[asked]

    def _rests_on(self, read: ReadSet, topic: str) -> RestsOn:
        name = read.ruleset.name
        if name not in self._clauses:
            self._clauses[name] = tuple(map(id, read.ruleset.clauses))
        key = (self._clauses[name], topic)
        if key not in self._reads:
            self._reads[key] = topic_rests_on(read.ruleset, read.plan, topic)
        return self._reads[key]

    def _kept(self, read: ReadSet, clause: Clause, reads: tuple[str, ...]) -> Surveyed:
        """Return what an earlier run surveyed, or survey; what cannot be explored is not kept."""
        kept = self.context.kept
        if kept is None:
            return self._survey(read, clause, reads)
        found: Surveyed = kept.load(read, clause, self.context.quantities)
        if found is None:
            found = self._survey(read, clause, reads)
            if found is not None:
                kept.store(read, clause, self.context.quantities, found)
        return found

    def _survey(self, read: ReadSet, clause: Clause, reads: tuple[str, ...]) -> Surveyed:
        quantities = self.context.quantities
        start = whole_space(quantities, list(reads))

        def question(space: Space) -> Course:
            return course_of(read, clause, View(space, quantities))

        try:
            return list(explore(start, question, most=MOST_RUNS))
        except (TooMany, NotLinear, ValueError):  # ValueError: a table that cannot be read so
            return None


def course_of(
    read: ReadSet, clause: Clause, view: View, like: RuleSetReader | None = None
) -> Course:
    """Return how a clause runs on a region. Raises Undecided where the region must be cut.

    With `like`, a reader of the same region, what others provide is taken from there.
    """
    reader = RuleSetReader(read.ruleset, read.plan, read.lowered, view, like).reader
    trace = reader.clause(read.lowered.rule(clause))
    applies, scope = trace.applies.gave, trace.scope.gave if trace.scope else None
    if applies is BEYOND or scope is BEYOND:
        return Course(True, False, (), None, ())
    if not applies or not scope:
        return Course(applies, scope, (), None, ())
    fired = tuple(i for i, step in enumerate(trace.exceptions) if step.gave is True)
    if not trace.read:  # two exceptions hold, or the condition of one rests on no figure
        asked = Asked(CONFLICT) if len(fired) > 1 else None
        return Course(True, True, fired, asked, ())
    marks = _marks(trace, reader, read.lowered.places(clause))
    return Course(True, True, fired, trace.outcome, tuple(marks))


def _marks(trace: Trace[Asked], reader: RegionReader, places: Places) -> Iterator[Mark]:
    """Yield what was met in the branch that governs, and in every other reading."""
    for read in trace.read:
        if read is trace.read[0] or read.branch.kind == "reading":
            for step in read.step.walk():
                yield from _marks_of(step, reader, places)


def _marks_of(step: Step, reader: RegionReader, places: Places) -> Iterator[Mark]:
    if isinstance(step.node, FirstCase | ByChoice):
        yield from _case_marks(step, step.node, reader, places[id(step.node)])
    elif step.cell is not None:
        for cell in step.cell.cells:
            yield Mark("cell", cell.table.name, cell.place)
        yield from _gaps(step.cell, reader)


def _case_marks(
    step: Step, node: FirstCase | ByChoice, reader: RegionReader, place: int
) -> Iterator[Mark]:
    read = step.steps[-1].node if step.steps else None
    chosen = next((n for n, (_, value) in enumerate(node.cases) if value is read), None)
    if chosen is None:
        if step.gave is BEYOND:
            yield Mark("no case", place)
        return
    if isinstance(node, ByChoice):
        yield Mark("case", place, node.cases[chosen][0])
        return
    yield Mark("case", place, chosen)
    for other in range(chosen + 1, len(node.cases)):
        when, value = node.cases[other]
        if value != node.cases[chosen][1] and reader.truth(when):
            yield Mark("two cases", place, (chosen, other))


def _gaps(read: CellRead, reader: RegionReader) -> Iterator[Mark]:
    """Yield why no key of an axis is read: it has no such key, or none between two of its keys."""
    for place in read.outside:
        axis, value = read.table.axes[place], read.entered[place]
        if isinstance(value, str):
            yield Mark("no key", axis.quantity, value)
        elif axis.between == "exact" and isinstance(value, Form):
            first, last = (reader.constant(key) for key in (axis.keys[0], axis.keys[-1]))
            if reader.at_most(value, last) and reader.at_most(first, value):
                yield Mark("between keys", axis.quantity)
