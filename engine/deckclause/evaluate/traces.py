"""The traces of one evaluation's findings: each read again, when asked for, on the facts it had."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from msgspec.structs import replace

from deckclause.designs.geometry import known_distances
from deckclause.evaluate.findings import Evaluation, Finding
from deckclause.evaluate.plan import clause_group
from deckclause.evaluate.reference import Given
from deckclause.reading.branch import SET_BY_PLACE
from deckclause.reading.exact import Distances
from deckclause.reading.forms import Every, Rule
from deckclause.reading.lower import lower
from deckclause.reading.trace import Outcome, Step, Trace
from deckclause.rulesets.vocabulary import Vocabulary


class Traces:
    """Reads findings again with the reference reader; it comes to the same, and keeps how.

    The facts of a clause are those of its part, what the place sets, and what the findings before
    it gave. A finding whose clause is none of the rule set's (worked out from several together) is
    read on the same facts.
    """

    def __init__(self, evaluation: Evaluation, vocabulary: Vocabulary) -> None:
        self.evaluation = evaluation
        self.vocabulary = vocabulary
        evaluator = evaluation.evaluator
        self._place = {id(c): i for i, c in enumerate(evaluator.ruleset.clauses)}
        self._group = {i: group for group, order in evaluator.plan.groups for i in order}
        self._given: dict[tuple[str, str], tuple[Given, Distances]] = {}
        self._traces: dict[tuple[int, str], Trace[Outcome]] = {}

    def of(self, finding: Finding) -> Trace[Outcome]:
        """Return the trace of a finding."""
        key = (id(finding.clause), finding.part)
        if key not in self._traces:
            self._traces[key] = self._read(finding)
        return self._traces[key]

    def facts(self, finding: Finding) -> dict[str, Any]:
        """Return the known facts the finding could read: stated, derived, given and set."""
        given, _ = self._read_on(finding)
        return given.known

    def read_if(self, place: int, part: str, otherwise: Mapping[str, Any]) -> Trace[Outcome]:
        """Read a clause, by its place in the rule set, for a part as if some facts were otherwise."""
        given, distances = self._given_to(self.group(place), part)
        return replace(given, facts={**given.facts, **otherwise}).read(
            self.evaluation.evaluator.rule(place), distances
        )

    def group(self, place: int) -> str:
        """Return the part of the deck a clause is read for, by its place; empty: the whole deck."""
        return self._group.get(place, "")

    def _read(self, finding: Finding) -> Trace[Outcome]:
        rule = self.rule(finding)
        if finding.setting is not None:
            outcome = Outcome(finding.status, finding.value)
            return Trace(rule, outcome, SET_BY_PLACE, Step(Every(()), True))
        given, distances = self._read_on(finding)
        return given.read(rule, distances)

    def rule(self, finding: Finding) -> Rule:
        """Return a finding's clause as lowered."""
        place = self._place.get(id(finding.clause))
        if place is None:
            return lower(finding.clause, self.vocabulary.quantities)
        return self.evaluation.evaluator.rule(place)

    def _read_on(self, finding: Finding) -> tuple[Given, Distances]:
        place = self._place.get(id(finding.clause))
        if place is None:
            group = clause_group(finding.clause, self.vocabulary.quantities)
        else:
            group = self.group(place)
        return self._given_to(group, finding.part)

    def _given_to(self, group: str, part: str) -> tuple[Given, Distances]:
        here = (group, part)
        if here not in self._given:
            self._given[here] = self._gathered(group, part)
        return self._given[here]

    def _gathered(self, group: str, part: str) -> tuple[Given, Distances]:
        """Gather what the findings gave, in their order, to the whole deck and then to the part."""
        evaluation = self.evaluation
        facts = evaluation.design.facts(group, part)
        settings = {s.quantity: s.value for s in evaluation.ruleset.settings}
        given = Given({**facts, **evaluation.design.facts(), **settings})
        for finding in evaluation.findings:
            place = self._place.get(id(finding.clause))
            quantity = "" if place is None else evaluation.evaluator.plan.provides[place]
            if quantity and finding.setting is None and finding.part in ("", part):
                outcome = Outcome(finding.status, finding.value, missing=finding.missing)
                given.give(quantity, outcome)
        return given, known_distances(facts)
