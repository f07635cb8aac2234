"""The steps of a finding: what was read, which table cell, how value and limit compare."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Any

from deckclause.designs.design import Facts
from deckclause.designs.geometry import distance_rests_on, missing_for
from deckclause.evaluate.findings import Evaluation, Finding
from deckclause.evaluate.status import (
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
    NOT_APPLICABLE,
)
from deckclause.evaluate.traces import Traces
from deckclause.evaluate.words import ClauseWords, asked_limit, fact_text, said, scalar_text
from deckclause.reading.bounds import STANDINGS
from deckclause.reading.exact import ExactReader
from deckclause.reading.forms import Every, OneOf, Opposite, Within
from deckclause.reading.lower import Lowering
from deckclause.reading.reader import NoFigure
from deckclause.reading.trace import CellRead, Outcome, PrintedCell, Step, Trace
from deckclause.rulesets.clauses import (
    AllOf,
    Condition,
    Informs,
    NeedsEngineering,
    Provides,
    Scalar,
    Table,
    Test,
    Unmodelled,
    Waived,
)
from deckclause.rulesets.vocabulary import QuantityDefinition, Vocabulary
from deckclause.rulesets.walk import clause_tables

RANK = STANDINGS
"""Standings from the best founded to the least."""


class Explainer:
    """Explains the findings of one evaluation."""

    def __init__(self, evaluation: Evaluation, vocabulary: Vocabulary, *, si: bool = False) -> None:
        self.evaluation = evaluation
        self.vocabulary = vocabulary
        self.si = si
        self.words = ClauseWords(vocabulary, si=si)
        self.traces = Traces(evaluation, vocabulary)
        self._cells: dict[tuple[int, str], tuple[CellRead, ...]] = {}
        self._questions: dict[int, tuple[Finding, tuple[tuple[str, str], ...]]] = {}

    def trace(self, finding: Finding) -> Trace[Outcome]:
        """Return how the finding came about: gates, exceptions, branches, cells, facts read."""
        return self.traces.of(finding)

    def facts(self, finding: Finding) -> Facts:
        """Return the facts the finding could read: stated, derived, provided and set."""
        return self.traces.facts(finding)

    def values_read(self, finding: Finding) -> tuple[tuple[str, str], ...]:
        """Return name and text of each known value that was read on the way to the finding."""
        facts = self.facts(finding)
        quantities = self.vocabulary.quantities
        names: list[str] = []
        for read in self.trace(finding).facts:
            names += distance_rests_on(*read, facts) if isinstance(read, tuple) else [read]
        return tuple(
            (name, fact_text(facts[name], quantities[name], si=self.si))
            for name in dict.fromkeys(names)
            if name in facts and name in quantities
        )

    def questions(self, finding: Finding) -> tuple[tuple[str, str], ...]:
        """Return (quantity, question) for everything a finding lacks."""
        if not finding.missing:
            return ()
        if id(finding) not in self._questions:  # the finding is kept, so that its id stays its own
            self._questions[id(finding)] = finding, self._asked(finding)
        return self._questions[id(finding)][1]

    def _asked(self, finding: Finding) -> tuple[tuple[str, str], ...]:
        names: dict[str, None] = {}
        for missing in finding.missing:
            if isinstance(missing, tuple):
                names.update(dict.fromkeys(missing_for(*missing, self.facts(finding))))
            else:
                names[missing] = None
        quantities = self.vocabulary.quantities
        return tuple(
            (
                name,
                quantities[name].ask
                if name in quantities
                else f"What is {self.words.called(name)}?",
            )
            for name in names
        )

    def cells(self, finding: Finding) -> tuple[CellRead, ...]:
        """Return the readings of tables the governing branch's figures rest on."""
        key = (id(finding.clause), finding.part)
        if key not in self._cells:
            # most clauses read none, and need not be read again to know it
            reads = self.trace(finding).cells if clause_tables(finding.clause) else ()
            self._cells[key] = tuple(read for read in reads if read.cells)
        return self._cells[key]

    def _printed(self, finding: Finding) -> list[PrintedCell]:
        return [cell for read in self.cells(finding) for cell in read.cells]

    def standing(self, finding: Finding) -> str:
        """Return the standing of the figure the finding rests on."""
        if finding.setting is not None:
            return finding.setting.standing
        standing = finding.branch.standing(finding.clause)
        cells = [cell.standing for cell in self._printed(finding)]
        return max([standing, *cells], key=RANK.index)

    def sources(self, finding: Finding) -> tuple[str, ...]:
        """Return the ids of the sources the finding rests on."""
        cells = [source for cell in self._printed(finding) for source in cell.sources]
        return tuple(dict.fromkeys([*finding.branch.sources(finding.clause), *cells]))

    def steps(self, finding: Finding) -> tuple[str, ...]:
        """Return the steps from what was read to the status, a line each."""
        facts = self.facts(finding)
        steps = [self.words.fact(name, facts[name]) for name, _ in self.values_read(finding)]
        steps += self._branch_steps(finding)
        for read in self.cells(finding):
            steps.append(self._cell_step(read))
            steps += self._other_figures(finding, read)
        steps += self._comparison(finding)
        return tuple(steps)

    def decides(self, finding: Finding) -> str:
        """Return the last of the steps, which says how the finding came about, without the rest."""
        return self._comparison(finding)[-1]

    def _branch_steps(self, finding: Finding) -> list[str]:
        clause = finding.clause
        if finding.setting is not None:
            origin = finding.setting.origin
            return [f"{origin.place} sets this value ({origin.ordinance}, {origin.adopted})"]
        if finding.branch.is_exception:
            exception = clause.exceptions[finding.branch.number - 1]
            return [f"an exception holds ({exception.cites}): {exception.says}"]
        if finding.branch.is_reading:
            return [f"read the other way, which is stricter here: {finding.says}"]
        return [f"also read as: {reading.says}" for reading in clause.readings]

    def _cell_step(self, read: CellRead) -> str:
        """Say where a table was read: the keys as printed, or the two the value lies between."""
        table, first = read.table, read.cells[0]
        keys = [
            f"{self.words.called(axis.quantity)} {self._key(axis.quantity, key)}"
            for axis, key in zip(table.axes, first.keys, strict=True)
        ]
        where = f"{table.cites or table.title}, read"
        if read.share is None:
            return f"{where} at {', '.join(keys)}"
        *others, last = table.axes
        low, high = (
            f"{self._key(last.quantity, c.keys[-1])} ({self._figure(table, c)})" for c in read.cells
        )
        at = f" at {', '.join(keys[:-1])}," if others else ""
        value = self._key(last.quantity, read.entered[-1])
        return (
            f"{where}{at} between {self.words.called(last.quantity)} {low} and {high}: "
            f"{value} lies {read.share} of the way"
        )

    def _key(self, quantity: str, key: Scalar) -> str:
        return fact_text(key, self.vocabulary.quantities[quantity], si=self.si)

    def _figure(self, table: Table, cell: PrintedCell) -> str:
        if isinstance(cell.figure, str):
            return cell.figure
        return scalar_text(cell.figure, table.kind, "ft" if table.in_feet else "", si=self.si)

    def _other_figures(self, finding: Finding, read: CellRead) -> Iterator[str]:
        for note in (cell.note for cell in read.cells):
            if note is not None and note.also is not None:
                other = scalar_text(note.also, finding.kind, finding.unit, si=self.si)
                yield f"another figure has been given for this cell: {other}. {note.why}"

    def _why_not_applicable(self, finding: Finding) -> str:
        if isinstance(finding.requirement, Informs):
            return f"for information: {finding.requirement.text}"
        if isinstance(finding.requirement, Waived):
            return "nothing is asked: an exception waives it"
        return f"does not apply: it applies where {self.words.condition(finding.clause.applies)}"

    def _comparison(self, finding: Finding) -> list[str]:
        if finding.status == NOT_APPLICABLE:
            return [self._why_not_applicable(finding)]
        if finding.status == ENGINEERING_REQUIRED:
            return [self.engineering_reason(finding)]
        if finding.status == INFORMATION_MISSING:
            if isinstance(finding.requirement, Unmodelled):
                return [f"not modelled: {finding.requirement.reason}"]
            return [f"not known: {question}" for _, question in self.questions(finding)] or [
                self._why_open(finding)
            ]
        if isinstance(finding.requirement, Provides) and finding.value is not None:
            return [self._given(finding, finding.requirement.quantity)]
        limit = asked_limit(finding, si=self.si)
        if not limit or finding.value is None:
            return [f"asked: {self.words.requirement(finding.requirement)}"]
        value = scalar_text(finding.value, finding.kind, finding.unit, si=self.si)
        step = f"{value} against {limit}"
        margin = finding.margin
        if margin is not None:
            words = "to spare" if margin >= 0 else "short" if finding.most is None else "outside"
            step += f": {scalar_text(abs(margin), finding.kind, finding.unit, si=self.si)} {words}"
        return [step]

    def _given(self, finding: Finding, quantity: str) -> str:
        """Say the value a clause gives, or the place in its stead."""
        assert finding.value is not None
        given = f"given: {self.words.fact(quantity, finding.value)}"
        if finding.setting is None:
            return given
        asked = self.words.requirement(finding.clause.requirement)
        return f"{given}, set by {finding.setting.origin.place} in place of the edition's ({asked})"

    def _why_open(self, finding: Finding) -> str:
        """Say why information is missing where no fact is."""
        trace = self.trace(finding)
        if trace.undecided and trace.branch.kind == "own" and not finding.clause.exceptions:
            ways = [finding.clause.says, *(b.says(finding.clause) for b in trace.undecided)]
            return f"the words are read in ways that give different values: {' / '.join(ways)}"
        where = "; ".join(read.table.cites or read.table.title for read in self.cells(finding))
        return f"the figure has not been seen in print; read {where or 'the code'}"

    def engineering_reason(self, finding: Finding) -> str:
        """Say why a finding needs engineering, naming the bound that was passed."""
        requirement = finding.requirement
        if isinstance(requirement, NeedsEngineering):
            return f"engineering: {requirement.reason}"
        clause, trace = finding.clause, self.trace(finding)
        beyond = trace.outcome.beyond
        upstream = self._provider(beyond) if beyond else None
        if upstream is not None and upstream is not finding:
            reason = self.engineering_reason(upstream).removeprefix("engineering: ")
            return f"engineering: the rules give no {self.words.called(beyond)} here ({reason})"
        for read in trace.cells:
            outside = self._outside(read)
            if outside:
                return f"engineering: {outside}"
        scope = clause.scope_says or self.words.condition(clause.scope)
        if scope and scope != "always" and trace.governing is None:
            quantities = self.vocabulary.quantities
            outside = "; ".join(
                self._is(quantities[name], value)
                for name, value in (failed(trace.scope) if trace.scope else {}).items()
            )
            found = f"{outside}: " if outside else ""
            return f"engineering: {found}outside what the clause covers ({scope})"
        return "engineering: no figure is prescribed for this case"

    def _is(self, definition: QuantityDefinition, value: Scalar) -> str:
        """Say what a fact is, as the vocabulary says it or by its name."""
        plain = f"the {definition.called} is {fact_text(value, definition, si=self.si)}"
        return said(definition, value) or plain

    def _provider(self, quantity: str) -> Finding | None:
        """Find the finding that should have provided a quantity and needs engineering instead."""
        for other in self.evaluation.findings:
            requirement = other.clause.requirement
            provides = isinstance(requirement, Provides) and requirement.quantity == quantity
            if provides and other.status == ENGINEERING_REQUIRED:
                return other
        return None

    def _outside(self, read: CellRead) -> str:
        """Say which fact lies outside a table, and on which side."""
        for place in read.outside:
            axis, value = read.table.axes[place], read.entered[place]
            first, last = axis.keys[0], axis.keys[-1]
            name = f"the {self.words.called(axis.quantity)}"
            if not isinstance(value, Fraction) or isinstance(first, str) or isinstance(last, str):
                return f"{name} {self._key(axis.quantity, value)} is not in the table"
            if value > last:
                return f"{name} is past the table's last, {self._key(axis.quantity, last)}"
            if value < first:
                return f"{name} is below the table's first, {self._key(axis.quantity, first)}"
            return f"{name} {self._key(axis.quantity, value)} is none of the table's"
        return ""


def failed(step: Step) -> dict[str, Any]:
    """Return the facts whose own tests made a truth come out false, with their values."""
    found: dict[str, Any] = {}
    if isinstance(step.node, OneOf | Within) and step.gave is False:
        found[step.node.fact.name] = step.steps[0].gave
    elif isinstance(step.node, Opposite) and step.gave is False:
        (part,) = step.steps
        if isinstance(part.node, OneOf | Within):
            found[part.node.fact.name] = part.steps[0].gave
    elif isinstance(step.node, Every):
        for part in step.steps:
            found.update(failed(part))
    return found


def failing_tests(condition: Condition, facts: Facts, vocabulary: Vocabulary) -> tuple[Test, ...]:
    """Return every single test a joined condition fails; a trace ends at the first of them."""
    if isinstance(condition, AllOf):
        parts = (failing_tests(part, facts, vocabulary) for part in condition.parts)
        return tuple(test for found in parts for test in found)
    if not isinstance(condition, Test):
        return ()
    try:
        holds = ExactReader(facts).truth(Lowering(vocabulary.quantities).truth(condition))
    except NoFigure:
        return ()  # what is compared with has no figure here, which is another reason
    return () if holds is not False else (condition,)
