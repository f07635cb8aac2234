"""Counts by permit: who complied on everything looked at and no longer does, who cannot be told.

A permit complies where no topic looked at fails, is unknown or needs engineering, and its deck holds
together; it fails where one fails or the deck does not hold together; else it is undecided.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import numpy as np
from msgspec import Struct, field

from deckclause.compare.comparison import WORKED_OUT
from deckclause.evaluate.columns.columns import Mask, Numbers
from deckclause.evaluate.columns.derive import FactTable
from deckclause.evaluate.evaluator import Evaluator
from deckclause.evaluate.regions.rule_set import topic_reads
from deckclause.evaluate.status import (
    COMPLIES,
    DOES_NOT_COMPLY,
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
)
from deckclause.impact.together import HeldTogether
from deckclause.rulesets.walk import distances

COMPLYING, UNDECIDED, FAILING = range(3)
JUDGED = (COMPLIES, DOES_NOT_COMPLY, ENGINEERING_REQUIRED)
"""Statuses that say something of a permit; not those of a topic that does not concern it."""


class TopicNeeds(Struct, frozen=True):
    """What a topic's clauses read of a design: quantities and distances."""

    quantities: frozenset[str]
    pairs: frozenset[tuple[str, str]]


class PermitCounter:
    """Counts permits of a chunk; knows what each topic of the second rule set reads."""

    def __init__(self, one: Evaluator, two: Evaluator, topics: Iterable[str]) -> None:
        self.topics = tuple(topics)
        self.needs = {topic: _needs(two, topic) for topic in self.topics}
        self.reads = {t: _joined(_needs(one, t), self.needs[t]) for t in self.topics}

    def count(
        self,
        before: Numbers,
        after: Numbers,
        table: FactTable,
        kept: Mask,
        together: HeldTogether | None = None,
        *,
        narrowed: bool = False,
    ) -> dict[str, Any]:
        """Return counts as plain data; `before` and `after` are statuses, topics by rows.

        No permit is counted as complying whose deck does not hold together, or, unless the topics
        were `narrowed` by name, is not known to.
        """
        wholly, decidedly = _held(together, kept, narrowed=narrowed)
        first, second = (_standing(side)[kept] for side in (before, after))
        by_rules = _moves(first, second)
        moves = _moves(*(np.maximum(side, wholly[kept]) for side in (first, second)))
        fails = (after == DOES_NOT_COMPLY) & (before != DOES_NOT_COMPLY) & kept
        good = np.zeros(kept.shape, bool)
        good[kept] = first == COMPLYING
        lacking = self._lacking(after, table) & kept
        decided = self._decided(before, after, table) & kept
        some = decided.any(axis=0)
        on_decided = _moves(
            *(
                np.maximum(_standing(np.where(decided, side, COMPLIES)), decidedly)[some]
                for side in (before, after)
            )
        )
        return {
            "moves": moves,
            "moves_by_rules": by_rules,
            "moves_on_decided": on_decided,
            "decided_on": self._by_topic(decided),
            "open_before_on": self._by_topic(_open(before) & kept),
            "newly_failing": int(fails.any(axis=0).sum()),
            "newly_failing_on": self._by_topic(fails),
            "complying_newly_failing_on": self._by_topic(fails & good),
            "lacking": int(lacking.any(axis=0).sum()),
            "lacking_on": self._by_topic(lacking),
        }

    def _decided(self, before: Numbers, after: Numbers, table: FactTable) -> Mask:
        """Mark where neither rule set lacks a fact and one judges something the permit states.

        A topic that only gives a figure judges nothing, and a permit that states nothing of what a
        topic reads is not judged by it.
        """
        known = (before != INFORMATION_MISSING) & (after != INFORMATION_MISSING)
        judged = np.isin(np.arange(256), JUDGED)  # by status: quicker than to search each one
        decided = np.asarray(known & (judged[before] | judged[after]))
        for place, topic in enumerate(self.topics):
            if topic not in WORKED_OUT and decided[place].any():
                decided[place] &= _touched(self.reads[topic], table)
        return decided

    def _by_topic(self, masks: Mask) -> dict[str, int]:
        sums = masks.sum(axis=1).tolist()
        return {topic: int(n) for topic, n in zip(self.topics, sums, strict=True) if n}

    def _lacking(self, after: Numbers, table: FactTable) -> Mask:
        """Mark where information is missing though every fact the topic's clauses read is stated."""
        missing = np.asarray(after == INFORMATION_MISSING)
        for place, topic in enumerate(self.topics):
            if topic in WORKED_OUT:
                missing[place] = False  # solved from all clauses: what it rests on is not told
            elif missing[place].any():
                missing[place] &= _stated(self.needs[topic], table)
        return missing


def _moves(first: Numbers, second: Numbers) -> list[list[int]]:
    """Count permits by how they stand before and after."""
    found = np.bincount(first.astype(np.int64) * 3 + second, minlength=9).reshape(3, 3)
    return [[int(count) for count in line] for line in found]


def _held(together: HeldTogether | None, kept: Mask, *, narrowed: bool) -> tuple[Numbers, Numbers]:
    """Return how each row stands by holding together alone: on everything, and on what is decided."""
    if together is None:
        nothing = np.full(kept.shape, COMPLYING, np.int64)
        return nothing, nothing
    fails = together.status == DOES_NOT_COMPLY
    holds = together.status == COMPLIES
    engineer = together.status == ENGINEERING_REQUIRED
    decidedly = np.where(fails, FAILING, np.where(engineer, UNDECIDED, COMPLYING))
    if narrowed:
        return np.where(fails, FAILING, COMPLYING), decidedly
    return np.where(fails, FAILING, np.where(holds, COMPLYING, UNDECIDED)), decidedly


def _standing(statuses: Numbers) -> Numbers:
    fails = (statuses == DOES_NOT_COMPLY).any(axis=0)
    undecided = _open(statuses).any(axis=0)
    return np.where(fails, FAILING, np.where(undecided, UNDECIDED, COMPLYING))


def _open(statuses: Numbers) -> Mask:
    return np.asarray((statuses == INFORMATION_MISSING) | (statuses == ENGINEERING_REQUIRED))


def _needs(two: Evaluator, topic: str) -> TopicNeeds:
    ruleset = two.ruleset
    given = {quantity for quantity in two.plan.provides if quantity}
    given |= {setting.quantity for setting in ruleset.settings}
    reads = frozenset(topic_reads(ruleset, two.plan, topic)) - given
    pairs = {(d.start, d.end) for c in ruleset.topic_clauses(topic) for d in distances(c)}
    return TopicNeeds(reads, frozenset(pairs))


def _joined(one: TopicNeeds, two: TopicNeeds) -> TopicNeeds:
    return TopicNeeds(one.quantities | two.quantities, one.pairs | two.pairs)


def _touched(needs: TopicNeeds, table: FactTable) -> Mask:
    """Return the rows that state any of it; a design left whole counts as one that does."""
    touched = np.array(table.left)
    for wanted, columns in ((needs.quantities, table.columns), (needs.pairs, table.distances)):
        for (_, name), column in columns.items():
            if name in wanted:
                touched |= column.known_rows()
    return touched


def _stated(needs: TopicNeeds, table: FactTable) -> Mask:
    """Return the rows on which all of it is known; a design left whole counts as not known."""
    known = ~table.left
    for wanted, columns in ((needs.quantities, table.columns), (needs.pairs, table.distances)):
        here: dict[Any, list[Mask]] = {}
        for (_, name), column in columns.items():
            if name in wanted:
                here.setdefault(name, []).append(column.known_rows())
        for name in wanted:
            masks = here.get(name)
            known = known & (np.logical_or.reduce(masks) if masks else False)
    return np.asarray(known)


class PermitTotal(Struct):
    """The counts by permit over the whole archive."""

    moves: list[list[int]] = field(default_factory=lambda: [[0] * 3 for _ in range(3)])
    moves_by_rules: list[list[int]] = field(default_factory=lambda: [[0] * 3 for _ in range(3)])
    """The same by the rule sets alone, whether the deck holds together left out."""
    moves_on_decided: list[list[int]] = field(default_factory=lambda: [[0] * 3 for _ in range(3)])
    """The same over the topics decided for each permit; one without such a topic is not in it."""
    decided_on: dict[str, int] = field(default_factory=dict)
    """By topic, how many permits both rule sets judge, with every fact they need."""
    newly_failing: int = 0
    newly_failing_on: dict[str, int] = field(default_factory=dict)
    complying_newly_failing_on: dict[str, int] = field(default_factory=dict)
    open_before_on: dict[str, int] = field(default_factory=dict)
    lacking: int = 0
    lacking_on: dict[str, int] = field(default_factory=dict)

    def add(self, found: dict[str, Any]) -> None:
        """Add one chunk's counts."""
        for name in ("moves", "moves_by_rules", "moves_on_decided"):
            for line, more in zip(getattr(self, name), found[name], strict=True):
                for place, count in enumerate(more):
                    line[place] += count
        self.newly_failing += found["newly_failing"]
        self.lacking += found["lacking"]
        for name in (
            "decided_on",
            "newly_failing_on",
            "complying_newly_failing_on",
            "open_before_on",
            "lacking_on",
        ):
            mine = getattr(self, name)
            for topic, count in found[name].items():
                mine[topic] = mine.get(topic, 0) + count


def most_first(counts: dict[str, int], most: int = 3) -> list[tuple[str, int]]:
    """Return the greatest counts, the greatest first.

    >>> most_first({"a": 1, "b": 3, "c": 2, "d": 2})
    [('b', 3), ('c', 2), ('d', 2)]
    """
    return sorted(counts.items(), key=lambda item: (-item[1], item[0]))[:most]
