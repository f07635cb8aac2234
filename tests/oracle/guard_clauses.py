"""The oracle's clauses on guards of open edges and of open stair sides."""

from __future__ import annotations

from fractions import Fraction

from oracle.conditions import (
    NOT_APPLICABLE,
    Facts,
    Finding,
    Truth,
    Value,
    all_of,
    any_of,
    at_least,
    at_most,
    equals,
    minus,
    negated,
    outside,
    required,
)

TRIGGER = Fraction(30)


def ball(value: Value | None, size: Fraction) -> Finding:
    """A ball of this size does not pass: the opening is smaller."""
    return required(negated(at_least(value, size)), size)


def inside(value: Value | None, least: Fraction, most: Fraction) -> Finding:
    return required(all_of(at_least(value, least), at_most(value, most)), (least, most))


def guarded_where_high(drop: Value | None, guarded: Truth) -> list[Finding]:
    low = at_most(drop, TRIGGER)
    if guarded is True:
        return [required(True)]
    return [required(any_of(guarded, low), TRIGGER)]


# --- open edges ---------------------------------------------------------------------------------
def _drop(facts: Facts) -> Value | None:
    # michicode.com, January 2010: from 2009 on, to the lowest point within 36 in of the edge.
    return facts.get("guards.drop_within_36_in")


def guard_required(facts: Facts) -> list[Finding]:
    # michicode.com (2009), Strong-Tie blog (2012), Jefferson County (2018): more than 30 in.
    return guarded_where_high(_drop(facts), equals(facts.get("guards.installed"), True))


def _asked_of(facts: Facts) -> Truth:
    return all_of(
        equals(facts.get("guards.installed"), True), negated(at_most(_drop(facts), TRIGGER))
    )


def guard_height_2009(facts: Facts) -> list[Finding]:
    # Significant Changes to the 2015 IRC: 36 in, from an adjacent fixed seat in 2009 and 2012.
    above = minus(facts.get("guards.height"), facts.get("guards.fixed_seat_height"))
    return [outside(_asked_of(facts)) or required(at_least(above, 36), Fraction(36))]


def guard_height_2018(facts: Facts) -> list[Finding]:
    # Jefferson County, guards: 36 in above the walking surface.
    holds = at_least(facts.get("guards.height"), 36)
    return [outside(_asked_of(facts)) or required(holds, Fraction(36))]


def guard_opening(facts: Facts) -> list[Finding]:
    # Inspection News 21255 and Jefferson County: a 4 in sphere must not pass.
    return [outside(_asked_of(facts)) or ball(facts.get("guards.opening"), Fraction(4))]


# --- open sides of stairs -----------------------------------------------------------------------
def _side(facts: Facts) -> Truth:
    return at_least(facts.get("stairs.open_sides"), 1)


def _stair_drop(facts: Facts) -> Value | None:
    # The drop of an open side is known only where it is known that there is one.
    if _side(facts) is not True:
        return None
    return facts.get("stairs.open_side_drop_within_36_in")


def _stair_asked(facts: Facts) -> Truth:
    return all_of(
        _side(facts),
        equals(facts.get("stairs.guard_installed"), True),
        negated(at_most(_stair_drop(facts), TRIGGER)),
    )


def stair_guard_required(facts: Facts) -> list[Finding]:
    # 2009 on: the part of the stair that is more than 30 in up, as for edges.
    reached = outside(_side(facts))
    if reached is not None:
        return [reached]
    guarded = equals(facts.get("stairs.guard_installed"), True)
    return guarded_where_high(_stair_drop(facts), guarded)


def stair_guard_height(facts: Facts) -> list[Finding]:
    # Significant Changes to the 2015 IRC: 34 in; 34 to 38 in where the top is the handrail.
    height = facts.get("stairs.guard_height")
    asked = _stair_asked(facts)
    plain = outside(asked) or required(at_least(height, 34), Fraction(34))
    if plain[0] == NOT_APPLICABLE:
        return [plain]
    rail = all_of(asked, equals(facts.get("stairs.guard_top_is_handrail"), True))
    return [plain, outside(rail) or inside(height, Fraction(34), Fraction(38))]


def stair_guard_opening(facts: Facts) -> list[Finding]:
    # Inspection News 21255, Litchfield Park: 4-3/8 in.
    opening = facts.get("stairs.guard_opening")
    return [outside(_stair_asked(facts)) or ball(opening, Fraction(35, 8))]


def stair_guard_triangle(facts: Facts) -> list[Finding]:
    # Inspection News 21255: 6 in.
    opening = facts.get("stairs.guard_triangle_opening")
    return [outside(_stair_asked(facts)) or ball(opening, Fraction(6))]
