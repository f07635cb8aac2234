"""What becomes of one clause all over the input space: every branch, case and cell it can reach."""

from __future__ import annotations

from dataclasses import dataclass

from deckclause.evaluate.regions.asked import Asked, RuleSetReader, topic_rests_on
from deckclause.evaluate.regions.explore import Piece, TooMany, explore
from deckclause.evaluate.regions.figures import Beyond, Figure, NotLinear, Reader
from deckclause.evaluate.regions.linear import Form
from deckclause.evaluate.regions.space import Space
from deckclause.evaluate.regions.view import View, whole_space
from deckclause.rulesets.clauses import (
    AllOf,
    AnyOf,
    Axis,
    ByChoice,
    Cases,
    Clause,
    Condition,
    Table,
    Value,
)
from deckclause.upkeep.lint.context import LintContext, ReadSet

MOST_RUNS = 20_000


@dataclass(frozen=True, slots=True)
class Step:
    """One thing read on the way: a case chosen, a choice without a figure, a cell, a gap."""

    kind: str
    node: int
    detail: object = None


@dataclass(frozen=True, slots=True)
class Course:
    """How a clause runs on one region."""

    applies: bool | None
    in_scope: bool | None
    fired: tuple[int, ...]
    asked: Asked | None
    steps: tuple[Step, ...]


Surveyed = list[Piece[Course]] | None
RestsOn = tuple[tuple[str, ...], tuple[Clause, ...]]


class TracingReader(Reader):
    """Reads values, keeping what it read."""

    steps: list[Step]

    def value(self, value: Value) -> Figure:
        """Read a value, noting cases and choices."""
        if isinstance(value, Cases):
            return self._traced_cases(value)
        if isinstance(value, ByChoice):
            for choice, case in value.cases:
                holds = self.is_one_of(value.quantity, frozenset((choice,)))
                if holds:
                    self.steps.append(Step("case", id(value), choice))
                    return self.value(case)
            if self.is_one_of(value.quantity, frozenset()) is not None:
                self.steps.append(Step("no case", id(value)))
        return super().value(value)

    def condition(self, condition: Condition) -> bool | None:
        """Tell whether a condition holds, noting which part of it decided."""
        if not isinstance(condition, AllOf | AnyOf) or len(condition.parts) < 2:
            return super().condition(condition)
        go = isinstance(condition, AllOf)
        result: bool | None = go
        for number, part in enumerate(condition.parts):
            found = self.condition(part)
            if found is (not go):
                self.steps.append(Step("decided by", id(condition), number))
                return found
            if found is None:
                result = None
        return result

    def _traced_cases(self, value: Cases) -> Figure:
        holding: list[int] = []
        for i, (condition, _) in enumerate(value.cases):
            holds = self.condition(condition)
            if holds is None and not holding:
                return None
            if holds:
                holding.append(i)
        if not holding:
            self.steps.append(Step("no case", id(value)))
            return super().value(value)
        figure = self.value(value.cases[holding[0]][1])
        self.steps.append(Step("case", id(value), holding[0]))
        for other in holding[1:]:
            if value.cases[other][1] != value.cases[holding[0]][1]:
                self.steps.append(Step("two cases", id(value), (holding[0], other)))
        return figure

    def place(self, axis: Axis, fact: Figure) -> int | None:
        """Find a key, noting which key was read and why there was none."""
        found = super().place(axis, fact)
        if found is not None:
            return found
        if isinstance(fact, str):
            self.steps.append(Step("no key", id(axis), fact))
        elif axis.between == "exact" and isinstance(fact, Form) and self._between(axis, fact):
            self.steps.append(Step("between keys", id(axis)))
        return found

    def cell(self, table: Table, place: int) -> Figure:
        """Read a cell, noting which."""
        self.steps.append(Step("cell", id(table), place))
        return super().cell(table, place)

    def _between(self, axis: Axis, fact: Form) -> bool:
        keys = [key for key in axis.keys if not isinstance(key, str)]
        return self.view.at_most(fact, Form.fixed(keys[-1])) and self.view.at_most(
            Form.fixed(keys[0]), fact
        )


class Surveyor:
    """Surveys the clauses of the rule sets of one context, each once.

    A survey is shared by rule sets that agree on all it rests on: the clause, those that give what
    it reads, and the values a place sets for that. Most towns differ in a value or two.
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
            key = (id(clause), reads, tuple(map(id, clauses)), settings)
            surveys = self.context.surveys
            if key not in surveys:  # what it rests on is kept with it: an id is never another's
                surveys[key] = ((clause, *clauses), self._survey(read, clause, reads))
            self._done[asked] = surveys[key][1]
        return self._done[asked]

    def _rests_on(self, read: ReadSet, topic: str) -> RestsOn:
        name = read.ruleset.name
        if name not in self._clauses:
            self._clauses[name] = tuple(map(id, read.ruleset.clauses))
        key = (self._clauses[name], topic)
        if key not in self._reads:
            self._reads[key] = topic_rests_on(read.ruleset, read.plan, topic)
        return self._reads[key]

    def _survey(self, read: ReadSet, clause: Clause, reads: tuple[str, ...]) -> Surveyed:
        quantities = self.context.quantities
        start = whole_space(quantities, list(reads))

        def question(space: Space) -> Course:
            return course_of(read, clause, View(space, quantities))

        try:
            return list(explore(start, question, most=MOST_RUNS))
        except (TooMany, NotLinear):
            return None


def course_of(
    read: ReadSet, clause: Clause, view: View, like: RuleSetReader | None = None
) -> Course:
    """Return how a clause runs on a region. Raises Undecided where the region must be cut.

    With `like`, a reader of the same region, what others provide is taken from there; the steps
    then leave out how it came to be.
    """
    reader = RuleSetReader(read.ruleset, read.plan, view, like)
    tracing = TracingReader(view, reader.reader.source)
    tracing.steps = []
    try:
        applies = tracing.condition(clause.applies)
        in_scope = tracing.condition(clause.scope) if applies else None
    except Beyond:
        return Course(True, False, (), None, ())
    if not applies or not in_scope:
        return Course(applies, in_scope, (), None, tuple(tracing.steps))
    try:
        fired = tuple(
            i for i, e in enumerate(clause.exceptions) if tracing.condition(e.when) is True
        )
        if len(fired) > 1:
            return Course(True, True, fired, None, ())
        tracing.steps = []
        reader.reader = tracing
        governing = clause.exceptions[fired[0]].requirement if fired else clause.requirement
        asked = [reader.requirement(governing)]
        asked += [reader.requirement(r.requirement) for r in clause.readings]
        return Course(True, True, fired, reader.together(asked), tuple(tracing.steps))
    except Beyond:
        return Course(True, True, (), None, ())
