"""Check an answer by adding it up, apart from the solver.

Nothing here searches: each link must belong to the distances given, the links must join end to
end, and their sum must be the answer. Only rational addition and comparison are used.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction

from deckclause.placement.answers import Ask, Conflict, Extreme, Link, Solution
from deckclause.placement.constraints import Distance


class ProofError(ValueError):
    """A proof that does not add up; the message says where."""


def check_conflict(distances: Iterable[Distance], conflict: Conflict) -> None:
    """Raise ProofError unless the conflict is a closed chain that falls short by its shortfall.

    >>> low = Distance("a", "b", Fraction(3), None, "at least three")
    >>> high = Distance("a", "b", None, Fraction(2), "at most two")
    >>> links = (Link(low, "least"), Link(high, "most"))
    >>> check_conflict([low, high], Conflict(links, Fraction(1)))
    """
    links = conflict.links
    if not links:
        raise ProofError("a conflict needs at least one link")
    total = _walk(distances, links, links[0].tail, links[0].tail)
    if conflict.shortfall <= 0:
        raise ProofError(f"a shortfall is more than nothing, not {conflict.shortfall}")
    if -total != conflict.shortfall:
        raise ProofError(f"the links add up to {-total}, not the shortfall {conflict.shortfall}")


def check_extreme(distances: Iterable[Distance], extreme: Extreme) -> None:
    """Raise ProofError unless the value is both bounded by its chain and reached.

    A bounded answer needs a chain whose sum is the value and positions that keep every distance
    and reach the value. An unbounded one needs positions of the rest untouched: a group of
    datums, with one of the two asked about and not the other, that no distance ties in the
    direction asked.
    """
    known = tuple(distances)
    ask, value = extreme.ask, extreme.value
    source, target = _direction(ask)
    if value is None:
        _check_sliding(known, extreme.sliding, source, target)
        return
    total = _walk(known, extreme.chain, source, target)
    wanted = value if ask.sense == "greatest" else -value
    if total != wanted:
        raise ProofError(f"the chain adds up to {total}, not {wanted}")
    check_positions(known, extreme.positions)
    reached = extreme.positions[ask.end] - extreme.positions[ask.start]
    if reached != value:
        raise ProofError(f"the positions given reach {reached}, not {value}")


def check_solution(distances: Iterable[Distance], solution: Solution) -> None:
    """Raise ProofError unless every part of a solution is proved."""
    known = tuple(distances)
    if solution.positions is None:
        if solution.conflict is None or solution.extremes:
            raise ProofError("a system that cannot hold needs a conflict and has no extremes")
        check_conflict(known, solution.conflict)
        return
    if solution.conflict is not None:
        raise ProofError("a system cannot both hold and conflict")
    check_positions(known, solution.positions)
    for extreme in solution.extremes:
        check_extreme(known, extreme)


def check_positions(distances: Iterable[Distance], positions: Mapping[str, Fraction]) -> None:
    """Raise ProofError unless the positions (datum to inches) keep every distance."""
    for item in distances:
        if item.start not in positions or item.end not in positions:
            raise ProofError(f"no position is given for a datum of '{item.label}'")
        apart = positions[item.end] - positions[item.start]
        if item.least is not None and apart < item.least:
            raise ProofError(
                f"'{item.label}' asks for {item.bounds_text()}, positions give {apart}"
            )
        if item.most is not None and apart > item.most:
            raise ProofError(
                f"'{item.label}' asks for {item.bounds_text()}, positions give {apart}"
            )


def _direction(ask: Ask) -> tuple[str, str]:
    return (ask.start, ask.end) if ask.sense == "greatest" else (ask.end, ask.start)


def _walk(distances: Iterable[Distance], links: Sequence[Link], start: str, end: str) -> Fraction:
    """Follow the links from `start` to `end`; return the sum of their lengths."""
    known = tuple(distances)
    at, total = start, Fraction(0)
    for link in links:
        if link.distance not in known:
            raise ProofError(f"'{link.distance.label}' is not one of the distances given")
        if link.tail != at:
            raise ProofError(f"'{link.distance.label}' starts at {link.tail}, the chain is at {at}")
        at, total = link.head, total + link.length
    if at != end:
        raise ProofError(f"the chain ends at {at}, not at {end}")
    return total


def _check_sliding(
    distances: Sequence[Distance], sliding: frozenset[str], source: str, target: str
) -> None:
    if target not in sliding or source in sliding:
        raise ProofError("an open answer needs a group that slides with one datum, not the other")
    for item in distances:
        if item.most is not None and item.end in sliding and item.start not in sliding:
            raise ProofError(f"'{item.label}' keeps {item.end} within reach of {item.start}")
        if item.least is not None and item.start in sliding and item.end not in sliding:
            raise ProofError(f"'{item.label}' keeps {item.start} within reach of {item.end}")
