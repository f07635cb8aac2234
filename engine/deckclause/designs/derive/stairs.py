"""Derived facts of guards and stairs, each by a named rule; unknown stays unknown.

Lengths are in inches. Every function takes the facts of one part and returns None where a fact it
needs is not stated.
"""

from __future__ import annotations

from fractions import Fraction

from deckclause.designs.design import Facts


def drop_within_36_in(facts: Facts) -> Fraction | None:
    """Add how far the ground falls within 36 in outward of the edge to the drop straight down.

    >>> drop_within_36_in({"guards.drop_straight_down": Fraction(28),
    ...     "guards.ground_fall_within_36_in": Fraction(4)})
    Fraction(32, 1)
    """
    straight = facts.get("guards.drop_straight_down")
    fall = facts.get("guards.ground_fall_within_36_in")
    if isinstance(straight, Fraction) and isinstance(fall, Fraction):
        return straight + fall
    return None


def even_riser_height(facts: Facts) -> Fraction | None:
    """Divide the total rise by the number of risers, where all risers are laid out equal.

    >>> even_riser_height({"stairs.risers_even": True, "stairs.total_rise": Fraction(29),
    ...     "stairs.riser_count": Fraction(4)})
    Fraction(29, 4)
    """
    rise = facts.get("stairs.total_rise")
    count = facts.get("stairs.riser_count")
    if facts.get("stairs.risers_even") is not True:
        return None
    if isinstance(rise, Fraction) and isinstance(count, Fraction) and count > 0:
        return rise / count
    return None


def total_rise_of_even_risers(facts: Facts) -> Fraction | None:
    """Multiply the riser height by the number of risers, where all risers are laid out equal."""
    height = facts.get("stairs.riser_height")
    count = facts.get("stairs.riser_count")
    if facts.get("stairs.risers_even") is not True:
        return None
    if isinstance(height, Fraction) and isinstance(count, Fraction):
        return height * count
    return None


def lowest_of_even_risers(facts: Facts) -> Fraction | None:
    """Give the riser height itself where all risers are laid out equal."""
    height = facts.get("stairs.riser_height")
    even = facts.get("stairs.risers_even") is True
    return height if even and isinstance(height, Fraction) else None


def riser_variation(facts: Facts) -> Fraction | None:
    """Take the lowest riser from the tallest."""
    return _difference(facts, "stairs.riser_height", "stairs.lowest_riser")


def tread_variation(facts: Facts) -> Fraction | None:
    """Take the shallowest tread from the deepest."""
    return _difference(facts, "stairs.deepest_tread", "stairs.tread_depth")


def rise_of_the_only_flight(facts: Facts) -> Fraction | None:
    """Give the total rise where the stair is one flight."""
    return _of_one_flight(facts, "stairs.total_rise")


def risers_of_the_only_flight(facts: Facts) -> Fraction | None:
    """Give the number of risers where the stair is one flight."""
    return _of_one_flight(facts, "stairs.riser_count")


def _of_one_flight(facts: Facts, quantity: str) -> Fraction | None:
    value = facts.get(quantity)
    return value if facts.get("stairs.flights") == 1 and isinstance(value, Fraction) else None


def _difference(facts: Facts, greater: str, lesser: str) -> Fraction | None:
    high, low = facts.get(greater), facts.get(lesser)
    if isinstance(high, Fraction) and isinstance(low, Fraction):
        return high - low
    return None
