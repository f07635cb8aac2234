"""Findings: a clause applied to a design, with everything that lets it be traced."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from functools import cached_property

from msgspec import Struct

from deckclause.evaluate.evaluator import Evaluator, Measure, Row
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.scale import Scale
from deckclause.evaluate.status import NOT_APPLICABLE, STATUS_WORDS, Status, worst
from deckclause.reading.branch import Branch
from deckclause.rulesets.clauses import (
    Clause,
    Distance,
    Informs,
    Limit,
    Provides,
    Requirement,
    Scalar,
)
from deckclause.rulesets.ruleset import RuleSet, Setting, Struck
from deckclause.rulesets.vocabulary import Vocabulary

STATUSES = tuple(Status)
"""Each status at its own number, as the generated evaluators give them."""
Missing = str | tuple[str, str]


class Finding(Struct, frozen=True):
    """A clause applied to a design. Measures are in inch-pound-degree units of `kind`."""

    ruleset: str
    clause: Clause
    part: str
    status: Status
    value: Scalar | None
    least: Fraction | None
    most: Fraction | None
    branch: Branch
    missing: tuple[Missing, ...]
    kind: str
    unit: str
    setting: Setting | None = None

    @property
    def topic(self) -> str:
        """The concordance topic."""
        return self.clause.topic

    @property
    def key(self) -> str:
        """The clause's stable key."""
        return self.clause.key

    @property
    def status_words(self) -> str:
        """The status in words."""
        return STATUS_WORDS[self.status]

    @property
    def requirement(self) -> Requirement:
        """The requirement that governed: the clause's, an exception's or another reading's."""
        return self.branch.requirement(self.clause)

    @property
    def cites(self) -> str:
        """Where the governing words stand in the code, or in the ordinance that set the value."""
        if self.setting is not None:
            return " ".join(
                p for p in (self.setting.origin.ordinance, self.setting.origin.section) if p
            )
        return self.branch.cites(self.clause)

    @property
    def says(self) -> str:
        """The governing words in our own words."""
        if self.setting is not None:
            return self.setting.says or f"{self.setting.origin.place} sets this value."
        return self.branch.says(self.clause)

    @property
    def limit(self) -> tuple[Fraction | None, Fraction | None]:
        """The least and the most that comply, as far as the finding has them."""
        return self.least, self.most

    @property
    def margin(self) -> Fraction | None:
        """How far inside the limit the value lies (negative: how far outside)."""
        if not isinstance(self.value, Fraction) or (self.least is None and self.most is None):
            return None
        margins = []
        if self.least is not None:
            margins.append(self.value - self.least)
        if self.most is not None:
            margins.append(self.most - self.value)
        return min(margins)


class TopicOutcome(Struct, frozen=True):
    """What one rule set makes of a design on one topic: the worst of its findings counts."""

    topic: str
    ruleset: str
    status: Status
    findings: tuple[Finding, ...]
    struck: tuple[Struck, ...] = ()
    practice: str = ""

    @property
    def status_words(self) -> str:
        """The status in words."""
        return STATUS_WORDS[self.status]

    @property
    def only_sets(self) -> bool:
        """Whether the topic gives figures and checks nothing of the design."""
        return bool(self.findings) and all(
            isinstance(f.requirement, Provides) for f in self.findings
        )

    @property
    def only_informs(self) -> bool:
        """Whether the topic tells a reader something and asks nothing of a design."""
        return bool(self.findings) and all(
            isinstance(f.requirement, Informs) for f in self.findings
        )

    @property
    def governing(self) -> Finding | None:
        """The finding that decides the outcome: of the worst status, with the least margin."""
        return _deciding([f for f in self.findings if f.status == self.status])

    @property
    def worst_by_part(self) -> tuple[Finding, ...]:
        """The finding that decides for each part of the worst status, in the order of the parts."""
        by_part: dict[str, list[Finding]] = {}
        for finding in self.findings:
            if finding.status == self.status:
                by_part.setdefault(finding.part, []).append(finding)
        return tuple(f for found in by_part.values() if (f := _deciding(found)) is not None)


def _deciding(found: list[Finding]) -> Finding | None:
    """Return the finding with the least margin, else one with a limit, else the first."""
    with_margin = [f for f in found if f.margin is not None]
    if with_margin:
        return min(with_margin, key=lambda f: f.margin or Fraction(0))
    limited = (f for f in found if f.least is not None or f.most is not None)
    return next(limited, found[0] if found else None)


class Evaluation(Struct, frozen=True, dict=True):
    """Everything one rule set makes of one design."""

    ruleset: RuleSet
    design: PreparedDesign
    findings: tuple[Finding, ...]
    evaluator: Evaluator

    @cached_property
    def _by_topic(self) -> dict[str, list[Finding]]:
        found: dict[str, list[Finding]] = {}
        for finding in self.findings:
            found.setdefault(finding.clause.topic, []).append(finding)
        return found

    @cached_property
    def _practice(self) -> dict[str, str]:
        return dict(self.ruleset.practice)

    @cached_property
    def _spoken(self) -> set[str]:
        return {clause.topic for clause in self.ruleset.clauses}

    def outcome(self, topic: str) -> TopicOutcome:
        """Gather the findings of one topic."""
        findings = tuple(self._by_topic.get(topic, ()))
        struck = tuple([s for s in self.ruleset.struck if s.topic == topic])
        practice = self._practice.get(topic, "")
        status = worst([f.status for f in findings])
        if not findings and topic in self._spoken:
            status = NOT_APPLICABLE  # the design states that it has no such part
        return TopicOutcome(topic, self.ruleset.name, status, findings, struck, practice)

    @property
    def status(self) -> int:
        """The status of the whole: the worst finding."""
        return worst([f.status for f in self.findings])


def evaluate(design: PreparedDesign, evaluator: Evaluator, vocabulary: Vocabulary) -> Evaluation:
    """Apply every clause of a rule set to a design. Raises InputError on a rule set's conflict."""
    rows = evaluator.rows(design)
    findings = tuple(finding_of(row, evaluator, vocabulary) for row in rows)
    return Evaluation(evaluator.ruleset, design, findings, evaluator)


def finding_of(row: Row, evaluator: Evaluator, vocabulary: Vocabulary) -> Finding:
    """Turn a clause's result in ticks into a finding."""
    index, part, (status, value, least, most, branch, missing) = row
    ruleset = evaluator.ruleset
    kind, unit, back = measure_of(index, evaluator, vocabulary)
    setting = None
    if branch.is_set_by_place:
        quantity = evaluator.plan.provides[index]
        setting = next(s for s in ruleset.settings if s.quantity == quantity)
    return Finding(
        ruleset.name,
        ruleset.clauses[index],
        part,
        STATUSES[status],
        value if isinstance(value, (str, bool)) else back(value),
        None if least is None else back(least),
        None if most is None else back(most),
        branch,
        tuple(dict.fromkeys(missing)) if missing else (),
        kind,
        unit,
        setting,
    )


def measure_of(index: int, evaluator: Evaluator, vocabulary: Vocabulary) -> Measure:
    """Return the kind and unit of a clause's figures and what turns its ticks back into them."""
    found = evaluator.measures.get(index)
    if found is None:
        clause = evaluator.ruleset.clauses[index]
        kind, unit = _kind(clause, evaluator.plan.provides[index], vocabulary)
        found = evaluator.measures[index] = kind, unit, _back(evaluator.scale, kind)
    return found


def _back(scale: Scale, kind: str) -> Callable[[object], Fraction | None]:
    per_unit = scale.of(kind)

    def back(ticks: object) -> Fraction | None:
        if type(ticks) is int:
            return Fraction(ticks, per_unit)
        if ticks is None or isinstance(ticks, bool) or not isinstance(ticks, int | Fraction):
            return None
        return scale.back(ticks, kind)

    return back


def _kind(clause: Clause, provides: str, vocabulary: Vocabulary) -> tuple[str, str]:
    if provides:
        definition = vocabulary.quantities[provides]
        return definition.kind, definition.unit
    requirement = clause.requirement
    if isinstance(requirement, Limit):
        if isinstance(requirement.subject, Distance):
            return "length", "in"
        definition = vocabulary.quantities[requirement.subject]
        return definition.kind, definition.unit
    for exception in clause.exceptions:
        inner = exception.requirement
        if isinstance(inner, Limit) and isinstance(inner.subject, str):
            definition = vocabulary.quantities[inner.subject]
            return definition.kind, definition.unit
    topic = vocabulary.topics.get(clause.topic)
    return "length", topic.unit if topic else ""
