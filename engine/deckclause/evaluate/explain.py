"""The steps of a finding: what was read, which table cell, how value and limit compare."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from dataclasses import dataclass
from fractions import Fraction

from deckclause.designs.design import Facts
from deckclause.designs.geometry import distance_rests_on, missing_for
from deckclause.evaluate.findings import Evaluation, Finding
from deckclause.evaluate.plan import clause_group
from deckclause.evaluate.status import (
    COMPLIES,
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
    NOT_APPLICABLE,
)
from deckclause.evaluate.words import ClauseWords, bounds_text, fact_text, said, scalar_text
from deckclause.rulesets.clauses import (
    AllOf,
    Arithmetic,
    ByChoice,
    Cases,
    CellNote,
    Condition,
    Fixed,
    Informs,
    Lookup,
    NeedsEngineering,
    Provides,
    Scalar,
    Table,
    Test,
    Unmodelled,
    Value,
    Waived,
)
from deckclause.rulesets.vocabulary import QuantityDefinition, Vocabulary
from deckclause.rulesets.walk import clause_reads, distances, requirement_values

RANK = ("confirmed", "derived", "common practice", "memory")
"""Standings from the best founded to the least."""


@dataclass(frozen=True, slots=True)
class CellRead:
    """A table cell that was read: the table, its keys, the note on it."""

    table: Table
    keys: tuple[Scalar, ...]
    place: int
    note: CellNote | None


class Explainer:
    """Explains the findings of one evaluation."""

    def __init__(self, evaluation: Evaluation, vocabulary: Vocabulary, *, si: bool = False) -> None:
        self.evaluation = evaluation
        self.vocabulary = vocabulary
        self.si = si
        self.words = ClauseWords(vocabulary, si=si)
        self._facts: dict[tuple[str, str], Facts] = {}

    def facts(self, finding: Finding) -> Facts:
        """Return the facts the finding could read: stated, derived, provided and set."""
        group = clause_group(finding.clause, self.vocabulary.quantities)
        here = (group, finding.part)
        if here not in self._facts:
            self._facts[here] = self._facts_of(group, finding.part)
        return self._facts[here]

    def _facts_of(self, group: str, part: str) -> Facts:
        facts = dict(self.evaluation.design.facts(group, part))
        for other in self.evaluation.findings:
            requirement = other.clause.requirement
            known = other.status == COMPLIES and other.value is not None
            here = other.part in ("", part)
            if isinstance(requirement, Provides) and known and here and other.value is not None:
                facts[requirement.quantity] = other.value
        for setting in self.evaluation.ruleset.settings:
            facts[setting.quantity] = setting.value
        return facts

    def values_read(self, finding: Finding) -> tuple[tuple[str, str], ...]:
        """Return name and text of each known value the clause may read."""
        facts = self.facts(finding)
        quantities = self.vocabulary.quantities
        names = list(clause_reads(finding.clause))
        for distance in distances(finding.clause):
            names += distance_rests_on(distance.start, distance.end, facts)
        return tuple(
            (name, fact_text(facts[name], quantities[name], si=self.si))
            for name in dict.fromkeys(names)
            if name in facts and name in quantities
        )

    def questions(self, finding: Finding) -> tuple[tuple[str, str], ...]:
        """Return (quantity, question) for everything a finding lacks."""
        facts = self.facts(finding)
        names: dict[str, None] = {}
        for missing in finding.missing:
            if isinstance(missing, tuple):
                names.update(dict.fromkeys(missing_for(*missing, facts)))
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
        """Return the table cells the governing requirement read."""
        facts = self.facts(finding)
        found: list[CellRead] = []
        for value in requirement_values(finding.requirement):
            self._value_cells(value, facts, found)
        return tuple(found)

    def _value_cells(self, value: Value, facts: Facts, found: list[CellRead]) -> None:
        if isinstance(value, Lookup):
            cell = read_cell(value, facts)
            if cell is not None:
                found.append(cell)
        elif isinstance(value, ByChoice):
            chosen = facts.get(value.quantity)
            for choice, case in value.cases:
                if choice == chosen:
                    self._value_cells(case, facts, found)
        elif isinstance(value, Cases):
            for _, case in value.cases:
                self._value_cells(case, facts, found)
        elif isinstance(value, Arithmetic):
            for part in value.parts:
                self._value_cells(part, facts, found)

    def standing(self, finding: Finding) -> str:
        """Return the standing of the figure the finding rests on."""
        if finding.setting is not None:
            return finding.setting.standing
        standing = finding.branch.standing(finding.clause)
        cells = [
            c.note.standing if c.note and c.note.standing else c.table.standing
            for c in self.cells(finding)
        ]
        return max([standing, *cells], key=RANK.index)

    def sources(self, finding: Finding) -> tuple[str, ...]:
        """Return the ids of the sources the finding rests on."""
        cells = [
            source
            for c in self.cells(finding)
            for source in (c.note.sources if c.note and c.note.sources else c.table.sources)
        ]
        return tuple(dict.fromkeys([*finding.clause.sources, *cells]))

    def steps(self, finding: Finding) -> tuple[str, ...]:
        """Return the steps from what was read to the status, a line each."""
        facts = self.facts(finding)
        steps = [self.words.fact(name, facts[name]) for name, _ in self.values_read(finding)]
        steps += self._branch_steps(finding)
        for cell in self.cells(finding):
            steps.append(self._cell_step(cell))
            if cell.note is not None and cell.note.also is not None:
                other = scalar_text(cell.note.also, finding.kind, finding.unit, si=self.si)
                steps.append(
                    f"another figure has been given for this cell: {other}. {cell.note.why}"
                )
        steps += self._comparison(finding)
        return tuple(steps)

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

    def _cell_step(self, cell: CellRead) -> str:
        keys = []
        for axis, key in zip(cell.table.axes, cell.keys, strict=True):
            text = fact_text(key, self.vocabulary.quantities[axis.quantity], si=self.si)
            keys.append(f"{self.words.called(axis.quantity)} {text}")
        return f"{cell.table.cites or cell.table.title}, read at {', '.join(keys)}"

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
                "the figure has not been seen in print; read the code"
            ]
        if isinstance(finding.requirement, Provides) and finding.value is not None:
            return [self._given(finding, finding.requirement.quantity)]
        limit = bounds_text(finding.least, finding.most, finding.kind, finding.unit, si=self.si)
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

    def engineering_reason(self, finding: Finding) -> str:
        """Say why a finding needs engineering, naming the bound that was passed."""
        requirement = finding.requirement
        if isinstance(requirement, NeedsEngineering):
            return f"engineering: {requirement.reason}"
        clause = finding.clause
        facts = self.facts(finding)
        for name in finding.missing:
            upstream = self._provider(name) if isinstance(name, str) else None
            if upstream is not None and upstream is not finding:
                reason = self.engineering_reason(upstream).removeprefix("engineering: ")
                return (
                    f"engineering: the {self.words.called(str(name))} is not given here ({reason})"
                )
        for value in requirement_values(requirement):
            beyond = self._beyond(value, facts)
            if beyond:
                return f"engineering: {beyond}"
        scope = clause.scope_says or self.words.condition(clause.scope)
        if scope and scope != "always":
            quantities = self.vocabulary.quantities
            outside = [
                self._is(quantities[name], facts[name])
                for name in failing_quantities(clause.scope, facts)
            ]
            found = f"{'; '.join(outside)}: " if outside else ""
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

    def _beyond(self, value: Value, facts: Facts) -> str:
        if not isinstance(value, Lookup):
            return ""
        for axis in value.table.axes:
            fact = facts.get(axis.quantity)
            if isinstance(fact, Fraction) and isinstance(axis.keys[-1], Fraction):
                definition = self.vocabulary.quantities[axis.quantity]
                if fact > axis.keys[-1]:
                    last = fact_text(axis.keys[-1], definition, si=self.si)
                    return f"the {definition.called} is past the table's last, {last}"
        return ""


def read_cell(lookup: Lookup, facts: Facts) -> CellRead | None:
    """Find the cell a look-up reads, or None where a fact is unknown or outside the table."""
    fixed = dict(lookup.fixed)
    indices: list[int] = []
    keys: list[Scalar] = []
    for axis in lookup.table.axes:
        fact = fixed.get(axis.quantity, facts.get(axis.quantity))
        index = _index(axis.keys, axis.between, fact)
        if index is None:
            return None
        indices.append(index)
        keys.append(axis.keys[index])
    place = lookup.table.position(tuple(indices))
    return CellRead(lookup.table, tuple(keys), place, lookup.table.note(place))


def _index(keys: tuple[Fraction | str, ...], between: str, fact: Scalar | None) -> int | None:
    if fact is None or isinstance(fact, bool):
        return None
    if isinstance(fact, str) or between == "exact":
        return keys.index(fact) if fact in keys else None
    numbers = [key for key in keys if isinstance(key, Fraction)]
    if between == "next_smaller":
        place = bisect_right(numbers, fact) - 1
        return place if place >= 0 else None
    place = bisect_left(numbers, fact)
    return place if place < len(numbers) else None


def failing_quantities(condition: Condition, facts: Facts) -> tuple[str, ...]:
    """Name the quantities whose tests a joined condition fails, where their facts are known."""
    names: dict[str, None] = {}
    tests = condition.parts if isinstance(condition, AllOf) else (condition,)
    for test in tests:
        if isinstance(test, AllOf):
            names.update(dict.fromkeys(failing_quantities(test, facts)))
        elif (
            isinstance(test, Test) and test.quantity in facts and _fails(test, facts[test.quantity])
        ):
            names[test.quantity] = None
    return tuple(names)


def _fails(test: Test, fact: Scalar) -> bool:
    if test.options is not None:
        return fact not in test.options
    if not isinstance(fact, Fraction):
        return False
    low = test.low.value if isinstance(test.low, Fixed) else None
    high = test.high.value if isinstance(test.high, Fixed) else None
    if isinstance(low, Fraction) and (fact < low or (test.low_open and fact == low)):
        return True
    return isinstance(high, Fraction) and (fact > high or (test.high_open and fact == high))
