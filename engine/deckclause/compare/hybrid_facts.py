"""The facts under one exchange of what provides and what a jurisdiction sets.

Clauses that provide nothing cannot change what another clause reads. So the facts depend only on
which of the providing clauses and settings are exchanged, and are worked out once for each. Clauses
of either side are read by the reference reader on the same exact facts.
"""

from __future__ import annotations

from typing import Any

from msgspec import Struct

from deckclause.compare.rule_diff.pair import Entry, RulePair, in_order
from deckclause.designs.geometry import known_distances
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.reference import Given
from deckclause.reading.branch import SET_BY_PLACE
from deckclause.reading.exact import Distances
from deckclause.reading.forms import Every
from deckclause.reading.status import COMPLIES
from deckclause.reading.trace import Outcome, Step, Trace


class Contradiction(Exception):
    """Two clauses of a hybrid give a quantity two values: the hybrid is no rule set."""


class PartRead(Struct):
    """One part of the deck under a hybrid: its distances, and the facts clauses read there."""

    part: str
    distances: Distances
    given: Given


class HybridFacts:
    """The facts of every part under one exchange, and what the providing clauses came to."""

    def __init__(
        self,
        pair: RulePair,
        design: PreparedDesign,
        providers: list[Entry],
        exchanged: frozenset[str],
    ) -> None:
        self.pair, self.design = pair, design
        self.settings = _settings(pair, exchanged)
        self.results: list[tuple[Entry, str, Trace[Outcome]]] = []
        ordered = in_order(providers)
        facts = design.facts()
        self.once = PartRead("", known_distances(facts), Given({**facts, **self.settings}))
        for entry in ordered:
            if not entry.group:
                self._run(entry, self.once)
        self._ordered = ordered
        self._parts: dict[str, list[PartRead]] = {}
        for group in dict.fromkeys(e.group for e in ordered if e.group):
            self.places(group)

    def places(self, group: str) -> list[PartRead]:
        """Return the places a clause is read for: the deck once, or each part of a group."""
        if not group:
            return [self.once]
        if group not in self._parts:
            self._parts[group] = self._places(group)
        return self._parts[group]

    def _places(self, group: str) -> list[PartRead]:
        found = []
        for name, facts in self.design.named_parts(group):
            place = PartRead(name, known_distances(facts), self.once.given.of_part(facts))
            for entry in self._ordered:
                if entry.group == group:
                    self._run(entry, place)
            found.append(place)
        return found

    def _run(self, entry: Entry, place: PartRead) -> None:
        quantity = entry.provides
        if quantity in self.settings:
            trace = self._set(entry, self.settings[quantity])
        else:
            trace = self.trace_of(entry, place)
            if not place.given.give(quantity, trace.outcome):
                raise Contradiction
        self.results.append((entry, place.part, trace))

    def _set(self, entry: Entry, value: Any) -> Trace[Outcome]:
        rule = self.pair.sides[entry.side].rule(entry.index)
        return Trace(rule, Outcome(COMPLIES, value), SET_BY_PLACE, Step(Every(()), True))

    def trace_of(self, entry: Entry, place: PartRead) -> Trace[Outcome]:
        """Read a clause of either side on the facts of a place."""
        return place.given.read(self.pair.sides[entry.side].rule(entry.index), place.distances)


def _settings(pair: RulePair, exchanged: frozenset[str]) -> dict[str, Any]:
    values: dict[str, Any] = {}
    for key in dict.fromkeys([*pair.settings[0], *pair.settings[1]]):
        setting = pair.settings[1 if key in exchanged else 0].get(key)
        if setting is not None:
            values[setting.quantity] = setting.value
    return values
