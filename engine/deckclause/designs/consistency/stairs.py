"""Measures of a stair or an open edge that contradict each other: no stair can have them all.

The tallest riser is never lower than the total rise shared out over the risers, nor the lowest
higher; neither needs the risers to be even. Where they are even, the stated riser height may stand
above that share by the sixteenth of an inch a tape is read to, and no more: so a riser height may
be rounded up, never down.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from deckclause.designs.design import Facts
from deckclause.quantities import length_text

Contradiction = tuple[str, str]
"""The quantity to look at first, and what is wrong with what would be right."""

READ_TO = Fraction(1, 16)


def stair_contradictions(facts: Facts) -> Iterator[Contradiction]:
    """Find what cannot stand together in the facts of one stair, derived ones among them.

    >>> facts = {"stairs.total_rise": Fraction(43), "stairs.riser_count": Fraction(5),
    ...     "stairs.riser_height": Fraction(7)}
    >>> [name for name, _ in stair_contradictions(facts)]
    ['stairs.riser_height']
    """
    yield from _risers(facts)
    yield from _ordered(facts, "stairs.lowest_riser", "stairs.riser_height", "the tallest riser")
    yield from _ordered(facts, "stairs.tread_depth", "stairs.deepest_tread", "the deepest tread")
    yield from _flights(facts)


def guard_contradictions(facts: Facts) -> Iterator[Contradiction]:
    """Find drops at one open edge that do not add up, where all three are stated.

    >>> facts = {"guards.drop_straight_down": Fraction(28), "guards.drop_within_36_in": Fraction(29),
    ...     "guards.ground_fall_within_36_in": Fraction(4)}
    >>> next(guard_contradictions(facts))[1]
    "29 in is not 28 in straight down and the ground's fall of 4 in; state two of the three"
    """
    straight = _number(facts, "guards.drop_straight_down")
    fall = _number(facts, "guards.ground_fall_within_36_in")
    drop = _number(facts, "guards.drop_within_36_in")
    if straight is None or fall is None or drop is None or straight + fall == drop:
        return
    yield (
        "guards.drop_within_36_in",
        f"{length_text(drop)} is not {length_text(straight)} straight down and the ground's fall "
        f"of {length_text(fall)}; state two of the three",
    )


def _number(facts: Facts, name: str) -> Fraction | None:
    value = facts.get(name)
    return value if isinstance(value, Fraction) else None


def _risers(facts: Facts) -> Iterator[Contradiction]:
    """Hold the tallest and the lowest riser against the total rise and the number of risers."""
    rise, count = _number(facts, "stairs.total_rise"), _number(facts, "stairs.riser_count")
    if rise is None or count is None:
        return
    if count == 0:
        if rise > 0:
            yield "stairs.riser_count", f"no risers cannot rise {length_text(rise)}; count them"
        return
    tallest, lowest = (
        _number(facts, f"stairs.{name}") for name in ("riser_height", "lowest_riser")
    )
    if tallest is not None and tallest * count < rise:
        yield (
            "stairs.riser_height",
            f"{count} risers of {length_text(tallest)} rise {length_text(tallest * count)}, less than "
            f"the total rise of {length_text(rise)}: the tallest of them is "
            f"{length_text(_up_to_tape(rise / count))} or more; write that, or leave out one of the "
            "three",
        )
    even = facts.get("stairs.risers_even") is True
    if tallest is not None and even and (tallest - READ_TO) * count > rise:
        yield (
            "stairs.riser_height",
            f"{count} even risers of {length_text(tallest)} rise {length_text(tallest * count)}, "
            f"not {length_text(rise)}, the total rise; measure again, or leave out one of the three",
        )
    if lowest is not None and not even and lowest * count > rise:
        yield (
            "stairs.lowest_riser",
            f"{count} risers of {length_text(lowest)} at least rise more than {length_text(rise)}, "
            "the total rise; measure again, or leave out one of the three",
        )


def _up_to_tape(length: Fraction) -> Fraction:
    """Round up to the sixteenth a tape is read to."""
    return READ_TO * -(-length // READ_TO)


def _ordered(facts: Facts, low: str, high: str, what: str) -> Iterator[Contradiction]:
    lesser, greater = _number(facts, low), _number(facts, high)
    if lesser is not None and greater is not None and lesser > greater:
        yield (
            low,
            f"{length_text(lesser)} is more than {length_text(greater)}, {what}; exchange the two "
            "or measure again",
        )


def _flights(facts: Facts) -> Iterator[Contradiction]:
    """Hold the tallest flight, and the flight with most risers, against the whole stair."""
    for part, whole in (
        ("stairs.tallest_flight_rise", "stairs.total_rise"),
        ("stairs.most_risers_in_flight", "stairs.riser_count"),
    ):
        flight, stair = _number(facts, part), _number(facts, whole)
        flights = _number(facts, "stairs.flights")
        if flight is None or stair is None:
            continue
        if flight > stair:
            yield part, f"one flight has more than the whole stair; {whole} gives the whole"
        elif flights is not None and flights > 0 and flight * flights < stair:
            yield part, f"{flights} flights with no more each fall short of {whole}"
