"""The oracle's clauses on stairs, handrails and light."""

from __future__ import annotations

from fractions import Fraction

from oracle.conditions import (
    MISSING,
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
    one_of,
    outside,
    required,
)
from oracle.guard_clauses import ball, inside


def _least(value: Value | None, limit: Fraction) -> Finding:
    return required(at_least(value, limit), limit)


def _most(value: Value | None, limit: Fraction) -> Finding:
    return required(at_most(value, limit), limit)


def _straight(facts: Facts) -> Truth:
    return equals(facts.get("stairs.form"), "straight")


# --- what follows from what is stated -----------------------------------------------------------
def _even(facts: Facts) -> bool:
    return facts.get("stairs.risers_even") is True


def _riser(facts: Facts) -> Value | None:
    stated = facts.get("stairs.riser_height")
    rise, count = facts.get("stairs.total_rise"), facts.get("stairs.riser_count")
    if stated is None and _even(facts) and rise is not None and count:
        return Fraction(rise) / Fraction(count)
    return stated


def _rise(facts: Facts) -> Value | None:
    stated = facts.get("stairs.total_rise")
    height, count = facts.get("stairs.riser_height"), facts.get("stairs.riser_count")
    if stated is None and _even(facts) and height is not None and count is not None:
        return Fraction(height) * Fraction(count)
    return stated


def _of_one_flight(facts: Facts, value: Value | None) -> Value | None:
    return value if facts.get("stairs.flights") == 1 else None


# --- width, risers, treads ----------------------------------------------------------------------
def width(facts: Facts) -> list[Finding]:
    # Jefferson County, stairways (2018): 36 in above the handrail.
    return [outside(_straight(facts)) or _least(facts.get("stairs.width"), Fraction(36))]


def width_at_handrail(facts: Facts) -> list[Finding]:
    # Jefferson County, stairways (2018): 31-1/2 in with one handrail, 27 in with two.
    sides = facts.get("stairs.handrail_sides")
    reached = outside(all_of(_straight(facts), at_least(sides, 1)))
    if reached is not None:
        return [reached]
    limit = Fraction(63, 2) if sides == 1 else Fraction(27)
    return [_least(facts.get("stairs.width_at_handrail"), limit)]


def headroom(facts: Facts) -> list[Finding]:
    # Jefferson County, stairways (2018): 80 in; out of doors it is asked under a roof.
    covered = equals(facts.get("stairs.under_cover"), True)
    return [outside(covered) or _least(facts.get("stairs.headroom"), Fraction(80))]


def riser_height(facts: Facts) -> list[Finding]:
    # NCW (2012), Jefferson County (2018): 7-3/4 in.
    return [outside(_straight(facts)) or _most(_riser(facts), Fraction(31, 4))]


def riser_variation(facts: Facts) -> list[Finding]:
    # NCW (2012), Everett tip sheet 1 (2018): largest less smallest at most 3/8 in.
    tallest = _riser(facts)
    lowest = facts.get("stairs.lowest_riser")
    if lowest is None and _even(facts):
        lowest = tallest
    return [_most(minus(tallest, lowest), Fraction(3, 8))]


def riser_slope(facts: Facts) -> list[Finding]:
    # NCW (2012): at most 30 degrees under the nosing.
    closed = equals(facts.get("stairs.risers"), "closed")
    return [outside(closed) or _most(facts.get("stairs.riser_slope"), Fraction(30))]


def open_riser_2012(facts: Facts) -> list[Finding]:
    # NCW (2012): a 4 in sphere, unless the whole stair rises 30 in or less.
    asked = all_of(equals(facts.get("stairs.risers"), "open"), negated(at_most(_rise(facts), 30)))
    return [outside(asked) or ball(facts.get("stairs.riser_opening"), Fraction(4))]


def open_riser_2018(facts: Facts) -> list[Finding]:
    # New Mexico's summary of the model wording: openings more than 30 in up; spirals excepted.
    asked = all_of(
        equals(facts.get("stairs.risers"), "open"),
        negated(equals(facts.get("stairs.form"), "spiral")),
        negated(at_most(facts.get("stairs.highest_open_riser"), 30)),
    )
    return [outside(asked) or ball(facts.get("stairs.riser_opening"), Fraction(4))]


def tread_depth(facts: Facts) -> list[Finding]:
    # Jefferson County, stairways (2018): 10 in.
    return [outside(_straight(facts)) or _least(facts.get("stairs.tread_depth"), Fraction(10))]


def tread_variation(facts: Facts) -> list[Finding]:
    # Everett tip sheet 1 (2018): 3/8 in.
    differ = minus(facts.get("stairs.deepest_tread"), facts.get("stairs.tread_depth"))
    return [_most(differ, Fraction(3, 8))]


def nosing(facts: Facts) -> list[Finding]:
    # Everett tip sheet 1 (2018): 3/4 to 1-1/4 in at solid risers; none needed from 11 in on.
    asked = all_of(
        equals(facts.get("stairs.risers"), "closed"),
        negated(at_least(facts.get("stairs.tread_depth"), 11)),
    )
    projection = facts.get("stairs.nosing_projection")
    return [outside(asked) or inside(projection, Fraction(3, 4), Fraction(5, 4))]


# --- flights and landings -----------------------------------------------------------------------
def _tallest_flight(facts: Facts) -> Value | None:
    stated = facts.get("stairs.tallest_flight_rise")
    return stated if stated is not None else _of_one_flight(facts, _rise(facts))


def flight_rise_2009(facts: Facts) -> list[Finding]:
    # From memory: 12 ft through 2012.
    return [_most(_tallest_flight(facts), Fraction(144))]


def flight_rise_2018(facts: Facts) -> list[Finding]:
    # From memory, and a training sheet's 20 risers of 7.55 in: 151 in.
    return [_most(_tallest_flight(facts), Fraction(151))]


def stair_landing(facts: Facts) -> list[Finding]:
    # Building Code Forum 35179: top and bottom, as wide as the flight, 36 in deep.
    wide, flight = facts.get("stairs.landing_width"), facts.get("stairs.width")
    as_wide = None if wide is None or flight is None else wide >= flight  # type: ignore[operator]
    limit = flight if isinstance(flight, Fraction) else None
    return [
        required(equals(facts.get("stairs.landings_at_both_ends"), True)),
        required(as_wide, limit),
        _least(facts.get("stairs.landing_depth"), Fraction(36)),
    ]


def surface_slope(facts: Facts) -> list[Finding]:
    # From memory: 2 percent.
    return [_most(facts.get("stairs.surface_slope"), Fraction(1, 50))]


# --- handrails ----------------------------------------------------------------------------------
def _must_have_rail(facts: Facts) -> Truth:
    # Westbrook, Everett tip sheet 1: four risers or more.
    risers = facts.get("stairs.most_risers_in_flight")
    if risers is None:
        risers = _of_one_flight(facts, facts.get("stairs.riser_count"))
    return at_least(risers, 4)


def _has_rail(facts: Facts) -> Truth:
    return all_of(_must_have_rail(facts), at_least(facts.get("stairs.handrail_sides"), 1))


def handrail_required(facts: Facts) -> list[Finding]:
    asked = _must_have_rail(facts)
    if asked is False:
        return [required(True)]  # the topic's own question, from how many risers on, is answered
    return [outside(asked) or _least(facts.get("stairs.handrail_sides"), Fraction(1))]


def handrail_height(facts: Facts) -> list[Finding]:
    # Westbrook; howtolookatahouse.com (2015): 34 to 38 in.
    height = facts.get("stairs.handrail_height")
    return [outside(_has_rail(facts)) or inside(height, Fraction(34), Fraction(38))]


def handrail_grip(facts: Facts) -> list[Finding]:
    # howtolookatahouse.com (2015), InterNACHI 33613: round, shaped, or wide with a finger recess.
    shape = facts.get("stairs.handrail_shape")
    around = facts.get("stairs.handrail_perimeter")
    across = facts.get("stairs.handrail_diameter")
    neck = facts.get("stairs.handrail_width_above_recess")
    round_ = all_of(equals(shape, "round"), at_least(across, Fraction(5, 4)), at_most(across, 2))
    shaped = all_of(
        equals(shape, "shaped"),
        at_least(around, 4),
        at_most(around, Fraction(25, 4)),
        at_most(facts.get("stairs.handrail_cross_section"), Fraction(9, 4)),
    )
    wide = all_of(
        equals(shape, "wide_with_recess"),
        negated(at_most(around, Fraction(25, 4))),
        at_most(facts.get("stairs.handrail_recess_start"), Fraction(3, 4)),
        at_least(facts.get("stairs.handrail_recess_depth"), Fraction(5, 16)),
        at_least(facts.get("stairs.handrail_recess_length"), Fraction(3, 8)),
        at_least(facts.get("stairs.handrail_recess_end"), Fraction(7, 4)),
        at_least(neck, Fraction(5, 4)),
        at_most(neck, Fraction(11, 4)),
    )
    return [outside(_has_rail(facts)) or required(any_of(round_, shaped, wide))]


def handrail_clearance(facts: Facts) -> list[Finding]:
    # Westbrook: 1-1/2 in from the wall.
    asked = all_of(_has_rail(facts), equals(facts.get("stairs.handrail_beside_wall"), True))
    return [outside(asked) or _least(facts.get("stairs.handrail_wall_clearance"), Fraction(3, 2))]


# --- light --------------------------------------------------------------------------------------
def light(facts: Facts) -> list[Finding]:
    # nadra.org/blog/450-2 (2009), Everett tip sheet 1 (2018): at the top landing; at the bottom too
    # where the stair serves a basement.
    basement = equals(facts.get("stairs.serves_basement"), True)
    bottom = equals(facts.get("stairs.light_at_bottom_landing"), True)
    top = required(equals(facts.get("stairs.light_at_top_landing"), True))
    if basement is False:
        return [top, (NOT_APPLICABLE, None)]
    return [top, (MISSING, None) if basement is None else required(bottom)]


def light_control(facts: Facts) -> list[Finding]:
    ways = ("switch_inside", "continuous", "automatic")
    return [required(one_of(facts.get("stairs.light_control"), ways))]
