"""Hybrids: a rule set with some clauses exchanged for another's, evaluated for real.

A claim that a clause drives a difference is only made after its hybrid has been evaluated. Each
clause of either side is run once on each set of facts an exchange can bring about; a hybrid's
outcome is put together from those results, so that even tens of thousands of exchanges are quick.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from typing import Any

from deckclause.compare.difference import SETTING
from deckclause.compare.hybrid_facts import Contradiction, HybridFacts, result_of
from deckclause.compare.rule_diff.pair import Entry, RulePair
from deckclause.evaluate.evaluator import Evaluator, Result
from deckclause.evaluate.findings import Finding, measure_of
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.runtime import ExceptionsConflict
from deckclause.evaluate.status import NOT_APPLICABLE, NOT_REGULATED, SEVERITY, worst
from deckclause.rulesets.vocabulary import Vocabulary

Signature = tuple[int, Fraction | None, Fraction | None, Any]
"""(status, least, most, values provided) of the worst findings: two outcomes differ when these do."""
CONTRADICTS_ITSELF: Signature = (-1, None, None, None)
"""What a hybrid comes to that is no rule set: it gives a quantity two values."""

_Part = tuple[int, Fraction | None, Fraction | None, tuple[Any, ...]]
"""The like of a signature for some of a topic's findings; the status is -1 where there are none."""
_NOTHING: _Part = (-1, None, None, ())


def signature(findings: list[Finding], *, spoken: bool = False) -> Signature:
    """Return the signature of a topic's findings.

    `spoken` tells that the rule set has clauses on the topic: with no finding, the design states
    that it has no such part, and the topic is not applicable.
    """
    if spoken and not findings:
        return NOT_APPLICABLE, None, None, None
    status = worst([f.status for f in findings])
    if status == NOT_REGULATED:
        return NOT_REGULATED, None, None, None
    same = [f for f in findings if f.status == status]
    if not same:
        return status, None, None, None
    provided = [f.value for f in same if f.least is None and f.most is None and f.value is not None]
    least = max((f.least for f in same if f.least is not None), default=None)
    most = min((f.most for f in same if f.most is not None), default=None)
    return status, least, most, _sorted(provided)


def _sorted(values: Iterable[Any]) -> tuple[Any, ...]:
    """Put values in an order that does not depend on which clause came first."""
    return tuple(sorted(values, key=lambda value: (type(value).__name__, value)))


def _joined(one: _Part, two: _Part) -> _Part:
    """Put two parts of a topic together: the graver status counts, and its figures."""
    if one[0] != two[0]:
        if one[0] < 0:
            return two
        return one if two[0] < 0 or SEVERITY[one[0]] > SEVERITY[two[0]] else two
    least = two[1] if one[1] is None else one[1] if two[1] is None else max(one[1], two[1])
    most = two[2] if one[2] is None else one[2] if two[2] is None else min(one[2], two[2])
    return one[0], least, most, one[3] + two[3]


class HybridRunner:
    """Evaluates one topic under exchanges between two rule sets, remembering each result."""

    def __init__(
        self,
        one: Evaluator,
        two: Evaluator,
        design: PreparedDesign,
        vocabulary: Vocabulary,
        topic: str,
        pair: RulePair | None = None,
    ) -> None:
        self.pair = pair or RulePair(one, two)
        self.design = design
        self.vocabulary = vocabulary
        self.topic = topic
        self.keys = self.pair.keys(topic)
        needed = self.pair.needed(topic)
        names = [k for k in dict.fromkeys(k for s in self.pair.by_key for k in s) if k in needed]
        both = {key: tuple(side.get(key) for side in self.pair.by_key) for key in names}
        self._entries = both
        self._giving = [k for k in names if any(e and e.provides for e in both[k])]
        plain = [
            k
            for k in names
            if k not in self._giving and any(e and e.topic == topic for e in both[k])
        ]
        differing = set(self.keys)
        self._same = [k for k in plain if k not in differing]
        self._open = [k for k in plain if k in differing]
        self._bits = {key: 1 << place for place, key in enumerate(self._open)}
        self._of_facts = frozenset(
            k for k in self.keys if k in set(self._giving) or k.startswith(SETTING)
        )
        self._facts: dict[frozenset[str], _OnFacts | None] = {}

    def signature(self, exchanged: frozenset[str] = frozenset()) -> Signature:
        """Return the topic's signature under the first rule set with `exchanged` from the second."""
        context = exchanged & self._of_facts
        if context not in self._facts:
            self._facts[context] = self._on_facts(context)
        facts = self._facts[context]
        if facts is None:
            return CONTRADICTS_ITSELF
        bits = self._bits
        mask = 0
        for key in exchanged:
            mask |= bits.get(key, 0)
        try:
            status, least, most, provided = facts.joined(len(self._open), mask)
        except ExceptionsConflict:
            return CONTRADICTS_ITSELF
        if status < 0:
            spoken = self._spoken(exchanged)
            return (NOT_APPLICABLE if spoken else worst([])), None, None, None
        return status, least, most, _sorted(provided) if provided else ()

    def _spoken(self, exchanged: frozenset[str]) -> bool:
        chosen = (both[1 if key in exchanged else 0] for key, both in self._entries.items())
        return any(entry is not None and entry.topic == self.topic for entry in chosen)

    def _on_facts(self, context: frozenset[str]) -> _OnFacts | None:
        chosen = [self._entries[key][1 if key in context else 0] for key in self._giving]
        providers = [entry for entry in chosen if entry is not None]
        try:
            facts = HybridFacts(self.pair, self.design, self.vocabulary, providers, context)
            return _OnFacts(self, facts, self._same)
        except (Contradiction, ExceptionsConflict):
            return None

    # -- what _OnFacts asks ---------------------------------------------------------------------

    def open_pair(self, place: int) -> tuple[Entry | None, ...]:
        """Return both sides' clauses of one of the keys that differ."""
        return self._entries[self._open[place]]

    def same_entry(self, key: str) -> Entry | None:
        """Return a clause that is the same on both sides."""
        return self._entries[key][0]

    def part_of(self, entry: Entry, result: Result) -> _Part:
        """Return what one clause's result adds to the topic."""
        if entry.topic != self.topic:
            return _NOTHING
        status, value, least, most, _, _ = result
        _, _, back = measure_of(entry.index, self.pair.sides[entry.side], self.vocabulary)
        low, high = back(least), back(most)
        if low is not None or high is not None:
            return status, low, high, ()
        bare = value if isinstance(value, str | bool) else back(value)
        return status, None, None, () if bare is None else (bare,)


class _OnFacts:
    """What a topic's clauses come to on one set of facts, put together key by key."""

    __slots__ = ("_joined", "_results", "facts", "runner")

    def __init__(self, runner: HybridRunner, facts: HybridFacts, same: list[str]) -> None:
        self.runner, self.facts = runner, facts
        self._results: dict[tuple[int, int], _Part] = {}
        base = _NOTHING
        for entry, _, result in facts.results:
            base = _joined(base, runner.part_of(entry, result))
        for key in same:
            base = _joined(base, self._run(runner.same_entry(key)))
        self._joined: list[dict[int, _Part]] = [{0: base}]
        self._joined += [{} for _ in runner._open]

    def joined(self, count: int, mask: int) -> _Part:
        """Return the first `count` keys together, those of the mask's bits exchanged."""
        known = self._joined[count]
        found = known.get(mask)
        if found is None:
            last = 1 << (count - 1)
            side = 1 if mask & last else 0
            before = self.joined(count - 1, mask & (last - 1))
            found = known[mask] = _joined(before, self._result(count - 1, side))
        return found

    def _result(self, place: int, side: int) -> _Part:
        key = (place, side)
        if key not in self._results:
            self._results[key] = self._run(self.runner.open_pair(place)[side])
        return self._results[key]

    def _run(self, entry: Entry | None) -> _Part:
        total = _NOTHING
        if entry is None or entry.topic != self.runner.topic:
            return total
        for place in self.facts.places(entry.group):
            result = result_of(self.runner.pair, entry, place)
            total = _joined(total, self.runner.part_of(entry, result))
        return total
