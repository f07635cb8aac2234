"""The facts under one exchange of what provides and what a jurisdiction sets.

Clauses that provide nothing cannot change what another clause reads. So the facts depend only on
which of the providing clauses and settings are exchanged, and are worked out once for each.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from deckclause.compare.rule_diff.pair import Entry, RulePair, in_order
from deckclause.evaluate.evaluator import Result, settled_missing
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.runtime import BEYOND
from deckclause.evaluate.status import COMPLIES, ENGINEERING_REQUIRED, INFORMATION_MISSING
from deckclause.rulesets.vocabulary import Vocabulary

Distances = dict[tuple[str, str], Any]


class Contradiction(Exception):
    """Two clauses of a hybrid give a quantity two values: the hybrid is no rule set."""


class Place:
    """One part of the deck under a hybrid: its facts in the ticks of either side."""

    __slots__ = ("distances", "facts", "given", "part", "unknown")

    def __init__(
        self, part: str, facts: tuple[dict[str, Any], ...], distances: tuple[Distances, ...]
    ) -> None:
        self.part = part
        self.facts = facts
        self.distances = distances
        self.given: set[str] = set()
        self.unknown: dict[str, tuple[Any, ...]] = {}
        """What a quantity that no clause could give was lacking in its turn."""


class HybridFacts:
    """The facts of every part under one exchange, and what the providing clauses came to."""

    def __init__(
        self,
        pair: RulePair,
        design: PreparedDesign,
        vocabulary: Vocabulary,
        providers: list[Entry],
        exchanged: frozenset[str],
    ) -> None:
        self.pair, self.design, self.vocabulary = pair, design, vocabulary
        self.settings = _settings(pair, exchanged)
        self.results: list[tuple[Entry, str, Result]] = []
        ordered = in_order(providers)
        self.once = self._once()
        for entry in ordered:
            if not entry.group:
                self._run(entry, self.once)
        self._ordered = ordered
        self._parts: dict[str, list[Place]] = {}
        for group in dict.fromkeys(e.group for e in ordered if e.group):
            self.places(group)

    def places(self, group: str) -> list[Place]:
        """Return the places a clause is read for: the deck once, or each part of a group."""
        if not group:
            return [self.once]
        if group not in self._parts:
            self._parts[group] = self._places(group)
        return self._parts[group]

    def _once(self) -> Place:
        ticks = [self.design.once(side.scale) for side in self.pair.sides]
        facts = tuple({**t.facts, **self._fixed(i)} for i, t in enumerate(ticks))
        return Place("", facts, tuple(t.distances for t in ticks))

    def _places(self, group: str) -> list[Place]:
        sides = [self.design.parts(group, side.scale) for side in self.pair.sides]
        found = []
        for both in zip(*sides, strict=True):
            facts = tuple(
                {**ticks.facts, **self.once.facts[i]} for i, (_, ticks) in enumerate(both)
            )
            place = Place(both[0][0], facts, tuple(ticks.distances for _, ticks in both))
            place.given = set(self.once.given)
            place.unknown = dict(self.once.unknown)
            for entry in self._ordered:
                if entry.group == group:
                    self._run(entry, place)
            found.append(place)
        return found

    def _fixed(self, side: int) -> dict[str, Any]:
        scale, quantities = self.pair.sides[side].scale, self.vocabulary.quantities
        return {q: scale.ticks(v, quantities[q]) for q, v in self.settings.items()}

    def _run(self, entry: Entry, place: Place) -> None:
        result = self.result_of(entry, place)
        quantity = entry.provides
        if quantity in self.settings:
            value = place.facts[entry.side][quantity]
            result = (COMPLIES, value, None, None, 0, None)
        else:
            self._give(entry, quantity, result, place)
        self.results.append((entry, place.part, result))

    def _give(self, entry: Entry, quantity: str, result: Result, place: Place) -> None:
        status = result[0]
        if status == COMPLIES:
            if quantity in place.given and place.facts[entry.side][quantity] != result[1]:
                raise Contradiction
            for side, value in enumerate(self._on_both_sides(entry, quantity, result[1])):
                place.facts[side][quantity] = value
            place.given.add(quantity)
        elif quantity not in place.given and status in (ENGINEERING_REQUIRED, INFORMATION_MISSING):
            for facts in place.facts:
                facts[quantity] = BEYOND if status == ENGINEERING_REQUIRED else None
        if status == INFORMATION_MISSING and result[5]:
            place.unknown[quantity] = result[5]

    def result_of(self, entry: Entry, place: Place) -> Result:
        """Run a clause of either side on the facts of a place; what is missing is named to its root."""
        function = self.pair.sides[entry.side].functions[entry.index]
        result = function(place.facts[entry.side].get, place.distances[entry.side])
        return settled_missing(result, place.unknown)

    def _on_both_sides(self, entry: Entry, quantity: str, value: Any) -> tuple[Any, ...]:
        if isinstance(value, bool) or not isinstance(value, int | Fraction):
            return value, value
        definition = self.vocabulary.quantities[quantity]
        exact = self.pair.sides[entry.side].scale.back(value, definition.kind)
        return tuple(side.scale.ticks(exact, definition) for side in self.pair.sides)


def _settings(pair: RulePair, exchanged: frozenset[str]) -> dict[str, Any]:
    values: dict[str, Any] = {}
    for key in dict.fromkeys([*pair.settings[0], *pair.settings[1]]):
        setting = pair.settings[1 if key in exchanged else 0].get(key)
        if setting is not None:
            values[setting.quantity] = setting.value
    return values
