"""Two designs under the same rule sets: what differs between the decks, and what that does.

A fact, or a whole group of parts, drives a change of outcome when exchanging it works both ways: the
second deck's in the first gives the second's outcome, and the first's in the second gives the
first's (the same search as for clauses, compare/drivers.py). Each exchange is evaluated.
"""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct
from msgspec.structs import replace

from deckclause.compare.drivers import Drivers, find_drivers
from deckclause.compare.outcome import Outcome, outcome_of
from deckclause.designs.design import Design, Facts
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.findings import Evaluation, TopicOutcome, evaluate
from deckclause.evaluate.status import NOT_APPLICABLE
from deckclause.evaluate.traces import Traces
from deckclause.rulesets.clauses import Scalar
from deckclause.rulesets.vocabulary import Topic

MOST_APART = 8
"""Up to this many differing facts every exchange is evaluated; beyond it drivers are not sought."""


class Apart(Struct, frozen=True):
    """One thing in which two designs differ: a quantity with its values, or a group of parts.

    `before` and `after` hold the values of each part that states it, in the parts' order; None
    where one is not stated. A group whose parts are not the same ones is one difference, `parts`.
    """

    key: str
    before: tuple[Scalar | None, ...]
    after: tuple[Scalar | None, ...]
    parts: tuple[int, int] | None = None


class OutcomeApart(Struct, frozen=True):
    """One topic under one rule set that comes out otherwise for the second deck."""

    topic: Topic
    rule_set: str
    before: TopicOutcome
    after: TopicOutcome
    drivers: Drivers | None


class TwoDesigns(Struct, frozen=True):
    """What differs between two decks, and what it does under each rule set."""

    one: Design
    two: Design
    names: tuple[str, ...]
    apart: tuple[Apart, ...]
    outcomes: tuple[OutcomeApart, ...]
    unchanged: int
    """How many outcomes, topic by rule set, are the same."""


def compare_designs(
    catalogue: Catalogue,
    one: Design,
    two: Design,
    names: Sequence[str],
    topics: Sequence[str] = (),
) -> TwoDesigns:
    """Evaluate two designs under the same rule sets. Raises InputError for a name that is none."""
    apart = facts_apart(one, two)
    wanted = [t for n, t in catalogue.vocabulary.topics.items() if not topics or n in topics]
    found: list[OutcomeApart] = []
    unchanged = 0
    titles = []
    for name in names:
        mixes = _Mixes(catalogue, name, one, two, apart)
        titles.append(mixes.name)
        for topic in wanted:
            first, second = mixes.outcome(topic), mixes.outcome(topic, mixes.everything)
            if first == second:
                unchanged += bool(mixes.spoken(topic))
                continue
            drivers = find_drivers(_OnTopic(mixes, topic)) if len(apart) <= MOST_APART else None
            before, after = (
                mixes.evaluation(some).outcome(topic.name)
                for some in (frozenset(), mixes.everything)
            )
            found.append(OutcomeApart(topic, mixes.name, before, after, drivers))
    return TwoDesigns(one, two, tuple(titles), apart, tuple(found), unchanged)


def facts_apart(one: Design, two: Design) -> tuple[Apart, ...]:
    """Return everything two designs state otherwise, in the order of the files."""
    found = [
        Apart(name, (one.facts.get(name),), (two.facts.get(name),))
        for name in dict.fromkeys([*one.facts, *two.facts])
        if one.facts.get(name) != two.facts.get(name)
    ]
    for group in dict.fromkeys([*one.parts, *two.parts]):
        found += _parts_apart(group, one, two)
    return tuple(found)


def _parts_apart(group: str, one: Design, two: Design) -> list[Apart]:
    mine, theirs = one.parts.get(group), two.parts.get(group)
    names = [None if parts is None else [p.name for p in parts] for parts in (mine, theirs)]
    if names[0] != names[1] or mine is None or theirs is None:
        counts = (len(mine or ()), len(theirs or ()))
        return [] if mine == theirs else [Apart(group, (), (), counts)]
    quantities = dict.fromkeys(q for p in (*mine, *theirs) for q in p.facts)
    return [
        Apart(q, tuple(p.facts.get(q) for p in mine), tuple(p.facts.get(q) for p in theirs))
        for q in quantities
        if [p.facts.get(q) for p in mine] != [p.facts.get(q) for p in theirs]
    ]


class _Mixes:
    """One rule set on the first design with some of the second's facts, each evaluated once."""

    def __init__(
        self, catalogue: Catalogue, name: str, one: Design, two: Design, apart: Sequence[Apart]
    ) -> None:
        self._catalogue = catalogue
        self._evaluator = catalogue.evaluator(name)
        self.name = self._evaluator.ruleset.name
        self._designs = (one, two)
        self.everything = frozenset(a.key for a in apart)
        self._known: dict[frozenset[str], Evaluation] = {}
        self._traces: dict[frozenset[str], Traces] = {}
        self._topics = {c.topic for c in self._evaluator.ruleset.clauses}

    def spoken(self, topic: Topic) -> bool:
        """Tell whether the rule set has clauses on a topic."""
        return topic.name in self._topics

    def evaluation(self, exchanged: frozenset[str]) -> Evaluation:
        """Return what the rule set makes of the first design with `exchanged` from the second."""
        if exchanged not in self._known:
            prepared = self._catalogue.prepare(mixed(*self._designs, exchanged))
            self._known[exchanged] = evaluate(prepared, self._evaluator, self._catalogue.vocabulary)
        return self._known[exchanged]

    def outcome(self, topic: Topic, exchanged: frozenset[str] = frozenset()) -> Outcome:
        """Return what a topic comes to."""
        evaluation = self.evaluation(exchanged)
        if exchanged not in self._traces:
            self._traces[exchanged] = Traces(evaluation, self._catalogue.vocabulary)
        found, traces = evaluation.outcome(topic.name), self._traces[exchanged]
        return outcome_of(found.findings, topic, traces, spoken=found.status == NOT_APPLICABLE)


class _OnTopic:
    """The exchanges of facts on one topic."""

    def __init__(self, mixes: _Mixes, topic: Topic) -> None:
        self._mixes, self._topic = mixes, topic
        self.keys = tuple(sorted(mixes.everything))

    def outcome(self, exchanged: frozenset[str] = frozenset()) -> Outcome:
        """Return the outcome with `exchanged` taken from the second design."""
        return self._mixes.outcome(self._topic, exchanged)


def mixed(one: Design, two: Design, exchanged: frozenset[str]) -> Design:
    """Return the first design with the quantities and groups of parts named taken from the second."""
    facts = _with(one.facts, two.facts, exchanged)
    parts = {}
    for group in dict.fromkeys([*one.parts, *two.parts]):
        chosen = two.parts if group in exchanged else one.parts
        if group not in chosen:
            continue
        others = (one if group in exchanged else two).parts.get(group, ())
        parts[group] = tuple(
            replace(part, facts=_with(part.facts, other.facts, exchanged)) if same else part
            for part, other, same in (
                (
                    p,
                    others[n] if n < len(others) else p,
                    n < len(others) and others[n].name == p.name,
                )
                for n, p in enumerate(chosen[group])
            )
        )
    return replace(one, facts=facts, parts=parts)


def _with(facts: Facts, others: Facts, exchanged: frozenset[str]) -> Facts:
    mixed_facts = {
        name: others.get(name) if name in exchanged else facts.get(name)
        for name in dict.fromkeys([*facts, *others])
    }
    return {name: value for name, value in mixed_facts.items() if value is not None}
