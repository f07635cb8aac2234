"""Exact difference constraints: whether limits can be kept, and how far a datum can go.

A distance `least <= x_end - x_start <= most` is two arcs of a graph: `x_end <= x_start + most`
and `x_start <= x_end - least`. The limits can be kept exactly when no cycle of arcs is negative;
the greatest `x_b - x_a` is the length of the shortest path from a to b (Bellman 1958, Ford 1956;
Cormen et al., *Introduction to Algorithms*, 'Difference constraints and shortest paths').

All arithmetic is on whole ticks: the least common denominator of every bound. Each arc costs
`ticks * scale + 1` with `scale` above the number of arcs a path can have, so among the shortest
paths the one with the fewest links wins: the shortest proof. Dividing by `scale` gives the ticks
back exactly.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from math import lcm
from typing import NamedTuple

from msgspec import Struct

from deckclause.placement.answers import Ask, Bound, Conflict, Extreme, Link, Solution
from deckclause.placement.constraints import Distance


class Arc(NamedTuple):
    """One bound of one distance, in ticks: `x[head] <= x[tail] + ticks`."""

    tail: int
    head: int
    ticks: int
    distance: int
    bound: Bound


class System(Struct, frozen=True):
    """Distances compiled to arcs between numbered datums."""

    distances: tuple[Distance, ...]
    datums: tuple[str, ...]
    ticks_per_inch: int
    arcs: tuple[Arc, ...]

    def link(self, arc: Arc) -> Link:
        """Return the arc as a link of a proof."""
        return Link(self.distances[arc.distance], arc.bound)

    def inches(self, ticks: int) -> Fraction:
        """Return ticks as inches."""
        return Fraction(ticks, self.ticks_per_inch)


class _Paths(NamedTuple):
    ticks: list[int | None]
    arrivals: list[Arc | None]
    cycle: tuple[Arc, ...]


def compile_system(distances: Iterable[Distance]) -> System:
    """Give each datum a number and turn every bound into an arc in whole ticks.

    A board that only bounds (a row passes through the wood) makes no arc where a clause asks at
    least as much between the same datums: it adds nothing, and a proof should name the clause.

    >>> rows = Distance("upper", "lower", Fraction(13, 8), Fraction(5), "row spacing")
    >>> compile_system([rows]).ticks_per_inch
    8
    """
    kept = tuple(distances)
    numbers: dict[str, int] = {}
    denominators = {1}
    for item in kept:
        numbers.setdefault(item.start, len(numbers))
        numbers.setdefault(item.end, len(numbers))
        if item.least is not None:
            denominators.add(item.least.denominator)
        if item.most is not None:
            denominators.add(item.most.denominator)
    per_inch = lcm(*denominators)
    arcs: list[Arc] = []
    for index, item in enumerate(kept):
        start, end = numbers[item.start], numbers[item.end]
        if item.most is not None:
            arcs.append(Arc(start, end, _ticks(item.most, per_inch), index, "most"))
        if item.least is not None:
            arcs.append(Arc(end, start, -_ticks(item.least, per_inch), index, "least"))
    return System(kept, tuple(numbers), per_inch, _without_idle_boards(kept, arcs))


def _without_idle_boards(distances: Sequence[Distance], arcs: Sequence[Arc]) -> tuple[Arc, ...]:
    asked: dict[tuple[int, int], int] = {}
    for arc in arcs:
        if distances[arc.distance].kind == "clause":
            pair = (arc.tail, arc.head)
            asked[pair] = min(arc.ticks, asked.get(pair, arc.ticks))
    return tuple(
        arc
        for arc in arcs
        if distances[arc.distance].kind == "clause"
        or distances[arc.distance].is_rigid
        or asked.get((arc.tail, arc.head), arc.ticks + 1) > arc.ticks
    )


def _ticks(length: Fraction, per_inch: int) -> int:
    return length.numerator * (per_inch // length.denominator)


def shortest_paths(size: int, arcs: Sequence[Arc], source: int | None) -> _Paths:
    """Bellman-Ford from `source`, or from everywhere at once where it is None.

    Returns the shortest length in ticks to each datum (None if not reached), the arc it is
    reached by, and a negative cycle in order (empty if there is none).
    """
    scale = size + 2
    leaving: list[list[tuple[int, int, Arc]]] = [[] for _ in range(size)]
    for arc in arcs:
        leaving[arc.tail].append((arc.head, arc.ticks * scale + 1, arc))
    best: list[int | None] = [0 if source is None else None] * size
    arrivals: list[Arc | None] = [None] * size
    active: Iterable[int] = range(size)
    if source is not None:
        best[source], active = 0, (source,)
    for _ in range(size + 1):
        changed: dict[int, None] = {}
        for tail in active:
            base = best[tail]
            assert base is not None
            for head, cost, arc in leaving[tail]:
                known = best[head]
                if known is None or base + cost < known:
                    best[head] = base + cost
                    arrivals[head] = arc
                    changed[head] = None
        if not changed:
            return _Paths([None if b is None else b // scale for b in best], arrivals, ())
        active = changed
    return _Paths([], arrivals, _cycle_behind(next(iter(active)), arrivals, size))


def _cycle_behind(datum: int, arrivals: Sequence[Arc | None], size: int) -> tuple[Arc, ...]:
    """Walk back from a datum still changing after `size` rounds: it leads into a cycle."""
    for _ in range(size):
        arc = arrivals[datum]
        assert arc is not None
        datum = arc.tail
    cycle: list[Arc] = []
    at = datum
    while True:
        arc = arrivals[at]
        assert arc is not None
        cycle.append(arc)
        at = arc.tail
        if at == datum:
            return tuple(reversed(cycle))


def conflict_of(system: System, cycle: Sequence[Arc]) -> Conflict:
    """Return a negative cycle of arcs as a conflict with its shortfall in inches."""
    total = sum(arc.ticks for arc in cycle)
    return Conflict(tuple(system.link(arc) for arc in cycle), system.inches(-total))


def solve(distances: Iterable[Distance] | System, asks: Sequence[Ask] = ()) -> Solution:
    """Answer whether all distances can hold at once, and each ask, with proofs.

    Raises KeyError where an ask names a datum no distance mentions. Where the distances
    conflict, `extremes` is empty: no position exists to speak of.

    >>> top = Distance("ledger.top_edge", "fasteners.upper_row", Fraction(2), None, "top edge")
    >>> answer = solve([top], [Ask("ledger.top_edge", "fasteners.upper_row", "least")])
    >>> answer.extremes[0].value
    Fraction(2, 1)
    """
    system = distances if isinstance(distances, System) else compile_system(distances)
    size = len(system.datums)
    start = shortest_paths(size, system.arcs, None)
    if start.cycle:
        return Solution(None, minimal_conflict(system, start.cycle), ())
    base = [ticks or 0 for ticks in start.ticks]
    return Solution(_positions(system, base), None, _extremes(system, base, asks))


def minimal_conflict(system: System, cycle: Sequence[Arc]) -> Conflict:
    """Lessen a negative cycle until no clause in it can be spared (the boards stay)."""
    kinds = [d.kind for d in system.distances]
    best = tuple(cycle)
    for index in sorted({a.distance for a in cycle if kinds[a.distance] == "clause"}):
        kept = {a.distance for a in best} - {index}
        arcs = [a for a in system.arcs if kinds[a.distance] == "boards" or a.distance in kept]
        best = shortest_paths(len(system.datums), arcs, None).cycle or best
    return conflict_of(system, best)


class Positions(Mapping[str, Fraction]):
    """Where each datum stands, in inches; turned from ticks when asked."""

    __slots__ = ("_numbers", "_system", "_ticks")

    def __init__(self, system: System, numbers: Mapping[str, int], ticks: Sequence[int]) -> None:
        self._system, self._numbers, self._ticks = system, numbers, ticks

    def __getitem__(self, datum: str) -> Fraction:
        return self._system.inches(self._ticks[self._numbers[datum]])

    def __iter__(self) -> Iterator[str]:
        return iter(self._numbers)

    def __len__(self) -> int:
        return len(self._numbers)

    def __repr__(self) -> str:
        return repr(dict(self))


def _positions(system: System, ticks: Sequence[int]) -> Positions:
    return Positions(system, {name: n for n, name in enumerate(system.datums)}, ticks)


def _extremes(system: System, base: Sequence[int], asks: Sequence[Ask]) -> tuple[Extreme, ...]:
    numbers = {name: i for i, name in enumerate(system.datums)}
    found: dict[int, _Paths] = {}
    answers: list[Extreme] = []
    for ask in asks:
        start, end = _number(numbers, ask.start), _number(numbers, ask.end)
        source, target = (start, end) if ask.sense == "greatest" else (end, start)
        if source not in found:
            found[source] = shortest_paths(len(system.datums), system.arcs, source)
        answers.append(_extreme(system, base, ask, found[source], source, target))
    return tuple(answers)


def _number(numbers: Mapping[str, int], datum: str) -> int:
    if datum not in numbers:
        known = ", ".join(sorted(numbers))
        raise KeyError(f"no limit or board mentions '{datum}'; known datums: {known}")
    return numbers[datum]


def _extreme(
    system: System, base: Sequence[int], ask: Ask, paths: _Paths, source: int, target: int
) -> Extreme:
    length = paths.ticks[target]
    if length is None:
        away = (n for n, t in zip(system.datums, paths.ticks, strict=True) if t is None)
        return Extreme(ask, None, sliding=frozenset(away))
    chain: list[Link] = []
    at = target
    while at != source:
        arc = paths.arrivals[at]
        assert arc is not None
        chain.append(system.link(arc))
        at = arc.tail
    value = system.inches(length if ask.sense == "greatest" else -length)
    positions = _positions(system, _extended(system, base, paths.ticks))
    return Extreme(ask, value, tuple(reversed(chain)), positions)


def _extended(system: System, base: Sequence[int], ticks: Sequence[int | None]) -> list[int]:
    """Place the datums a path search did not reach so that every limit still holds.

    No arc leads from a reached datum to one that is not, so those may all be moved down together,
    far enough for the arcs that lead from them to the reached ones.
    """
    shift = 0
    for arc in system.arcs:
        head = ticks[arc.head]
        if ticks[arc.tail] is None and head is not None:
            shift = max(shift, head - arc.ticks - base[arc.tail])
    return [base[i] + shift if t is None else t for i, t in enumerate(ticks)]
