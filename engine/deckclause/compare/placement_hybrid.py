"""Exchanges of distance clauses between two rule sets, each solved on the design's boards."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from deckclause.compare.difference import substance
from deckclause.compare.mixed_facts import MixedFacts
from deckclause.compare.outcome import Outcome
from deckclause.compare.placement_rows import PlacementRows
from deckclause.placement.from_rules import RuleLimit


class PlacementHybrid:
    """One topic under exchanges of clauses between two rule sets."""

    def __init__(self, rows: PlacementRows, first: int, second: int, topic: str) -> None:
        self.rows, self.topic = rows, topic
        self.rules = tuple(rows.rules[n] for n in (first, second))
        self.sides = tuple(_by_key(rows.relevant(topic, rows.limits[n])) for n in (first, second))
        self.clauses = tuple({c.key: c for _, c, _ in rules.clauses} for rules in self.rules)
        self.names = tuple(dict.fromkeys([*self.sides[0], *self.sides[1]]))
        self.mixed: MixedFacts | None = None
        if any(rules.reads_provided for rules in self.rules):
            reads = dict.fromkeys(name for rules in self.rules for name in sorted(rules.reads))
            self.mixed = MixedFacts(self.rules[0].evaluator, self.rules[1].evaluator, reads)
        differing = [key for key in self.names if self._differs(key)]
        self.keys = (*differing, *(self.mixed.keys if self.mixed else ()))
        self._remembered: dict[frozenset[str], Outcome] = {}

    def _differs(self, key: str) -> bool:
        one, two = (side.get(key) for side in self.clauses)
        return bool(substance(one) != substance(two))

    def outcome(self, exchanged: frozenset[str] = frozenset()) -> Outcome:
        """Return the outcome under the first rule set with `exchanged` from the second."""
        if exchanged not in self._remembered:
            limits = [item for key in self.names for item in self._limits(key, exchanged)]
            self._remembered[exchanged] = self.rows.outcome(self.topic, limits)
        return self._remembered[exchanged]

    def _limits(self, key: str, exchanged: frozenset[str]) -> Iterable[RuleLimit]:
        side = 1 if key in exchanged else 0
        mixed = self.mixed
        if mixed is None:
            return self.sides[side].get(key, ())

        def known(part: str, facts: dict[str, Any]) -> dict[str, Any]:
            del part
            return mixed.facts(facts, exchanged)

        rules, design = self.rules[side], self.rows.design
        axis = rules.vocabulary.datums
        return [
            limit
            for entry in rules.clauses
            if entry[1].key == key and axis[entry[2].start].axis == "vertical"
            for limit in rules.limits_of(entry, design, known)
        ]


def _by_key(limits: Iterable[RuleLimit]) -> Mapping[str, list[RuleLimit]]:
    found: dict[str, list[RuleLimit]] = {}
    for item in limits:
        found.setdefault(item.clause.key, []).append(item)
    return found
