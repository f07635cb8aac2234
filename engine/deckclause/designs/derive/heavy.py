"""Whether what is stated to stand on a deck is heavier than the tables of a book are made for."""

from __future__ import annotations

from fractions import Fraction

from deckclause.designs.design import Facts

MOST_THAT_STAYS = Fraction(35, 144)
"""The load that stays with which wood is no more used than the tables use it (pounds a square inch).

NDS 2.3.2: (10 dead + 35) psf / 0.9 = 50 psf, the tables' 40 live and 10 dead; the clause
`heavy_area_load` of rules/practice.yaml says the same, and a test holds the two together.
"""
_PART = "unusual.parts"
_AREA, _LOAD = "unusual.heavy_area", "unusual.heavy_area_load"
_LEVELS = "unusual.levels"
_SNOW = "unusual.snow_from_roof"


def heavier_than_tables(facts: Facts) -> bool | None:
    """Tell whether a load stated is heavier than an even live load; None where it is not weighed.

    A design that speaks of no heavy part at all states none: whether it has any is asked of the
    deck as a whole (rules/practice.yaml).

    >>> heavier_than_tables({})
    False
    >>> heavier_than_tables({"unusual.heavy_area": "roof"})
    True
    >>> heavier_than_tables({"unusual.heavy_area": "hot_tub"}) is None
    True
    >>> heavier_than_tables({"unusual.heavy_area_load": Fraction(100, 144)})
    True
    >>> heavier_than_tables({"unusual.parts": "some", "unusual.heavy_area": "none"}) is None
    True
    """
    told = (
        _heavy_area(facts),
        _one_of_them(facts, _LEVELS, "one_on_another"),
        _one_of_them(facts, _SNOW, True),
    )
    if True in told:
        return True
    return None if None in told else False


def _heavy_area(facts: Facts) -> bool | None:
    area, load = facts.get(_AREA), facts.get(_LOAD)
    if area == "roof":
        return True
    if isinstance(load, Fraction):
        return load > MOST_THAT_STAYS
    if area is None:
        return None if facts.get(_PART) == "some" else False
    return False if area == "none" else None


def _one_of_them(facts: Facts, quantity: str, heavy: str | bool) -> bool | None:
    value = facts.get(quantity)
    if value is None:
        return None if facts.get(_PART) == "some" else False
    return value == heavy
