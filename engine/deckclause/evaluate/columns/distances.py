"""Which facts a distance between two datums can rest on.

The fixed distances of a design (designs/geometry.py) join datums into a graph. A distance rests
on the facts of those joints that lie on some way from the one datum to the other; to look at no
others keeps the ways a column can be filled few.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from functools import lru_cache

from deckclause.designs.design import Facts
from deckclause.designs.geometry import fixed_distances, known_distances

Pair = tuple[str, str]
Joint = tuple[str, str, tuple[str, ...]]


def facts_of_distance(pair: Pair, lengths: Iterable[str]) -> frozenset[str]:
    """Return the quantities, of all `lengths`, that the distance of a pair can rest on."""
    return _facts_of_distance(pair, tuple(lengths))


@lru_cache(maxsize=256)
def _facts_of_distance(pair: Pair, lengths: tuple[str, ...]) -> frozenset[str]:
    probe: Facts = {name: Fraction(prime) for name, prime in zip(lengths, _primes(), strict=False)}
    joints = [(f.start, f.end, f.because) for f in fixed_distances(probe)]
    found = {name for way in _ways(pair, joints) for joint in way for name in joint[2]}
    # a distance measured as a whole stands beside those that add up
    for name in lengths:
        if name not in found and pair in known_distances({name: probe[name]}):
            found.add(name)
    return frozenset(found)


def _ways(pair: Pair, joints: list[Joint]) -> Iterator[list[Joint]]:
    """Yield every way from one datum to the other that passes no datum twice."""
    start, end = pair

    def go(here: str, passed: frozenset[str], way: list[Joint]) -> Iterator[list[Joint]]:
        if here == end:
            yield way
            return
        for joint in joints:
            for one, other in ((joint[0], joint[1]), (joint[1], joint[0])):
                if one == here and other not in passed:
                    yield from go(other, passed | {other}, [*way, joint])

    yield from go(start, frozenset([start]), [])


def _primes() -> Iterator[int]:
    number = 2
    while True:
        if all(number % divisor for divisor in range(2, int(number**0.5) + 1)):
            yield number
        number += 1
