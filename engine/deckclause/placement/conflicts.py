"""Every minimal conflict of a system of distances.

A minimal conflict is a set of clauses that, with the boards, cannot be kept, while every smaller
part of it can. The boards always stand: they are what is on site, not what is asked.

Why cycles are enough. Boards at one fixed distance make datums into rigid bodies. Let S be a
minimal conflict. S with the boards has a negative cycle; pulled together to bodies it is a closed
walk, which splits into simple cycles of which one at least is negative; its clauses are within S
and conflict, so they are S. Hence every minimal conflict is the clause set of a simple negative
cycle between bodies, and the minimal ones among those sets are all there are.

The search visits each simple cycle once (least body first) and leaves a branch that can no longer
turn negative or that already holds a known conflict and more. It counts the arcs it tries and
stops at `effort`; `complete` is then False and at least one minimal conflict is still given.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from msgspec import Struct, field

from deckclause.placement.answers import Conflicts
from deckclause.placement.constraints import Distance
from deckclause.placement.solve import (
    Arc,
    System,
    compile_system,
    conflict_of,
    minimal_conflict,
    shortest_paths,
)

EFFORT = 100_000
"""Arcs tried before the search gives up on completeness (about 0.1 s)."""


class _Step(NamedTuple):
    """An arc between bodies; `clause` is None for a board that only bounds."""

    head: int
    ticks: int
    clause: int | None
    arc: Arc


def all_conflicts(distances: Iterable[Distance] | System, *, effort: int = EFFORT) -> Conflicts:
    """Return every minimal conflict, greatest shortfall first; empty where there is none.

    Where the boards contradict one another the one conflict returned has no clause in it.
    Raises ValueError for an effort below 1.

    >>> from fractions import Fraction
    >>> low = Distance("a", "b", Fraction(3), None, "at least three")
    >>> high = Distance("a", "b", None, Fraction(2), "at most two")
    >>> [str(c.shortfall) for c in all_conflicts([low, high]).conflicts]
    ['1']
    """
    if effort < 1:
        raise ValueError(f"effort is a count of arcs to try, at least 1, not {effort}")
    system = distances if isinstance(distances, System) else compile_system(distances)
    size = len(system.datums)
    first = shortest_paths(size, system.arcs, None)
    if not first.cycle:
        return Conflicts((), True)
    boards = [a for a in system.arcs if system.distances[a.distance].kind == "boards"]
    broken = shortest_paths(size, boards, None)
    if broken.cycle:
        return Conflicts((conflict_of(system, broken.cycle),), True)
    search = _Search(_bodies(system), effort)
    complete = search.run()
    cycles = [_through_boards(system, cycle) for cycle in search.minimal()]
    if complete:
        found = [conflict_of(system, cycle) for cycle in cycles]
    else:
        lessened = [minimal_conflict(system, cycle) for cycle in (*cycles, first.cycle)]
        found = list({frozenset(c.clauses): c for c in lessened}.values())
    found.sort(key=lambda c: (-c.shortfall, len(c.links)))
    return Conflicts(tuple(found), complete)


class _Bodies(NamedTuple):
    size: int
    leaving: list[list[_Step]]


def _bodies(system: System) -> _Bodies:
    """Pull datums at fixed distances together; return the arcs between the bodies."""
    body, offset = _rigid(system)
    numbers = {root: i for i, root in enumerate(sorted(set(body)))}
    leaving: list[list[_Step]] = [[] for _ in numbers]
    tightest: dict[tuple[int, int, int | None], _Step] = {}
    for arc in system.arcs:
        tail, head = numbers[body[arc.tail]], numbers[body[arc.head]]
        ticks = arc.ticks + offset[arc.tail] - offset[arc.head]
        if tail == head and ticks >= 0:
            continue
        clause = arc.distance if system.distances[arc.distance].kind == "clause" else None
        key = (tail, head, clause)
        if key not in tightest or ticks < tightest[key].ticks:
            tightest[key] = _Step(head, ticks, clause, arc)
    for (tail, _, _), step in tightest.items():
        leaving[tail].append(step)
    return _Bodies(len(numbers), leaving)


def _rigid(system: System) -> tuple[list[int], list[int]]:
    """Return the body of each datum (its least datum) and its place in it, in ticks."""
    size = len(system.datums)
    near: list[list[Arc]] = [[] for _ in range(size)]
    for arc in system.arcs:
        if system.distances[arc.distance].is_rigid:
            near[arc.tail].append(arc)
    body, offset = [-1] * size, [0] * size
    for root in range(size):
        if body[root] >= 0:
            continue
        body[root], waiting = root, [root]
        for datum in waiting:
            for arc in near[datum]:
                if body[arc.head] < 0:
                    body[arc.head] = root
                    offset[arc.head] = offset[datum] + arc.ticks
                    waiting.append(arc.head)
    return body, offset


class _Search(Struct, dict=True):
    """Depth-first search for simple negative cycles between bodies."""

    bodies: _Bodies
    effort: int
    found: dict[frozenset[int], tuple[int, tuple[Arc, ...]]] = field(default_factory=dict)
    least: list[int] = field(default_factory=list)
    on_path: list[bool] = field(default_factory=list)

    def run(self) -> bool:
        """Search from each body in turn; False where the effort ran out."""
        leaving = self.bodies.leaving
        self.least = [min([0, *(s.ticks for s in steps)]) for steps in leaving]
        self.on_path = [False] * self.bodies.size
        for root in range(self.bodies.size):
            gain = sum(self.least[root + 1 :])
            if not self._walk(root, root, 0, gain, []):
                return False
        return True

    def _walk(self, root: int, at: int, total: int, gain: int, path: list[_Step]) -> bool:
        """Extend a path; `gain` is the most the bodies not yet on it could still take off."""
        self.on_path[at] = True
        going = True
        for step in self.bodies.leaving[at]:
            self.effort -= 1
            if self.effort < 0:
                going = False
            elif step.head == root:
                self._record(total + step.ticks, [*path, step])
            elif step.head > root and not self.on_path[step.head]:
                longer = [*path, step]
                sum_now = total + step.ticks
                if sum_now + gain < 0 and not self._known(longer):
                    left = gain - self.least[step.head]
                    going = self._walk(root, step.head, sum_now, left, longer)
            if not going:
                break
        self.on_path[at] = False
        return going

    def _known(self, path: Sequence[_Step]) -> bool:
        clauses = {s.clause for s in path if s.clause is not None}
        return any(known < clauses for known in self.found)

    def _record(self, total: int, cycle: Sequence[_Step]) -> None:
        if total >= 0:
            return
        clauses = frozenset(s.clause for s in cycle if s.clause is not None)
        arcs = tuple(s.arc for s in cycle)
        known = self.found.get(clauses)
        if known is None or (total, len(arcs)) < (known[0], len(known[1])):
            self.found[clauses] = (total, arcs)

    def minimal(self) -> list[tuple[Arc, ...]]:
        """Return the cycles whose clause set holds no other found clause set."""
        sets = list(self.found)
        return [
            arcs
            for clauses, (_, arcs) in self.found.items()
            if not any(other < clauses for other in sets)
        ]


def _through_boards(system: System, cycle: Sequence[Arc]) -> tuple[Arc, ...]:
    """Join the arcs of a cycle between bodies by the boards inside each body."""
    rigid = [a for a in system.arcs if system.distances[a.distance].is_rigid]
    whole: list[Arc] = []
    for index, arc in enumerate(cycle):
        whole.append(arc)
        following = cycle[(index + 1) % len(cycle)]
        whole.extend(_along_boards(rigid, arc.head, following.tail))
    return tuple(whole)


def _along_boards(rigid: Sequence[Arc], start: int, end: int) -> list[Arc]:
    """Return the fewest board arcs from one datum of a body to another."""
    came: dict[int, Arc | None] = {start: None}
    waiting = [start]
    for datum in waiting:
        for arc in rigid:
            if arc.tail == datum and arc.head not in came:
                came[arc.head] = arc
                waiting.append(arc.head)
    path: list[Arc] = []
    at = end
    while (step := came[at]) is not None:
        path.append(step)
        at = step.tail
    path.reverse()
    return path
