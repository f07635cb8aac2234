"""Drivers: the smallest exchanges of clauses that explain why two rule sets part on a topic.

A set of exchanges explains a difference when it works both ways: putting the second rule set's
clauses into the first gives the second's outcome, and putting the first's into the second gives the
first's. That does not depend on which rule set comes first. Every set named here was verified by
evaluating both hybrids, and no proper subset of it works both ways.

Exchanging every clause that differs always works, so a difference always has a driver.

Shares of a numeric difference are Shapley values: each clause's average effect over all orders in
which the clauses could have been exchanged (L. S. Shapley, "A Value for n-Person Games", 1953),
exact in rationals.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from fractions import Fraction
from itertools import combinations
from math import factorial
from typing import Protocol

from msgspec import Struct

from deckclause.compare.outcome import Outcome

Test = Callable[[frozenset[str]], bool]
MOST_KEYS = 16
"""Exchange sets are enumerated exactly up to this many differing clauses."""
MOST_ONE_WAY = 8
"""What of a driver is enough in one direction is sought exactly up to this many clauses, else in twos."""
MOST_SHARED = 10
"""Shares are computed up to this many differing clauses unless more are asked for."""


class Hybrids(Protocol):
    """Evaluates one topic under exchanges of the clauses named by `keys`."""

    @property
    def keys(self) -> tuple[str, ...]:
        """The keys of the clauses in which the two rule sets differ."""

    def outcome(self, exchanged: frozenset[str] = frozenset()) -> Outcome:
        """Return the outcome with `exchanged` taken from the second rule set."""


class Driver(Struct, frozen=True):
    """A smallest set of clause keys whose exchange turns either outcome into the other.

    `forward` are the smallest sets among them that alone turn the first outcome into the second,
    `backward` those that alone turn the second into the first: often the whole set, sometimes
    less, and not always the same less.
    """

    keys: tuple[str, ...]
    forward: tuple[tuple[str, ...], ...] = ()
    backward: tuple[tuple[str, ...], ...] = ()

    @property
    def same_both_ways(self) -> bool:
        """Whether no less than the whole set is needed in either direction."""
        return self.forward == self.backward == (self.keys,)


class Share(Struct, frozen=True):
    """How much of a numeric difference one clause accounts for (inch-pound-degree units)."""

    key: str
    amount: Fraction


class Drivers(Struct, frozen=True):
    """What drives the difference between two outcomes of one topic."""

    first: Outcome
    second: Outcome
    drivers: tuple[Driver, ...]
    shares: tuple[Share, ...]
    considered: tuple[str, ...]
    complete: bool


def find_drivers(runner: Hybrids, *, most_shared: int = MOST_SHARED) -> Drivers:
    """Find every smallest exchange that explains why two rule sets part, both ways.

    `complete` is false where more clauses differ than all sets of can be tried: then sets of one
    and two are tried, and where none of these works one set from which nothing more can be left out.
    """
    first = runner.outcome()
    keys = tuple(sorted(runner.keys))
    everything = frozenset(keys)
    second = runner.outcome(everything)
    if first == second:
        return Drivers(first, second, (), (), keys, True)
    search = _Search(runner, everything, first, second)
    complete = len(keys) <= MOST_KEYS
    found = search.smallest(keys, len(keys) if complete else 2, search.works)
    if not found:
        found = [search.reduced(keys)]
    drivers = tuple(search.driver(exchange) for exchange in found)
    shares = _shares(runner, keys) if len(keys) <= most_shared else ()
    return Drivers(first, second, drivers, shares, keys, complete)


class _Search:
    """Tries exchanges between two rule sets."""

    def __init__(
        self, runner: Hybrids, everything: frozenset[str], first: Outcome, second: Outcome
    ) -> None:
        self.runner, self.everything = runner, everything
        self.first, self.second = first, second

    def forward(self, exchange: frozenset[str]) -> bool:
        """Tell whether the first rule set with the second's clauses comes to the second's outcome."""
        return self.runner.outcome(exchange) == self.second

    def backward(self, exchange: frozenset[str]) -> bool:
        """Tell whether the second rule set with the first's clauses comes to the first's outcome.

        The second with these from the first is the first with all the others from the second.
        """
        return self.runner.outcome(self.everything - exchange) == self.first

    def works(self, exchange: frozenset[str]) -> bool:
        """Tell whether an exchange works both ways."""
        return self.forward(exchange) and self.backward(exchange)

    def smallest(self, keys: tuple[str, ...], most: int, works: Test) -> list[frozenset[str]]:
        """Return the smallest sets that pass a test, none of them holding another."""
        found: list[frozenset[str]] = []
        for exchange in _exchanges(keys, most):
            if any(smaller <= exchange for smaller in found):
                continue
            if works(exchange):
                found.append(exchange)
        return found

    def reduced(self, keys: tuple[str, ...]) -> frozenset[str]:
        """Leave out of the set of all keys one after the other what both ways work without."""
        kept = self.everything
        for key in keys:
            if self.works(kept - {key}):
                kept -= {key}
        return kept

    def driver(self, exchange: frozenset[str]) -> Driver:
        """Return a driver, with what of it is enough in each direction alone."""
        keys = tuple(sorted(exchange))
        most = len(keys) if len(keys) <= MOST_ONE_WAY else 2
        one_way = (self.smallest(keys, most, test) for test in (self.forward, self.backward))
        forward, backward = (tuple(tuple(sorted(s)) for s in sets) for sets in one_way)
        return Driver(keys, forward or (keys,), backward or (keys,))


def _exchanges(keys: tuple[str, ...], most: int) -> Iterator[frozenset[str]]:
    for size in range(1, most + 1):
        for chosen in combinations(keys, size):
            yield frozenset(chosen)


def _shares(runner: Hybrids, keys: tuple[str, ...]) -> tuple[Share, ...]:
    """Share a numeric difference among the keys; nothing where a hybrid has no figure."""
    figures: dict[frozenset[str], Fraction] = {}
    for exchange in (frozenset(), *_exchanges(keys, len(keys))):
        figure = runner.outcome(exchange).figure
        if figure is None:
            return ()
        figures[exchange] = figure
    if figures[frozenset()] == figures[frozenset(keys)]:
        return ()
    count = len(keys)
    shares = []
    for key in keys:
        amount = Fraction(0)
        for exchange, figure in figures.items():
            if key in exchange:
                before = figures[exchange - {key}]
                size = len(exchange) - 1
                weight = Fraction(factorial(size) * factorial(count - size - 1), factorial(count))
                amount += weight * (figure - before)
        if amount:
            shares.append(Share(key, amount))
    return tuple(shares)
