"""The oracle's clauses on landings and step-downs at doors."""

from __future__ import annotations

from fractions import Fraction

from oracle.conditions import (
    NOT_APPLICABLE,
    Facts,
    Finding,
    Truth,
    all_of,
    at_least,
    at_most,
    equals,
    outside,
    required,
    unless,
)


def _onto_deck(facts: Facts) -> Truth:
    return equals(facts.get("doors.opens_onto"), "deck")


def landing(facts: Facts) -> list[Finding]:
    # Inspection News 10094 (2006), Building Code Forum 35179 (2015 to 2021): a landing at every
    # exterior door, but for other doors over a stair of two risers they do not swing over.
    small_stair = all_of(
        equals(facts.get("doors.role"), "other"),
        equals(facts.get("doors.opens_onto"), "stair"),
        at_most(facts.get("doors.exterior_risers"), 2),
        equals(facts.get("doors.swings_over_landing"), False),
    )
    return [unless(required(_onto_deck(facts)), small_stair, (NOT_APPLICABLE, None))]


def landing_size(facts: Facts) -> list[Finding]:
    # Building Code Forum 211369 (2015): as wide as the door, 36 in deep; small balconies apart.
    reached = outside(_onto_deck(facts))
    if reached is not None:
        return [reached]
    wide, door = facts.get("doors.landing_width"), facts.get("doors.width")
    as_wide = None if wide is None or door is None else wide >= door  # type: ignore[operator]
    deep = required(at_least(facts.get("doors.landing_depth"), 36), Fraction(36))
    small = all_of(
        equals(facts.get("deck.use"), "exterior_balcony"),
        None if facts.get("deck.area") is None else facts["deck.area"] < 60 * 144,  # type: ignore[operator]
        equals(facts.get("deck.reached_only_from_door"), True),
    )
    limit = door if isinstance(door, Fraction) else None
    return [required(as_wide, limit), unless(deep, small, (NOT_APPLICABLE, None))]


def landing_slope(facts: Facts) -> list[Finding]:
    # Inspection News 10094 (2006), Building Code Forum 211369 (2015): 2 percent.
    holds = at_most(facts.get("doors.landing_slope"), Fraction(1, 50))
    return [outside(_onto_deck(facts)) or required(holds, Fraction(1, 50))]


def step_down(facts: Facts) -> list[Finding]:
    # Building Code Forum, December 2015 (2009, 2012) and 211369 (2015): 1-1/2 in; 7-3/4 in where
    # the door does not swing over the landing.
    asked = all_of(equals(facts.get("doors.role"), "required_egress"), _onto_deck(facts))
    down = facts.get("doors.step_down")
    base = required(at_most(down, Fraction(3, 2)), Fraction(3, 2))
    eased = required(at_most(down, Fraction(31, 4)), Fraction(31, 4))
    no_swing = equals(facts.get("doors.swings_over_landing"), False)
    return [outside(asked) or unless(base, no_swing, eased)]


def step_down_other(facts: Facts) -> list[Finding]:
    # Building Code Forum 35179: 7-3/4 in at other doors, whichever way they swing.
    asked = all_of(equals(facts.get("doors.role"), "other"), _onto_deck(facts))
    holds = at_most(facts.get("doors.step_down"), Fraction(31, 4))
    return [outside(asked) or required(holds, Fraction(31, 4))]
