"""Two rule sets side by side: their clauses by key, what differs, what each topic rests on.

All of this is the same for every design and topic, so it is worked out once for a pair.
"""

from __future__ import annotations

from msgspec import Struct

from deckclause.compare.difference import SETTING, keys_that_differ, settings_by_key
from deckclause.evaluate.evaluator import Evaluator


class Entry(Struct, frozen=True):
    """One clause of one of the two rule sets, where its function stands."""

    side: int
    index: int
    key: str
    topic: str
    group: str
    provides: str
    reads: tuple[str, ...]


class RulePair:
    """Two rule sets ready to exchange clauses."""

    def __init__(self, one: Evaluator, two: Evaluator) -> None:
        self.sides = (one, two)
        self.entries = tuple(_entries(side, e) for side, e in enumerate(self.sides))
        self.by_key = tuple({e.key: e for e in side} for side in self.entries)
        self.settings = tuple(settings_by_key(e.ruleset) for e in self.sides)
        self.differing = keys_that_differ(one, two)
        self._needed: dict[str, frozenset[str]] = {}
        self._providers: dict[str, list[Entry]] = {}
        for entry in (e for side in self.entries for e in side):
            if entry.provides:
                self._providers.setdefault(entry.provides, []).append(entry)

    def needed(self, topic: str) -> frozenset[str]:
        """Return the keys of a topic's clauses and of all that provide what they read."""
        if topic not in self._needed:
            waiting = {e.key for side in self.entries for e in side if e.topic == topic}
            found: set[str] = set()
            while waiting:
                key = waiting.pop()
                found.add(key)
                reads = {q for side in self.by_key if key in side for q in side[key].reads}
                waiting |= {e.key for q in reads for e in self._providers.get(q, ())} - found
            self._needed[topic] = frozenset(found)
        return self._needed[topic]

    def keys(self, topic: str) -> tuple[str, ...]:
        """Return the keys that differ and that a topic's outcome may rest on."""
        needed = self.needed(topic)
        clauses = [side[key] for side in self.by_key for key in needed if key in side]
        reads = {q for entry in clauses for q in entry.reads}
        reads |= {entry.provides for entry in clauses if entry.provides}
        return tuple(
            key
            for key in self.differing
            if key in needed or (key.startswith(SETTING) and key.removeprefix(SETTING) in reads)
        )


def _entries(side: int, evaluator: Evaluator) -> tuple[Entry, ...]:
    plan = evaluator.plan
    group_of = {i: group for group, order in plan.groups for i in order}
    reads = plan.reads
    return tuple(
        Entry(side, i, clause.key, clause.topic, group_of.get(i, ""), plan.provides[i], reads[i])
        for i, clause in enumerate(evaluator.ruleset.clauses)
    )


def in_order(chosen: list[Entry]) -> list[Entry]:
    """Put what provides a quantity before what reads it."""
    providers: dict[str, list[Entry]] = {}
    for entry in chosen:
        if entry.provides:
            providers.setdefault(entry.provides, []).append(entry)
    done: dict[str, Entry] = {}

    def visit(entry: Entry, above: tuple[str, ...]) -> None:
        if entry.key in done or entry.key in above:
            return
        for quantity in entry.reads:
            for provider in providers.get(quantity, ()):
                visit(provider, (*above, entry.key))
        done[entry.key] = entry

    for entry in chosen:
        visit(entry, ())
    return list(done.values())
