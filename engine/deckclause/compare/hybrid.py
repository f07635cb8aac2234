"""Hybrids: a rule set with some clauses exchanged for another's, evaluated for real.

A claim that a clause drives a difference is only made after its hybrid has been evaluated.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from deckclause.compare.difference import SETTING, differing_keys, settings_by_key
from deckclause.evaluate.evaluator import SET_BY_PLACE, Evaluator, Row
from deckclause.evaluate.findings import Finding, finding_of
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.runtime import BEYOND
from deckclause.evaluate.status import (
    COMPLIES,
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
    NOT_APPLICABLE,
    SEVERITY,
    worst,
)
from deckclause.rulesets.vocabulary import Vocabulary
from deckclause.rulesets.walk import clause_reads

Signature = tuple[int, Fraction | None, Fraction | None, Any]
"""(status, least, most, value provided) of the governing finding: two outcomes differ when these do."""


@dataclass(frozen=True, slots=True)
class _Entry:
    """One clause of one of the two rule sets, where its function stands."""

    side: int
    index: int
    key: str
    topic: str
    group: str
    provides: str
    reads: tuple[str, ...]


def signature(findings: list[Finding], *, spoken: bool = False) -> Signature:
    """Return the signature of a topic's findings.

    `spoken` tells that the rule set has clauses on the topic: with no finding, the design states
    that it has no such part, and the topic is not applicable.
    """
    status = worst([f.status for f in findings])
    if spoken and not findings:
        return NOT_APPLICABLE, None, None, None
    same = [f for f in findings if f.status == status]
    if not same:
        return status, None, None, None
    provided = tuple(
        f.value for f in same if f.least is None and f.most is None and f.value is not None
    )
    least = max((f.least for f in same if f.least is not None), default=None)
    most = min((f.most for f in same if f.most is not None), default=None)
    return status, least, most, provided


class HybridRunner:
    """Evaluates one topic under exchanges between two rule sets, remembering each result."""

    def __init__(
        self,
        one: Evaluator,
        two: Evaluator,
        design: PreparedDesign,
        vocabulary: Vocabulary,
        topic: str,
    ) -> None:
        self.sides = (one, two)
        self.design = design
        self.vocabulary = vocabulary
        self.topic = topic
        entries = [self._entries(side) for side in (0, 1)]
        needed = self._needed(entries)
        self._by_key = [{e.key: e for e in side if e.key in needed} for side in entries]
        self.settings = tuple(settings_by_key(e.ruleset) for e in self.sides)
        reads = {q for side in self._by_key for e in side.values() for q in e.reads}
        reads |= {e.provides for side in self._by_key for e in side.values() if e.provides}
        self.keys = tuple(
            key
            for key in differing_keys(one.ruleset, two.ruleset)
            if key in needed or (key.startswith(SETTING) and key.removeprefix(SETTING) in reads)
        )
        self._remembered: dict[frozenset[str], Signature] = {}

    def _entries(self, side: int) -> list[_Entry]:
        evaluator = self.sides[side]
        group_of = {i: g for g, order in evaluator.plan.groups for i in order}
        return [
            _Entry(
                side,
                i,
                clause.key,
                clause.topic,
                group_of.get(i, ""),
                evaluator.plan.provides[i],
                clause_reads(clause),
            )
            for i, clause in enumerate(evaluator.ruleset.clauses)
        ]

    def _needed(self, entries: list[list[_Entry]]) -> set[str]:
        """Return the keys of the topic's clauses and of all that provide what they read."""
        everything = [e for side in entries for e in side]
        wanted = [e for e in everything if e.topic == self.topic]
        keys: set[str] = set()
        while wanted:
            entry = wanted.pop()
            if entry.key in keys:
                continue
            keys.add(entry.key)
            same = [e for e in everything if e.key == entry.key]
            reads = {q for e in same for q in e.reads}
            wanted += [e for e in everything if e.provides in reads and e.provides]
        return keys

    def signature(self, exchanged: frozenset[str] = frozenset()) -> Signature:
        """Return the topic's signature under the first rule set with `exchanged` from the second."""
        if exchanged not in self._remembered:
            spoken = any(e.topic == self.topic for e in self._chosen(exchanged))
            self._remembered[exchanged] = signature(self.findings(exchanged), spoken=spoken)
        return self._remembered[exchanged]

    def findings(self, exchanged: frozenset[str]) -> list[Finding]:
        """Return the topic's findings under the first rule set with `exchanged` from the second."""
        chosen = self._chosen(exchanged)
        settings = self._settings(exchanged)
        groups = {e.group for e in chosen if e.group}
        findings: list[Finding] = []
        if not groups:
            self._run(chosen, "", "", settings, findings)
        for group in groups:
            for part in self.design.design.values(group):
                self._run(chosen, group, part.name, settings, findings)
        return findings

    def _chosen(self, exchanged: frozenset[str]) -> list[_Entry]:
        chosen: list[_Entry] = []
        for key in dict.fromkeys([*self._by_key[0], *self._by_key[1]]):
            entry = self._by_key[1 if key in exchanged else 0].get(key)
            if entry is not None:
                chosen.append(entry)
        return _in_order(chosen)

    def _settings(self, exchanged: frozenset[str]) -> dict[str, Any]:
        values: dict[str, Any] = {}
        for key in dict.fromkeys([*self.settings[0], *self.settings[1]]):
            setting = self.settings[1 if key in exchanged else 0].get(key)
            if setting is not None:
                values[setting.quantity] = setting.value
        return values

    def _run(
        self,
        chosen: list[_Entry],
        group: str,
        part: str,
        settings: dict[str, Any],
        findings: list[Finding],
    ) -> None:
        both = [self._facts(side, group, part, settings) for side in (0, 1)]
        for entry in chosen:
            facts, distances = both[entry.side]
            evaluator = self.sides[entry.side]
            result = evaluator.functions[entry.index](facts.get, distances)
            if entry.provides:
                result = self._provide(entry, result, both, settings)
            if entry.topic == self.topic:
                row: Row = (entry.index, part, result)
                findings.append(self._finding(row, evaluator, entry, settings))

    def _finding(
        self, row: Row, evaluator: Evaluator, entry: _Entry, settings: dict[str, Any]
    ) -> Finding:
        index, part, result = row
        if result[4] == SET_BY_PLACE:
            result = (*result[:4], 0, None)
        return finding_of((index, part, result), evaluator, self.vocabulary)

    def _facts(
        self, side: int, group: str, part: str, settings: dict[str, Any]
    ) -> tuple[dict[str, Any], dict[tuple[str, str], Any]]:
        scale = self.sides[side].scale
        once = self.design.once(scale)
        facts, distances = once.facts, once.distances
        if group:
            for name, ticks in self.design.parts(group, scale):
                if name == part:
                    facts, distances = ticks.facts, ticks.distances
        quantities = self.vocabulary.quantities
        fixed = {q: scale.ticks(v, quantities[q]) for q, v in settings.items()}
        return {**facts, **fixed}, distances

    def _provide(
        self, entry: _Entry, result: Any, both: list[Any], settings: dict[str, Any]
    ) -> Any:
        quantity = entry.provides
        if quantity in settings:
            facts = both[entry.side][0]
            return (COMPLIES, facts[quantity], None, None, SET_BY_PLACE, None)
        kind = self.vocabulary.quantities[quantity].kind
        for side, (facts, _) in enumerate(both):
            if result[0] == COMPLIES:
                value = result[1]
                if isinstance(value, int | Fraction) and not isinstance(value, bool):
                    exact = self.sides[entry.side].scale.back(value, kind)
                    value = self.sides[side].scale.ticks(
                        exact, self.vocabulary.quantities[quantity]
                    )
                facts[quantity] = value
            elif result[0] == ENGINEERING_REQUIRED:
                facts.setdefault(quantity, BEYOND)
        return result


def _in_order(chosen: list[_Entry]) -> list[_Entry]:
    """Put what provides a quantity before what reads it."""
    providers: dict[str, list[_Entry]] = {}
    for entry in chosen:
        if entry.provides:
            providers.setdefault(entry.provides, []).append(entry)
    done: dict[str, _Entry] = {}

    def visit(entry: _Entry, above: tuple[str, ...]) -> None:
        if entry.key in done or entry.key in above:
            return
        for quantity in entry.reads:
            for provider in providers.get(quantity, ()):
                visit(provider, (*above, entry.key))
        done[entry.key] = entry

    for entry in chosen:
        visit(entry, ())
    return list(done.values())


def is_decided(status: int) -> bool:
    """Tell whether a status is an answer rather than a question."""
    return status != INFORMATION_MISSING and SEVERITY[status] >= 0
