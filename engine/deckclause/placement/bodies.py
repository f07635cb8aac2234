"""Feasibility and one extreme, many times over the same boards, without proofs.

For exchanging clauses between rule sets: the boards are pulled together once to rigid bodies (a
section has four or so), and each set of limits is closed over them (Floyd 1962, Warshall 1962).
`solve` gives the same answers with proofs; a test holds the two together.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from math import lcm

from deckclause.placement.constraints import Distance

Ticks = int | Fraction
Matrix = list[list[Ticks | None]]
Pull = tuple[int, int, Ticks]
"""Body, body, ticks: the second stands no further below the first than so many ticks."""


class Bodies:
    """The boards of one section as rigid bodies, ready for limits over the same datums."""

    def __init__(self, boards: Sequence[Distance], limits: Iterable[Distance]) -> None:
        every = [*boards, *limits]
        bounds = [b for d in every for b in (d.least, d.most) if b is not None]
        self.ticks = lcm(1, *(b.denominator for b in bounds))
        self._place: dict[str, tuple[int, Ticks]] = {}
        groups: dict[int, list[str]] = {}
        for item in every:
            for datum in (item.start, item.end):
                if datum not in self._place:
                    groups[len(groups)] = [datum]
                    self._place[datum] = (len(groups) - 1, 0)
        self._stands = all(self._join(item, groups) for item in boards if item.is_rigid)
        numbers = {root: n for n, root in enumerate(r for r in groups if groups[r])}
        self._place = {d: (numbers[root], at) for d, (root, at) in self._place.items()}
        self._size = len(numbers)
        self._pulled: dict[int, tuple[Distance, tuple[Pull, ...]]] = {}
        self._base = self._matrix(item for item in boards if not item.is_rigid)

    def _matrix(self, boards: Iterable[Distance]) -> Matrix:
        size = range(self._size)
        best: Matrix = [[0 if i == j else None for j in size] for i in size]
        for item in boards:
            for tail, head, ticks in self._pulls(item):
                known = best[tail][head]
                if known is None or ticks < known:
                    best[tail][head] = ticks
        return best

    def _join(self, item: Distance, groups: dict[int, list[str]]) -> bool:
        """Join two bodies by a fixed length; False where the boards contradict one another."""
        assert item.least is not None
        (one, at), (two, its) = self._place[item.start], self._place[item.end]
        shift = at + self._count(item.least) - its
        if one == two:
            return shift == 0
        for datum in groups[two]:
            self._place[datum] = (one, self._place[datum][1] + shift)
        groups[one] += groups[two]
        groups[two] = []
        return True

    def _count(self, length: Fraction) -> Ticks:
        """Return a length in ticks: a whole number where it is one, else exact all the same."""
        ticks = length * self.ticks
        return ticks.numerator if ticks.denominator == 1 else ticks

    def pulls(self, item: Distance) -> tuple[Pull, ...]:
        """Return a limit as pulls between bodies; worked out once for each limit."""
        known = self._pulled.get(id(item))
        if known is None:
            known = (item, self._pulls(item))
            self._pulled[id(item)] = known
        return known[1]

    def _pulls(self, item: Distance) -> tuple[Pull, ...]:
        (one, at), (two, its) = self._place[item.start], self._place[item.end]
        found: list[Pull] = []
        if item.most is not None:
            found.append((one, two, self._count(item.most) + at - its))
        if item.least is not None:
            found.append((two, one, its - at - self._count(item.least)))
        return tuple(found)

    def closed(self, pulls: Iterable[Pull]) -> Matrix | None:
        """Return the least distance each pair of bodies allows; None where the limits conflict."""
        if not self._stands:
            return None
        best: Matrix = [row.copy() for row in self._base]
        for tail, head, ticks in pulls:
            known = best[tail][head]
            if known is None or ticks < known:
                best[tail][head] = ticks
        for k, through in enumerate(best):
            open_to = [(j, second) for j, second in enumerate(through) if second is not None]
            for row in best:
                first = row[k]
                if first is None:
                    continue
                for j, second in open_to:
                    known = row[j]
                    if known is None or first + second < known:
                        row[j] = first + second
            if (through[k] or 0) < 0:
                return None
        return best if all((row[i] or 0) >= 0 for i, row in enumerate(best)) else None

    def greatest(self, matrix: Matrix, start: str, end: str) -> Fraction | None:
        """Return how far `end` may stand below `start`, inches; None where open or not tied."""
        if start not in self._place or end not in self._place:
            return None
        (one, at), (two, its) = self._place[start], self._place[end]
        ticks = matrix[one][two]
        return None if ticks is None else Fraction(ticks + its - at, self.ticks)
