"""What inside a clause makes two rule sets part: the traces of both, held side by side.

A driver names clauses; a reader asks what in the clause changed. Each side's clause is read by the
reference reader on the facts it has under its own rule set, and the two traces are compared from
the first gate on: whether it applies, what it covers, which exception holds, which row of which
table is read, what it measures, what it asks. The first thing that differs is said, with both
figures.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction
from typing import Any

from msgspec import Struct

from deckclause.evaluate.findings import Evaluation, Finding
from deckclause.evaluate.traces import Traces
from deckclause.evaluate.words import bounds_text, called, fact_text, scalar_text
from deckclause.reading.fold import walk
from deckclause.reading.forms import (
    Constant,
    Fact,
    Gives,
    Holds,
    Limits,
    Member,
    OneOf,
    Settled,
    Within,
)
from deckclause.reading.special import BEYOND, FORBIDDEN, UNSEEN
from deckclause.reading.status import COMPLIES, ENGINEERING_REQUIRED
from deckclause.reading.trace import CellRead, Outcome, PrintedCell, Step, Trace
from deckclause.rulesets.clauses import Clause, ClauseException, Origin, Scalar
from deckclause.rulesets.names import rule_set_title
from deckclause.rulesets.ruleset import DRAFT
from deckclause.rulesets.vocabulary import Vocabulary

STAR = "*"
MEMORY = "memory"
NO_FIGURE = {BEYOND: "no figure", FORBIDDEN: "not permitted", UNSEEN: "a figure not seen in print"}
Read = Trace[Outcome]


def origin_text(origin: Origin) -> str:
    """Name the amendment a clause came from: place, ordinance, section, date."""
    if not origin.ordinance:
        return ""
    section = f" {origin.section}" if origin.section else ""
    when = "a draft, not in force" if origin.adopted == DRAFT else f"adopted {origin.adopted}"
    return f"{origin.place}, {origin.ordinance}{section}, {when}"


def says_text(clause: Clause, says: str = "", cites: str = "", standing: str = "") -> str:
    """Write what a clause, or one of its exceptions, says, with where it stands and how known."""
    act = origin_text(clause.origin)
    known = standing or clause.standing
    where = "; ".join(w for w in (cites or clause.cites, act) if w)
    return f"{(says or clause.says).rstrip('.')} ({where}{STAR if known == MEMORY else ''})"


class SideTraces:
    """The traces of one rule set's clauses on a design, each read when first asked for."""

    def __init__(self, evaluation: Evaluation, vocabulary: Vocabulary) -> None:
        self.ruleset = evaluation.ruleset
        self.title = rule_set_title(self.ruleset.name)
        self._evaluator = evaluation.evaluator
        self._traces = Traces(evaluation, vocabulary)
        self._findings: dict[str, list[Finding]] = {}
        for finding in evaluation.findings:
            self._findings.setdefault(finding.key, []).append(finding)

    def of(self, key: str) -> Mapping[str, Read]:
        """Return the traces of the clause of that key, by part of the deck; none where it is not read."""
        return {f.part: self._traces.of(f) for f in self._findings.get(key, ())}

    def reads(self, quantity: str) -> bool:
        """Tell whether any clause of the rule set reads a quantity."""
        return any(quantity in names for names in self._evaluator.plan.reads)

    def gives(self, quantity: str) -> Iterator[tuple[Clause, Read]]:
        """Yield the clauses that give a quantity a value here, with how."""
        for index, given in enumerate(self._evaluator.plan.provides):
            clause = self.ruleset.clauses[index]
            if given == quantity:
                for trace in self.of(clause.key).values():
                    if trace.outcome.status is COMPLIES:
                        yield clause, trace


class Measure(Struct, frozen=True):
    """The kind and unit a figure is written in."""

    kind: str
    unit: str


class ClauseReasons:
    """Says what differs between two sides' readings of one clause."""

    def __init__(self, vocabulary: Vocabulary, *, si: bool = False) -> None:
        self.vocabulary = vocabulary
        self.si = si

    def sentence(self, one: SideTraces, two: SideTraces, key: str, part: str | None = None) -> str:
        """Say what differs on a clause both rule sets have, the second rule set's side first."""
        first, second = one.ruleset.clause(key), two.ruleset.clause(key)
        assert first is not None
        assert second is not None
        pair = self._pair(one.of(key), two.of(key), part)
        told = None if pair is None else self._difference(pair, (first, second), (one, two))
        if told is None:
            return (
                f"{two.title} says: {says_text(second)}; {one.title} says: {says_text(first)}; alike "
                "for this deck as each stands, but not once the other changes are made"
            )
        before, after = told
        return f"{two.title} {after}; {one.title} {before}"

    def only_one(
        self, side: SideTraces, other: SideTraces, clause: Clause, part: str | None
    ) -> str:
        """Say what a clause asks that the other rule set has none like, and what that one has instead."""
        trace = self._chosen(side.of(clause.key), part)
        figure = "" if trace is None else self._came_to(trace, self.measure(trace))
        told = f"{side.title} says: {says_text(clause)}" + (f": {figure}" if figure else "")
        return f"{told}; {self._instead(side, other, clause)}"

    def _instead(self, side: SideTraces, other: SideTraces, clause: Clause) -> str:
        for struck in other.ruleset.struck:
            if struck.key == clause.key:
                return f"{other.title} strikes it ({origin_text(struck.origin)})"
        ask = next(iter(side.of(clause.key).values()), None)
        own = ask.rule.own if ask is not None else None
        topic = self.vocabulary.topics[clause.topic]
        like_topic = other.ruleset.topic_clauses(clause.topic)
        if isinstance(own, Gives) and (like_topic or own.quantity not in topic.answered_by):
            for like, trace in other.gives(own.quantity):
                came = self._came_to(trace, self.measure(trace))
                return f"{other.title} says: {says_text(like)}" + (f": {came}" if came else "")
            if other.reads(own.quantity):
                return f"{other.title} reads it, and no rule of it gives it here"
            return f"{other.title} has no use for it"
        if not like_topic:
            return f"{other.title} has no rule on this ({topic.title[:1].lower()}{topic.title[1:]})"
        cites = dict.fromkeys(c.cites for c in like_topic)
        return f"{other.title} has no rule to this effect beside {'; '.join(cites)}"

    # -- one pair of traces -----------------------------------------------------------------------

    def _pair(
        self, one: Mapping[str, Read], two: Mapping[str, Read], part: str | None
    ) -> tuple[Read, Read] | None:
        first, second = self._chosen(one, part), self._chosen(two, part)
        if part is None:
            for name in one:
                if name in two and one[name].outcome != two[name].outcome:
                    return one[name], two[name]
        return None if first is None or second is None else (first, second)

    def _chosen(self, traces: Mapping[str, Read], part: str | None) -> Read | None:
        if part is not None and part in traces:
            return traces[part]
        return next(iter(traces.values()), None)

    def _difference(
        self,
        pair: tuple[Read, Read],
        clauses: tuple[Clause, Clause],
        sides: tuple[SideTraces, SideTraces],
    ) -> tuple[str, str] | None:
        """Return what each side does, at the first place where the two traces part; None if nowhere."""
        one, two = pair
        if one.applies.gave != two.applies.gave:
            words = (
                self._gate(t.applies, "does not apply", c)
                for t, c in zip(pair, clauses, strict=True)
            )
            return next(words), next(words)
        if one.applies.gave is not True:
            return None
        if self._gave(one.scope) != self._gave(two.scope):
            before = self._covers(one, two, clauses[0])
            return before, self._covers(two, one, clauses[1])
        if self._gave(one.scope) is not True:
            return None
        measure = self.measure(two if self._figured(two) else one)
        if one.outcome.value != two.outcome.value and self._measures(one, two):
            return tuple(self._measured(t, c, measure) for t, c in zip(pair, clauses, strict=True))  # type: ignore[return-value]
        if one.branch != two.branch and "exception" in (one.branch.kind, two.branch.kind):
            before = self._branch(one, clauses[0], self._exception(two, clauses[1]), measure)
            after = self._branch(two, clauses[1], self._exception(one, clauses[0]), measure)
            return before, after
        if self._printed(one) != self._printed(two):
            return tuple(  # type: ignore[return-value]
                self._cells(t, other, c, measure)
                for t, other, c in zip(pair, (two, one), clauses, strict=True)
            )
        if one.outcome != two.outcome or self._node(one) != self._node(two):
            apart = self.tests_apart(one, two) if clauses[0].says == clauses[1].says else ("", "")
            return tuple(  # type: ignore[return-value]
                f"{self._verb(t, measure)}: {says_text(c)}{f' ({more})' if more else ''}"
                for t, c, more in zip(pair, clauses, apart, strict=True)
            )
        return None

    def _node(self, trace: Read) -> Any:
        """Return what was asked, where it is a condition or a list: figures are compared as read."""
        node = None if trace.governing is None else trace.governing.step.node
        return node if isinstance(node, Holds | Member) else None

    def _verb(self, trace: Read, measure: Measure) -> str:
        came = self._came_to(trace, measure)
        node = None if trace.governing is None else trace.governing.step.node
        if isinstance(node, Settled) and node.status is ENGINEERING_REQUIRED:
            return "leaves it to an engineer"
        if not came:
            return "asks"
        return f"gives {came}" if isinstance(node, Gives) else f"asks {came}"

    def tests_apart(self, one: Read, two: Read) -> tuple[str, str]:
        """Say which tests of a fact each side makes that the other does not; nothing where none."""
        sides = [
            {
                self._test(n): None
                for n in walk(t.governing.step.node)
                if isinstance(n, Within | OneOf)
            }
            if t.governing is not None
            else {}
            for t in (one, two)
        ]
        first, second = sides
        only = [[w for w in first if w not in second], [w for w in second if w not in first]]
        before, after = (f"with {'; '.join(words)}" if words else "" for words in only)
        return before, after

    def _test(self, node: Within | OneOf) -> str:
        name = called(node.fact.name, self.vocabulary)
        definition = self.vocabulary.quantities[node.fact.name]
        if isinstance(node, OneOf):
            return (
                f"{name} {' or '.join(fact_text(o, definition, si=self.si) for o in node.options)}"
            )
        bounds = [b.value if isinstance(b, Constant) else None for b in (node.low, node.high)]
        low, high = (b if isinstance(b, Fraction) else None for b in bounds)
        words = bounds_text(low, high, definition.kind, definition.unit, si=self.si)
        return f"{name} {words or 'against what the rule works out'}"

    def _gave(self, step: Step | None) -> Any:
        return None if step is None else step.gave

    # -- gates ------------------------------------------------------------------------------------

    def _gate(self, step: Step, not_words: str, clause: Clause) -> str:
        if step.gave is True:
            return f"says, and it applies: {says_text(clause)}"
        if step.gave is None:
            return f"waits to know whether it applies: {says_text(clause)}"
        left = self._left(step)
        return f"{not_words} here{f' ({left})' if left else ''}: {says_text(clause)}"

    def _covers(self, trace: Read, other: Read, clause: Clause) -> str:
        if self._gave(trace.scope) is True:
            measure = self.measure(trace)
            if trace.cells:
                return self._cells(trace, other, clause, measure)
            return f"covers this deck and {self._verb(trace, measure)}: {says_text(clause)}"
        act = says_text(clause, clause.scope_says or "another range")
        left = "" if trace.scope is None else self._left(trace.scope)
        return f"covers {act}, not this deck{f' ({left})' if left else ''}"

    def _left(self, root: Step) -> str:
        """Name the tests that came out false: the facts, as they stand."""
        words = []
        for step in root.walk():
            if step.gave is False and isinstance(step.node, Within | OneOf):
                fact = next((s for s in step.walk() if isinstance(s.node, Fact)), None)
                if fact is not None and fact.gave is not None:
                    words.append(
                        f"{called(step.node.fact.name, self.vocabulary)} {self.fact(step.node.fact.name, fact.gave)}"
                    )
        return ", ".join(dict.fromkeys(words))

    # -- what governs -----------------------------------------------------------------------------

    def _measures(self, one: Read, two: Read) -> bool:
        return all(
            t.governing is not None and isinstance(t.governing.step.node, Limits | Member)
            for t in (one, two)
        ) and None not in (one.outcome.value, two.outcome.value)

    def _measured(self, trace: Read, clause: Clause, measure: Measure) -> str:
        value = scalar_text(trace.outcome.value, measure.kind, measure.unit, si=self.si)
        asked = self._bounds(trace.outcome, measure)
        return f"measures {value}{f' against {asked}' if asked else ''}: {says_text(clause)}"

    def _exception(self, trace: Read, clause: Clause) -> ClauseException | None:
        held = trace.branch.kind == "exception"
        return clause.exceptions[trace.branch.number - 1] if held else None

    def _branch(
        self, trace: Read, clause: Clause, theirs: ClauseException | None, measure: Measure
    ) -> str:
        came = self._came_to(trace, measure)
        told = f": {came}" if came else ""
        exception = self._exception(trace, clause)
        if exception is not None:
            words = says_text(clause, exception.says, exception.cites, exception.standing)
            return f"has an exception that holds here: {words}{told}"
        has_it = theirs is not None and any(e.says == theirs.says for e in clause.exceptions)
        why = "has that exception, but it does not hold here" if has_it else "has no such exception"
        return f"{why}: {says_text(clause)}{told}"

    # -- tables -----------------------------------------------------------------------------------

    def _printed(self, trace: Read) -> tuple[Any, ...]:
        return tuple(
            (
                read.table.axes,
                tuple(c.place for c in read.cells),
                tuple(c.figure for c in read.cells),
                read.share,
            )
            for read in trace.cells
        )

    def _cells(self, trace: Read, other: Read, clause: Clause, measure: Measure) -> str:
        """Say which row of which table was read: of several axes those that the other does not share."""
        words = [self._cell(read, other, measure) for read in trace.cells]
        if not words:
            came = self._came_to(trace, measure)
            return f"says: {says_text(clause)}{f': {came}' if came else ''}"
        act = origin_text(clause.origin)
        return f"reads {'; '.join(words)}{f' ({act})' if act else ''}"

    def _cell(self, read: CellRead, other: Read, measure: Measure) -> str:
        table = read.table.cites or read.table.title
        if not read.cells:
            outside = ", ".join(
                f"{called(read.table.axes[n].quantity, self.vocabulary)} {self.fact(read.table.axes[n].quantity, read.entered[n])}"
                for n in read.outside
            )
            return f"{table}, which has no figure for {outside}"
        shared = self._shared(read, other)
        at = ", ".join(self._keys(read, shared))
        where = f"{table} at {at}" if at else table
        figures = [self._figure(cell, measure) for cell in read.cells]
        if len(figures) == 2:
            last = read.table.axes[-1].quantity
            low, high = (
                f"{self.fact(last, c.keys[-1])} ({f})"
                for c, f in zip(read.cells, figures, strict=True)
            )
            return f"{where}, between {low} and {high}"
        return f"{where}: {figures[0]}"

    def _shared(self, read: CellRead, other: Read) -> frozenset[str]:
        """Return the axes both sides enter alike, to be left out; none where every axis is alike.

        Where all are alike, only the printed figure differs, and a reader needs the cell's keys.
        """
        mine, theirs = _keys_by_axis((read,)), _keys_by_axis(other.cells)
        alike = frozenset(name for name in mine if mine[name] == theirs.get(name))
        return frozenset() if len(alike) == len(mine) == len(theirs) else alike

    def _keys(self, read: CellRead, shared: frozenset[str]) -> Iterator[str]:
        for number, axis in enumerate(read.table.axes):
            between = len(read.cells) == 2 and number == len(read.table.axes) - 1
            if axis.quantity not in shared and not between:
                yield f"{called(axis.quantity, self.vocabulary)} {self.fact(axis.quantity, read.cells[0].keys[number])}"

    def _figure(self, cell: PrintedCell, measure: Measure) -> str:
        if isinstance(cell.figure, Fraction):
            words = scalar_text(
                cell.figure,
                cell.table.kind,
                "ft" if cell.table.in_feet else measure.unit,
                si=self.si,
            )
        else:
            words = cell.figure
        return f"{words}{STAR if cell.standing == MEMORY else ''}"

    # -- figures ----------------------------------------------------------------------------------

    def measure(self, trace: Read) -> Measure:
        """Return the kind and unit of what a clause asks or gives."""
        ask = trace.rule.own if trace.governing is None else trace.governing.step.node
        if isinstance(ask, Gives):
            definition = self.vocabulary.quantities[ask.quantity]
            return Measure(definition.kind, definition.unit)
        if isinstance(ask, Limits | Member) and isinstance(ask.subject, Fact):
            definition = self.vocabulary.quantities[ask.subject.name]
            return Measure(definition.kind, definition.unit)
        return Measure("length", "in")

    def _figured(self, trace: Read) -> bool:
        node = None if trace.governing is None else trace.governing.step.node
        return isinstance(node, Limits | Member | Gives)

    def _came_to(self, trace: Read, measure: Measure) -> str:
        """Write what a reading came to: its bounds, its value, or why it has none."""
        outcome = trace.outcome
        bounds = self._bounds(outcome, measure)
        if bounds:
            return bounds
        ask = None if trace.governing is None else trace.governing.step.node
        if isinstance(ask, Gives) and outcome.value is not None:
            return scalar_text(outcome.value, measure.kind, measure.unit, si=self.si)
        if outcome.no_figure is not None:
            return NO_FIGURE[outcome.no_figure]
        if isinstance(ask, Member):
            return f"one of {', '.join(o.replace('_', ' ') for o in ask.options)}"
        if isinstance(ask, Settled) and ask.why == "unmodelled":
            return "not modelled here"
        return ""

    def _bounds(self, outcome: Outcome, measure: Measure) -> str:
        return bounds_text(outcome.least, outcome.most, measure.kind, measure.unit, si=self.si)

    def fact(self, name: str, value: Scalar) -> str:
        """Write a fact of the vocabulary."""
        return fact_text(value, self.vocabulary.quantities[name], si=self.si)


def _keys_by_axis(reads: Iterable[CellRead]) -> dict[str, set[Any]]:
    found: dict[str, set[Any]] = {}
    for read in reads:
        for number, axis in enumerate(read.table.axes):
            found.setdefault(axis.quantity, set()).update(cell.keys[number] for cell in read.cells)
    return found
