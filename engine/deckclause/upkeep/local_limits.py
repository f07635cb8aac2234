"""How far a place departs from a larger one's code, found by evaluating both on boundary designs.

A larger place says how far places within it may go. Words and figures of two clauses do not tell
which is looser; what both make of designs at their boundaries does.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from deckclause.compare.difference import substance
from deckclause.compare.rule_diff.clauses import rule_diff
from deckclause.compare.rule_diff.weight import (
    BOTH,
    LOOSER,
    OTHERWISE,
    STRICTER,
    WITHDRAWN,
    weights,
)
from deckclause.evaluate.cache import Cache
from deckclause.evaluate.compile import compile_ruleset
from deckclause.evaluate.evaluator import Evaluator
from deckclause.evaluate.findings import Finding, evaluate
from deckclause.evaluate.plan import provided_quantity
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.ready import make_ready
from deckclause.evaluate.regions.sample import design_at
from deckclause.evaluate.status import (
    COMPLIES,
    DOES_NOT_COMPLY,
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
)
from deckclause.evaluate.words import bounds_text, called, fact_text
from deckclause.reading.lower import Lowered
from deckclause.rulesets.clauses import Clause, Origin, Scalar
from deckclause.rulesets.ground import ground_quantities
from deckclause.rulesets.library import RuleLibrary
from deckclause.rulesets.names import rule_set_title
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.register import InForce, Place
from deckclause.rulesets.ruleset import RuleSet, Setting
from deckclause.rulesets.vocabulary import Vocabulary
from deckclause.upkeep.coverage.boundary import BoundaryBuilder
from deckclause.upkeep.coverage.cases import BoundaryCase
from deckclause.upkeep.coverage.kept import KeptBuilds
from deckclause.upkeep.coverage.outcome import with_providers
from deckclause.upkeep.lint.context import LintContext, ReadSet

EDITION = "edition"
"""What stands for a topic where the edition as a whole departs."""
MORE_IS_STRICTER = ("load", "line_load")
"""Kinds of quantity of which a place that sets more asks more."""
DEPTHS = ("site.frost_depth",)
YES_IS_LOOSER = ("deck.permit_exempt",)
BUILT = "designs are built of it"
A_PLACE = Origin("", "", 0, place="a place")
RANK = {DOES_NOT_COMPLY: 2, ENGINEERING_REQUIRED: 1}
"""How much a status forbids; what complies, does not apply or is not regulated forbids nothing."""


class Departure(Struct, frozen=True):
    """One topic on which a place departs from a larger one: which way, and what each asks."""

    place: str
    larger: str
    local: str
    """How far the larger place lets places within it go."""
    topic: str
    title: str
    way: str
    asks: str
    """What the place asks, and what the larger one does, in words; "" where no figure tells it."""

    def __str__(self) -> str:
        told = f": {self.asks}" if self.asks else ""
        how = f"{self.way} than" if self.way in (LOOSER, STRICTER) else "otherwise than"
        return f"{how} {self.larger} on {self.title[:1].lower()}{self.title[1:]}{told}"


def departures(library: RuleLibrary, name: str) -> tuple[Departure, ...]:
    """Return where a place, on a day, departs from each larger place that says how far it may.

    Compared are the rules with and without what the place itself made, on the edition it stands on;
    an edition older than the larger place's is a departure of its own, whole. What it adds is
    compared like what it changes. A value of the ground that the larger place leaves to it is no
    departure. Raises InputError where either cannot be read.
    """
    meaning = library.register.resolve(name)
    place = library.register.place(meaning.place)
    if meaning.adoption not in place.adoptions:
        return ()
    found = [d for larger in _limiting(library, place) for d in _older(library, meaning, larger)]
    if not meaning.adoption.amendments:
        return tuple(found)
    own = meaning.adoption.amendments
    beneath = tuple(name for name in meaning.amendments if name not in own)
    above = library.in_force(meaning.edition, beneath, meaning.ground).ruleset
    for larger in _limiting(library, place):
        found += _Compared(library, meaning, larger, above).departures()
    return tuple(found)


def _older(library: RuleLibrary, meaning: InForce, larger: Place) -> Iterator[Departure]:
    """Yield that a place stands on an older edition than a larger one asks for that day.

    Which way rules go is told by their figures alone: two editions are not evaluated against each
    other here.
    """
    try:
        above = library.register.resolve(f"{larger.name}@{meaning.day}")
    except InputError:
        return  # the larger place has nothing in force then, or its own lines are at fault
    if above.edition == meaning.edition:
        return
    one, two = library.ruleset(above.label), library.ruleset(meaning.label)
    if two.published >= one.published:
        return
    ways = weights(rule_diff(one, two, library.vocabulary), {})
    less = ways[LOOSER] + ways[BOTH] + ways[WITHDRAWN]
    asks = (
        f"{rule_set_title(meaning.edition)} here, {rule_set_title(above.edition)} there; by figures "
        f"and words, {ways[LOOSER]} rules are looser here, {ways[BOTH]} go both ways, "
        f"{ways[WITHDRAWN]} are not asked"
    )
    way = LOOSER if less else OTHERWISE
    yield Departure(meaning.place, larger.name, larger.local, EDITION, "the edition", way, asks)


def _limiting(library: RuleLibrary, place: Place) -> Iterator[Place]:
    while place.within and place.within in library.register.places:
        place = library.register.places[place.within]
        if place.local:
            yield place


class _Compared:
    """A place's rules beside those of a larger one."""

    def __init__(
        self, library: RuleLibrary, meaning: InForce, larger: Place, above: RuleSet
    ) -> None:
        self.library = library
        self.vocabulary: Vocabulary = library.vocabulary
        self.larger = larger
        self.above = above
        self.own = library.ruleset(meaning.label)
        self.place = meaning.place
        self._ready: dict[object, Evaluator] = {}
        self._lowered = Lowered(self.vocabulary.quantities)
        self.builder = BoundaryBuilder(
            LintContext(library, (), frozenset()), KeptBuilds(Cache(None))
        )

    def departures(self) -> Iterator[Departure]:
        """Yield what departs: values set, then topics in the vocabulary's order."""
        yield from self._values()
        changed = self._changed()
        for topic in self.vocabulary.topics:
            if topic in changed:
                yield from self._topic(topic)

    def _changed(self) -> set[str]:
        """Return the topics on which the two have clauses that ask something else."""
        one, two = ({c.key: c for c in r.clauses} for r in (self.above, self.own))
        differ = [
            key
            for key in {**one, **two}
            if key not in one or key not in two or substance(one[key]) != substance(two[key])
        ]
        found = [two.get(key) or one[key] for key in differ]
        return {c.topic for c in found if c.key in one or not self._of_the_ground(c)}

    def _of_the_ground(self, clause: Clause) -> bool:
        """Tell whether a clause gives a value of the ground, which is the place's own to fix."""
        return provided_quantity(clause) in ground_quantities(self.vocabulary)

    def _values(self) -> Iterator[Departure]:
        ground = ground_quantities(self.vocabulary)
        above = {s.quantity: s.value for s in self.above.settings}
        for setting in self.own.settings:
            name = setting.quantity
            if setting.origin.place != self.place or (name in ground and name not in above):
                continue
            theirs = above.get(name, self._given(name))
            if theirs == setting.value:
                continue
            definition = self.vocabulary.quantities[name]
            asks = f"{fact_text(setting.value, definition)} here"
            if theirs is not None:
                asks += f", {fact_text(theirs, definition)} there"
            way = _way_of(name, definition.kind, setting.value, theirs)
            yield self._departure(name, called(name, self.vocabulary), way, asks)

    def _given(self, name: str) -> Scalar | None:
        """Return the one value the larger place's clauses give a quantity; None where there is none."""
        from deckclause.upkeep.amending.effect import edition_values

        return edition_values(self.above).get(name)

    def _topic(self, topic: str) -> Iterator[Departure]:
        ways: dict[str, str] = {}
        quantities = self.vocabulary.quantities
        for case in self._cases(topic):
            try:
                design = PreparedDesign(design_at(case.facts, quantities), quantities)
                found = [
                    self._findings(side, design, case, topic) for side in (self.above, self.own)
                ]
            except InputError:
                continue  # a design the whole reading of one of them refuses
            for way, asks in self._held(*found):
                ways[way] = ways.get(way) or asks
        title = self.vocabulary.topics[topic].title
        if LOOSER not in ways and STRICTER not in ways:
            ways = {OTHERWISE: ways.get(OTHERWISE, "")}
        for way, asks in ways.items():
            yield self._departure(topic, title, way, asks)

    def _cases(self, topic: str) -> tuple[BoundaryCase, ...]:
        """Return designs at every boundary either rule set has on a topic, each once."""
        found: dict[object, BoundaryCase] = {}
        for ruleset in (self.above, self.own):
            read, evaluator = self._of_topic(ruleset, topic)
            for case in self.builder.cases(read, evaluator):
                stated = {**case.facts, **case.sets}
                found.setdefault(tuple(sorted(stated.items(), key=lambda kv: kv[0])), case)
        return tuple(found.values())

    def _of_topic(self, ruleset: RuleSet, topic: str) -> tuple[ReadSet, Evaluator]:
        """Return a topic's clauses with all that provides to them, the topic's own to be built on."""
        keys = [c.key for c in ruleset.topic_clauses(topic)]
        clauses = tuple(
            replace(c, origin=replace(c.origin, ordinance=BUILT if c.key in keys else ""))
            for c in with_providers(ruleset, *keys)
        )
        cut = replace(ruleset, clauses=clauses, kind="place")
        quantities = self.vocabulary.quantities
        evaluator = make_ready(compile_ruleset(cut, quantities), quantities)
        return ReadSet(cut, evaluator.plan, self._lowered), evaluator

    def _findings(
        self, ruleset: RuleSet, design: PreparedDesign, case: BoundaryCase, topic: str
    ) -> tuple[Finding, ...]:
        """Return what a rule set makes of a case on a topic, where a place sets what the case says."""
        named = (ruleset.name, topic, tuple(sorted(case.sets.items(), key=lambda kv: kv[0])))
        if named not in self._ready:
            keys = (c.key for c in ruleset.topic_clauses(topic))
            cut = replace(
                ruleset,
                clauses=with_providers(ruleset, *keys),
                settings=(
                    *(s for s in ruleset.settings if s.quantity not in case.sets),
                    *(Setting(n, v, A_PLACE, "", "", "derived") for n, v in case.sets.items()),
                ),
            )
            quantities = self.vocabulary.quantities
            self._ready[named] = make_ready(compile_ruleset(cut, quantities), quantities)
        found = evaluate(design, self._ready[named], self.vocabulary).findings
        return tuple(f for f in found if f.topic == topic)

    def _held(self, above: Sequence[Finding], own: Sequence[Finding]) -> Iterator[tuple[str, str]]:
        """Yield which ways the place departs on one design, and what each asks."""
        open_ = {f.key for f in (*above, *own) if f.status == INFORMATION_MISSING}
        above, own = ([f for f in side if f.key not in open_] for side in (above, own))
        theirs, ours = (
            max((RANK.get(f.status, 0) for f in side), default=0) for side in (above, own)
        )
        asks = self._asks(above, own)
        if ours < theirs:
            yield LOOSER, asks
        elif ours > theirs:
            yield STRICTER, asks
        limits = [
            ({_subject(f): f.least for f in side if f.least is not None},
             {_subject(f): f.most for f in side if f.most is not None})
            for side in (above, own)
        ]  # fmt: skip
        (their_least, their_most), (our_least, our_most) = limits
        for subject in their_least.keys() & our_least.keys():
            if our_least[subject] != their_least[subject]:
                yield (LOOSER if our_least[subject] < their_least[subject] else STRICTER), asks
        for subject in their_most.keys() & our_most.keys():
            if our_most[subject] != their_most[subject]:
                yield (LOOSER if our_most[subject] > their_most[subject] else STRICTER), asks
        yield from self._provided(above, own)

    def _provided(
        self, above: Sequence[Finding], own: Sequence[Finding]
    ) -> Iterator[tuple[str, str]]:
        """Yield which way a value a clause gives departs on one design."""
        given: list[dict[str, Scalar]] = [
            {
                provided_quantity(f.clause): f.value
                for f in side
                if provided_quantity(f.clause) and f.status == COMPLIES and f.value is not None
            }
            for side in (above, own)
        ]
        silent = dict.fromkeys(YES_IS_LOOSER, False)
        for name in given[0].keys() | given[1].keys():
            theirs, ours = (side.get(name, silent.get(name)) for side in given)
            if theirs is None or ours is None:
                continue  # one of them gives no value here
            if ours != theirs:
                definition = self.vocabulary.quantities[name]
                texts = [fact_text(value, definition) for value in (ours, theirs)]
                yield (
                    _way_of(name, definition.kind, ours, theirs),
                    f"{called(name, self.vocabulary)} {texts[0]} here, {texts[1]} there",
                )

    def _asks(self, above: Sequence[Finding], own: Sequence[Finding]) -> str:
        texts = []
        for side, where in ((own, "here"), (above, "there")):
            limits = [
                bounds_text(f.least, f.most, f.kind, f.unit)
                for f in side
                if (f.least, f.most) != (None, None)
            ]
            texts.append(f"{' and '.join(dict.fromkeys(limits)) or 'no limit'} {where}")
        return "" if all(t.startswith("no limit") for t in texts) else ", ".join(texts)

    def _departure(self, topic: str, title: str, way: str, asks: str) -> Departure:
        return Departure(self.place, self.larger.name, self.larger.local, topic, title, way, asks)


def _subject(finding: Finding) -> tuple[str, str]:
    return finding.part, str(getattr(finding.requirement, "subject", finding.key))


def _way_of(name: str, kind: str, ours: Scalar, theirs: Scalar | None) -> str:
    if isinstance(ours, Fraction) and isinstance(theirs, Fraction):
        if kind in MORE_IS_STRICTER or name in DEPTHS:
            return LOOSER if ours < theirs else STRICTER
    elif name in YES_IS_LOOSER and isinstance(ours, bool):
        return LOOSER if ours else STRICTER
    return OTHERWISE
