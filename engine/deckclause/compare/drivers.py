"""Drivers: the smallest exchanges of clauses that turn one outcome into the other.

Every driver named here was verified by evaluating its hybrid. Shares of a numeric difference
are Shapley values: each clause's average effect over all orders in which the clauses could have
been exchanged (L. S. Shapley, "A Value for n-Person Games", 1953), exact in rationals.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations
from math import factorial
from typing import Protocol

from deckclause.compare.hybrid import Signature

MOST_KEYS = 16
"""Exchange sets are enumerated exactly up to this many differing clauses."""
MOST_SHARED = 10
"""Shares are computed up to this many differing clauses unless more are asked for."""


class Hybrids(Protocol):
    """Evaluates one topic under exchanges of the clauses named by `keys`."""

    @property
    def keys(self) -> tuple[str, ...]:
        """The keys of the clauses in which the two rule sets differ."""

    def signature(self, exchanged: frozenset[str] = frozenset()) -> Signature:
        """Return the outcome with `exchanged` taken from the second rule set."""


@dataclass(frozen=True, slots=True)
class Driver:
    """A smallest set of clause keys whose exchange turns the first outcome into the second."""

    keys: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Share:
    """How much of a numeric difference one clause accounts for (inch-pound-degree units)."""

    key: str
    amount: Fraction


@dataclass(frozen=True, slots=True)
class Drivers:
    """What drives the difference between two outcomes of one topic."""

    first: Signature
    second: Signature
    drivers: tuple[Driver, ...]
    shares: tuple[Share, ...]
    considered: tuple[str, ...]
    complete: bool


def find_drivers(runner: Hybrids, *, most_shared: int = MOST_SHARED) -> Drivers:
    """Find every smallest exchange that turns the first rule set's outcome into the second's."""
    first = runner.signature()
    keys = runner.keys
    second = runner.signature(frozenset(keys))
    if first == second:
        return Drivers(first, second, (), (), keys, True)
    complete = len(keys) <= MOST_KEYS
    found: list[frozenset[str]] = []
    for exchange in _exchanges(keys, len(keys) if complete else 2):
        if any(smaller <= exchange for smaller in found):
            continue
        if runner.signature(exchange) == second:
            found.append(exchange)
    drivers = tuple(Driver(tuple(k for k in keys if k in exchange)) for exchange in found)
    shares = _shares(runner, keys) if len(keys) <= most_shared else ()
    return Drivers(first, second, drivers, shares, keys, complete)


def _exchanges(keys: tuple[str, ...], most: int) -> Iterator[frozenset[str]]:
    for size in range(1, most + 1):
        for chosen in combinations(keys, size):
            yield frozenset(chosen)


def _figure(signature: Signature) -> Fraction | None:
    _, least, most, provided = signature
    if (least is None) != (most is None):
        return least if least is not None else most
    if least is None and provided and len(provided) == 1 and isinstance(provided[0], Fraction):
        return provided[0]
    return None


def _shares(runner: Hybrids, keys: tuple[str, ...]) -> tuple[Share, ...]:
    """Share a numeric difference among the keys; nothing where a hybrid has no figure."""
    figures: dict[frozenset[str], Fraction] = {}
    for exchange in (frozenset(), *_exchanges(keys, len(keys))):
        figure = _figure(runner.signature(exchange))
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
