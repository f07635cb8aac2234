"""The least total by which limits must be let out for a section to stand, exactly.

Letting out a bound by r adds r to its arc. The section stands when no cycle of arcs is negative
(see placement.solve), so every cycle that runs short asks that the amounts of the bounds on it,
each counted as often as it is used, come to at least what is short. The least sum of amounts
under all these is a linear program with a handful of unknowns. Its cycles are found one by one:
solve with those known, let the limits out by the answer, look for a cycle still negative, add it.
Cycles are finite in number and none is found twice, so it ends; it ends at a section that stands,
with a sum no greater than the least, which is therefore the least.

Letting clauses out one after another, each as little as it can be, does not reach it: where three
clauses pairwise lack 2 in, any order gives 4 in, while 1 in of each, 3 in, will do.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction
from itertools import combinations

from msgspec.structs import replace

from deckclause.placement.answers import Bound, Link
from deckclause.placement.constraints import Distance
from deckclause.placement.solve import System, compile_system, shortest_paths

Slack = tuple[int, Bound]
"""A bound that may be let out: number of the limit, and which of its bounds."""
Row = tuple[Mapping[Slack, int], Fraction]
"""What one cycle asks: how often it uses each bound, and the least their amounts must come to."""


def least_sum(fixed: Sequence[Distance], loose: Sequence[Distance]) -> dict[Slack, Fraction] | None:
    """Return the least amounts, in inches, by which `loose` must be let out; None where none do.

    Only bounds let out at all are named. Where several answers have the least sum, the one that
    lets out the first limits least is given.

    >>> at_least = Distance("a", "b", Fraction(3), None, "at least three")
    >>> at_most = Distance("a", "b", None, Fraction(2), "at most two")
    >>> least_sum([at_most], [at_least])
    {(0, 'least'): Fraction(1, 1)}
    """
    rows: list[Row] = []
    amounts: dict[Slack, Fraction] = {}
    while True:
        row = _broken(fixed, loose, amounts)
        if row is None:
            return {slack: amount for slack, amount in amounts.items() if amount}
        if not row[0]:
            return None
        rows.append(row)
        amounts = _least(rows)


def let_out(distance: Distance, number: int, amounts: Mapping[Slack, Fraction]) -> Distance:
    """Return a limit let out by its amounts."""
    least, most = distance.least, distance.most
    if least is not None:
        least -= amounts.get((number, "least"), Fraction(0))
    if most is not None:
        most += amounts.get((number, "most"), Fraction(0))
    return replace(distance, least=least, most=most)


def _broken(
    fixed: Sequence[Distance], loose: Sequence[Distance], amounts: Mapping[Slack, Fraction]
) -> Row | None:
    """Return what a cycle still negative asks of the bounds; None where the section stands."""
    relaxed = [let_out(item, number, amounts) for number, item in enumerate(loose)]
    system = compile_system([*relaxed, *fixed])
    cycle = shortest_paths(len(system.datums), system.arcs, None).cycle
    return _asks(system, [system.link(arc) for arc in cycle], loose, relaxed) if cycle else None


def _asks(
    system: System, links: Iterable[Link], loose: Sequence[Distance], relaxed: Sequence[Distance]
) -> Row:
    numbers = {id(item): number for number, item in enumerate(system.distances[: len(relaxed)])}
    uses: dict[Slack, int] = {}
    total = Fraction(0)
    for link in links:
        number = numbers.get(id(link.distance))
        if number is None:
            total += link.length
            continue
        total += Link(loose[number], link.bound).length
        uses[(number, link.bound)] = uses.get((number, link.bound), 0) + 1
    return uses, -total


def _least(rows: Sequence[Row]) -> dict[Slack, Fraction]:
    """Minimise the sum of amounts, none below zero, under every row: the best of all corners.

    A corner is where as many of the rows and of the zeros as there are unknowns hold exactly.
    Every coefficient is positive, so that some corner is a least answer.
    """
    slacks = sorted({slack for uses, _ in rows for slack in uses})
    planes = [([Fraction(uses.get(s, 0)) for s in slacks], asked) for uses, asked in rows]
    kept = list(planes)
    for place in range(len(slacks)):
        kept.append(([Fraction(int(i == place)) for i in range(len(slacks))], Fraction(0)))
    best: list[Fraction] | None = None
    for chosen in combinations(kept, len(slacks)):
        corner = _corner(chosen)
        if corner is None or min(corner) < 0 or not all(_meets(corner, p) for p in planes):
            continue
        if best is None or (sum(corner), corner) < (sum(best), best):
            best = corner
    assert best is not None
    return dict(zip(slacks, best, strict=True))


def _meets(corner: Sequence[Fraction], plane: tuple[Sequence[Fraction], Fraction]) -> bool:
    weights, asked = plane
    return sum((w * x for w, x in zip(weights, corner, strict=True)), Fraction(0)) >= asked


def _corner(planes: Sequence[tuple[Sequence[Fraction], Fraction]]) -> list[Fraction] | None:
    """Solve the planes as equations (Gauss, Jordan); None where they meet in no single point."""
    rows = [[*weights, asked] for weights, asked in planes]
    size = len(rows)
    for place in range(size):
        pivot = next((r for r in range(place, size) if rows[r][place]), None)
        if pivot is None:
            return None
        rows[place], rows[pivot] = rows[pivot], rows[place]
        head = rows[place][place]
        rows[place] = [x / head for x in rows[place]]
        for other in range(size):
            factor = rows[other][place]
            if other != place and factor:
                rows[other] = [
                    x - factor * y for x, y in zip(rows[other], rows[place], strict=True)
                ]
    return [row[-1] for row in rows]
