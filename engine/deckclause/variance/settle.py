"""Settle free measures of a section: as near to what was designed as the limits allow."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction
from math import ceil, floor

from deckclause.placement.answers import Ask
from deckclause.placement.constraints import Distance, fixed
from deckclause.placement.from_design import MEASURES
from deckclause.placement.solve import solve

Range = tuple[Fraction | None, Fraction | None]


def settle(
    distances: Sequence[Distance],
    order: Sequence[str],
    now: Mapping[str, Fraction],
    steps: Mapping[str, Fraction],
) -> dict[str, Fraction] | None:
    """Return a value for each measure of `order`, or None where no arrangement exists.

    One after another, each takes the value nearest to `now` within what the limits still leave
    it: a whole number of its step where there is one, else the exact end of the range. Fixing a
    value inside its range never shuts out the others (difference constraints project to ranges).
    """
    kept = list(distances)
    values: dict[str, Fraction] = {}
    for measure in order:
        start, end = MEASURES[measure]
        room = reach(kept, start, end)
        if room is None:
            return None
        value = nearest(now[measure], room, steps.get(measure))
        values[measure] = value
        kept.append(fixed(start, end, value, measure))
    return values


def reach(distances: Iterable[Distance], start: str, end: str) -> Range | None:
    """Return the least and the greatest distance from `start` to `end`; None where none exists."""
    try:
        answer = solve(distances, (Ask(start, end, "least"), Ask(start, end, "greatest")))
    except KeyError:
        return (None, None)
    if not answer.is_feasible:
        return None
    low, high = (extreme.value for extreme in answer.extremes)
    return low, high


def nearest(now: Fraction, room: Range, step: Fraction | None) -> Fraction:
    """Return the value within `room` nearest to `now`, on a whole step where one fits.

    >>> nearest(Fraction(3), (None, Fraction(7, 4)), Fraction(1, 2))
    Fraction(3, 2)
    >>> nearest(Fraction(3), (Fraction(5, 3), Fraction(7, 4)), Fraction(1))
    Fraction(7, 4)
    """
    low, high = room
    if (low is None or now >= low) and (high is None or now <= high):
        return now
    edge = low if low is not None and now < low else high
    assert edge is not None
    if step is None:
        return edge
    marked = (ceil if now < edge else floor)(edge / step) * step
    inside = (low is None or marked >= low) and (high is None or marked <= high)
    return marked if inside else edge
