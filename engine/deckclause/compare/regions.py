"""Where two or more rule sets part on a topic: exact regions of the input space, with drivers.

Every question any clause asks is a cut; between cuts what is asked is constant (or one linear
form). So the regions are complete: a design lies in exactly one, and what holds there holds of it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from msgspec import Struct

from deckclause.compare.drivers import Driver, find_drivers
from deckclause.compare.hybrid import HybridRunner
from deckclause.compare.rule_diff.pair import RulePair
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.evaluator import Evaluator
from deckclause.evaluate.regions.asked import Asked
from deckclause.evaluate.regions.explore import TooMany, explore
from deckclause.evaluate.regions.linear import Form
from deckclause.evaluate.regions.merge import merged
from deckclause.evaluate.regions.reader import NotLinear
from deckclause.evaluate.regions.rule_set import RuleSetReader, topic_reads
from deckclause.evaluate.regions.sample import design_at
from deckclause.evaluate.regions.space import Space
from deckclause.evaluate.regions.view import View, whole_space
from deckclause.reading.lower import Lowered
from deckclause.rulesets.clauses import Scalar
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.vocabulary import QuantityDefinition


class Answer(Struct, frozen=True):
    """What each rule set asks, and which of them ask the same (by the first that does)."""

    asked: tuple[Asked, ...]
    alike: tuple[int, ...]

    @property
    def agree(self) -> bool:
        """Whether all ask the same."""
        return set(self.alike) == {0}


class Region(Struct, frozen=True):
    """A region on which every rule set asks one thing."""

    space: Space
    answer: Answer


class Regions(Struct, frozen=True):
    """A topic's whole input space, cut into regions."""

    topic: str
    names: tuple[str, ...]
    reads: tuple[str, ...]
    regions: tuple[Region, ...]

    @property
    def parting(self) -> tuple[Region, ...]:
        """The regions on which two rule sets or more part."""
        return tuple(r for r in self.regions if not r.answer.agree)

    def at(self, facts: dict[str, Scalar]) -> Region | None:
        """Return the region known facts lie in; None where a fact is not known."""
        return next((r for r in self.regions if r.space.holds(facts)), None)


def find_regions(
    catalogue: Catalogue, topic: str, names: Sequence[str], given: Space | None = None
) -> Regions:
    """Cut the input space of a topic into regions; `given` narrows it beforehand.

    Raises InputError where there are more regions than anyone could read, or where a clause
    multiplies two inputs.
    """
    evaluators = [catalogue.evaluator(name) for name in names]
    quantities = catalogue.vocabulary.quantities
    definition = catalogue.vocabulary.topics[topic]
    reads = dict.fromkeys(q for e in evaluators for q in topic_reads(e.ruleset, e.plan, topic))
    inputs = [q for q in reads if not quantities[q].provided]
    start = _narrowed(whole_space(quantities, inputs), given)
    lowered = Lowered(quantities)

    def question(space: Space) -> Answer:
        view = View(space, quantities)
        asked = tuple(
            RuleSetReader(e.ruleset, e.plan, lowered, view).topic(definition) for e in evaluators
        )
        return Answer(asked, tuple(_first_alike(view, asked, i) for i in range(len(asked))))

    try:
        pieces = list(explore(start, question))
    except TooMany:
        raise InputError.single(
            topic, "has too many regions to list; narrow it with --given QUANTITY=VALUE"
        ) from None
    except NotLinear:
        raise InputError.single(
            topic, "multiplies two inputs; its regions are not cut by straight lines"
        ) from None
    found = [Region(p.space, p.answer) for p in merged(pieces)]
    found.sort(key=lambda region: _place(region.space, inputs, quantities))
    return Regions(topic, tuple(names), tuple(inputs), tuple(found))


def _place(
    space: Space, inputs: list[str], quantities: dict[str, QuantityDefinition]
) -> tuple[tuple[int, Fraction], ...]:
    """Return what puts regions in a reader's order: by choice as listed, then from small to large."""
    place: list[tuple[int, Fraction]] = []
    for name in inputs:
        options = space.options.get(name)
        if options is not None:
            order = quantities[name].choices or (True, False)
            place.append((min(order.index(o) for o in options), Fraction(0)))
    for name in inputs:
        low = space.ranges[name].low if name in space.ranges else None
        place.append((0 if low is None else 1, low or Fraction(0)))
    return tuple(place)


def _narrowed(space: Space, given: Space | None) -> Space:
    if given is None:
        return space
    for name, options in given.options.items():
        space = space.with_options(name, options)
    for name, limits in given.ranges.items():
        space = space.with_range(name, limits)
    return space


def _first_alike(view: View, asked: tuple[Asked, ...], index: int) -> int:
    return next(i for i in range(index + 1) if same_asked(view, asked[i], asked[index]))


def same_asked(view: View, one: Asked, two: Asked) -> bool:
    """Tell whether two ask the same all over a region, cutting it where their figures cross."""
    if one == two:
        return True
    if one.status != two.status or len(one.bounds) != len(two.bounds):
        return False
    for a, b in zip(one.bounds, two.bounds, strict=True):
        if a.subject != b.subject or a.one_of != b.one_of:
            return False
        if not (_same_form(view, a.least, b.least) and _same_form(view, a.most, b.most)):
            return False
    if len(one.provided) != len(two.provided):
        return False
    return all(
        x == y or (isinstance(x, Form) and isinstance(y, Form) and _same_form(view, x, y))
        for x, y in zip(one.provided, two.provided, strict=True)
    )


def _same_form(view: View, one: Form | None, two: Form | None) -> bool:
    if one is None or two is None or one == two:
        return one == two
    return view.at_most(one, two) and view.at_most(two, one)


class DriverFinder:
    """Finds what drives the difference on a region, by evaluating hybrids of a design in it."""

    def __init__(self, catalogue: Catalogue, regions: Regions) -> None:
        self.catalogue = catalogue
        self.regions = regions
        self.evaluators: list[Evaluator] = [catalogue.evaluator(n) for n in regions.names]
        self._pairs: dict[tuple[int, int], RulePair] = {}

    def drivers(self, region: Region, first: int, second: int) -> tuple[Driver, ...]:
        """Return the drivers between two rule sets at a point of the region."""
        quantities = self.catalogue.vocabulary.quantities
        facts = region.space.point(quantities)
        prepared = self.catalogue.prepare(design_at(facts, quantities))
        runner = HybridRunner(
            self.evaluators[first],
            self.evaluators[second],
            prepared,
            self.catalogue.vocabulary,
            self.regions.topic,
            self._pair(first, second),
        )
        return find_drivers(runner).drivers

    def _pair(self, first: int, second: int) -> RulePair:
        if (first, second) not in self._pairs:
            self._pairs[first, second] = RulePair(self.evaluators[first], self.evaluators[second])
        return self._pairs[first, second]


def pairs_parting(region: Region) -> Iterator[tuple[int, int]]:
    """Yield each rule set with the one before it where the two part."""
    alike = region.answer.alike
    for second in range(1, len(alike)):
        if alike[second] != alike[second - 1]:
            yield second - 1, second
