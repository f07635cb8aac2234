"""Hybrids: a rule set with some clauses exchanged for another's, evaluated for real.

A claim that a clause drives a difference is only made after its hybrid has been evaluated. Each
clause of either side is run once on each set of facts an exchange can bring about; a hybrid's
outcome is put together from those results, so that even tens of thousands of exchanges are quick.
"""

from __future__ import annotations

from deckclause.compare.difference import SETTING
from deckclause.compare.hybrid_facts import Contradiction, HybridFacts
from deckclause.compare.outcome import (
    CONTRADICTS_ITSELF,
    Outcome,
    PartOutcome,
    Piece,
    bounds_left,
    piece,
    settled,
)
from deckclause.compare.rule_diff.pair import Entry, RulePair
from deckclause.evaluate.evaluator import Evaluator
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.reading.exact import ExceptionsConflict
from deckclause.reading.status import ENGINEERING_REQUIRED
from deckclause.reading.trace import Outcome as Came
from deckclause.reading.trace import Trace
from deckclause.rulesets.vocabulary import Vocabulary

_NOTHING = Piece()


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
        self.settled: dict[Piece, PartOutcome] = {}
        """What pieces of an outcome have been settled to."""

    def outcome(self, exchanged: frozenset[str] = frozenset()) -> Outcome:
        """Return the topic's outcome under the first rule set with `exchanged` from the second."""
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
            return facts.outcome(mask, self._spoken(exchanged))
        except ExceptionsConflict:
            return CONTRADICTS_ITSELF

    def _spoken(self, exchanged: frozenset[str]) -> bool:
        chosen = (both[1 if key in exchanged else 0] for key, both in self._entries.items())
        return any(entry is not None and entry.topic == self.topic for entry in chosen)

    def _on_facts(self, context: frozenset[str]) -> _OnFacts | None:
        chosen = [self._entries[key][1 if key in context else 0] for key in self._giving]
        providers = [entry for entry in chosen if entry is not None]
        try:
            facts = HybridFacts(self.pair, self.design, providers, context)
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

    def piece_of(self, entry: Entry, trace: Trace[Came]) -> Piece:
        """Return what one clause's reading adds to the topic."""
        if entry.topic != self.topic:
            return _NOTHING
        came, engineering = trace.outcome, trace.outcome.status is ENGINEERING_REQUIRED
        clause = self.pair.sides[entry.side].ruleset.clauses[entry.index]
        return piece(
            came.status,
            trace.branch.requirement(clause),
            (came.value, came.least, came.most),
            came.missing,
            gives=entry.provides,
            topic=self.vocabulary.topics[self.topic],
            key=entry.key,
            bounds=bounds_left(trace) if engineering else frozenset(),
        )


class _OnFacts:
    """What a topic's clauses come to on one set of facts, put together key by key."""

    __slots__ = ("_joined", "_outcomes", "_results", "facts", "runner")

    def __init__(self, runner: HybridRunner, facts: HybridFacts, same: list[str]) -> None:
        self.runner, self.facts = runner, facts
        self._results: dict[tuple[int, int], dict[str, Piece]] = {}
        self._outcomes: dict[tuple[int, bool], Outcome] = {}
        base: dict[str, Piece] = {}
        for entry, part, trace in facts.results:
            base = _joined(base, {part: runner.piece_of(entry, trace)})
        for key in same:
            base = _joined(base, self._run(runner.same_entry(key)))
        self._joined: list[dict[int, dict[str, Piece]]] = [{0: base}]
        self._joined += [{} for _ in runner._open]

    def outcome(self, mask: int, spoken: bool) -> Outcome:
        """Return the topic's outcome with the keys of the mask's bits exchanged."""
        found = self._outcomes.get((mask, spoken))
        if found is None:
            pieces = self.joined(len(self.runner._open), mask)
            found = settled(pieces, spoken=spoken, known=self.runner.settled)
            self._outcomes[mask, spoken] = found
        return found

    def joined(self, count: int, mask: int) -> dict[str, Piece]:
        """Return the first `count` keys together, those of the mask's bits exchanged."""
        known = self._joined[count]
        found = known.get(mask)
        if found is None:
            last = 1 << (count - 1)
            side = 1 if mask & last else 0
            before = self.joined(count - 1, mask & (last - 1))
            found = known[mask] = _joined(before, self._result(count - 1, side))
        return found

    def _result(self, place: int, side: int) -> dict[str, Piece]:
        key = (place, side)
        if key not in self._results:
            self._results[key] = self._run(self.runner.open_pair(place)[side])
        return self._results[key]

    def _run(self, entry: Entry | None) -> dict[str, Piece]:
        total: dict[str, Piece] = {}
        if entry is None or entry.topic != self.runner.topic:
            return total
        for place in self.facts.places(entry.group):
            trace = self.facts.trace_of(entry, place)
            piece_of = self.runner.piece_of(entry, trace)
            total = _joined(total, {place.part: piece_of})
        return total


def _joined(one: dict[str, Piece], two: dict[str, Piece]) -> dict[str, Piece]:
    if not two:
        return one
    both = dict(one)
    for part, found in two.items():
        before = both.get(part)
        both[part] = found if before is None else before.joined(found)
    return both
