"""Seeded random guards, stairs and doors: values at every threshold, beside it, and missing.

`random_parts(seed)` gives the facts of one to two parts of each group as the general oracle reads
them; the facts of the whole deck that doors read stand in each door's facts.
"""

from __future__ import annotations

from fractions import Fraction
from random import Random

from oracle.conditions import Value

Facts = dict[str, Value]
STEP = Fraction(1, 64)
SHARES_MISSING = (0.0, 0.0, 0.01, 0.04, 0.2)
MOSTLY = (True, True, True, False)
EVEN = (True, False)

LIMITS: dict[str, tuple[str, ...]] = {
    "guards.drop_within_36_in": ("30", "30", "60", "12"),
    "guards.height": ("36", "36", "42", "53", "34"),
    "guards.fixed_seat_height": ("0", "0", "17"),
    "guards.opening": ("4", "7/2", "5"),
    "stairs.width": ("36", "42", "48"),
    "stairs.width_at_handrail": ("63/2", "27", "36"),
    "stairs.headroom": ("80", "84"),
    "stairs.riser_slope": ("30", "0", "15"),
    "stairs.riser_opening": ("4", "3", "5"),
    "stairs.highest_open_riser": ("30", "25", "50"),
    "stairs.tread_depth": ("10", "11", "21/2"),
    "stairs.nosing_projection": ("3/4", "5/4", "1", "0"),
    "stairs.tallest_flight_rise": ("144", "151", "147", "60"),
    "stairs.landing_width": ("36", "42", "48"),
    "stairs.landing_depth": ("36", "48"),
    "stairs.handrail_height": ("34", "38", "36"),
    "stairs.handrail_diameter": ("5/4", "2", "3/2"),
    "stairs.handrail_perimeter": ("4", "25/4", "5", "7"),
    "stairs.handrail_cross_section": ("9/4", "2"),
    "stairs.handrail_recess_start": ("3/4", "1/2"),
    "stairs.handrail_recess_depth": ("5/16", "3/8"),
    "stairs.handrail_recess_length": ("3/8", "1/2"),
    "stairs.handrail_recess_end": ("7/4", "2"),
    "stairs.handrail_width_above_recess": ("5/4", "11/4", "2"),
    "stairs.handrail_wall_clearance": ("3/2", "2"),
    "stairs.open_side_drop_within_36_in": ("30", "53", "20"),
    "stairs.guard_height": ("34", "38", "36"),
    "stairs.guard_opening": ("35/8", "4", "5"),
    "stairs.guard_triangle_opening": ("6", "5"),
    "doors.step_down": ("3/2", "31/4", "1", "0"),
    "doors.width": ("36", "32"),
    "doors.landing_width": ("36", "32", "60"),
    "doors.landing_depth": ("36", "48"),
}
EXACT = {name: tuple(map(Fraction, figures)) for name, figures in LIMITS.items()}
SLOPES = ("1/50", "1/100", "3/100")
CHOICES: dict[str, tuple[str | bool, ...]] = {
    "guards.installed": MOSTLY,
    "stairs.form": ("straight",) * 8 + ("winder", "spiral"),
    "stairs.under_cover": EVEN,
    "stairs.risers": ("closed", "open"),
    "stairs.landings_at_both_ends": MOSTLY,
    "stairs.handrail_shape": ("round", "round", "shaped", "wide_with_recess", "flat_board"),
    "stairs.handrail_beside_wall": EVEN,
    "stairs.light_at_top_landing": MOSTLY,
    "stairs.light_at_bottom_landing": EVEN,
    "stairs.light_control": ("switch_inside", "continuous", "automatic", "other"),
    "stairs.serves_basement": (False, False, True),
    "stairs.guard_installed": MOSTLY,
    "stairs.guard_top_is_handrail": EVEN,
    "doors.role": ("required_egress", "other"),
    "doors.opens_onto": ("deck", "deck", "deck", "stair"),
    "doors.swings_over_landing": EVEN,
    "deck.use": ("deck", "deck", "exterior_balcony"),
    "deck.reached_only_from_door": EVEN,
}
COUNTS: dict[str, tuple[int, ...]] = {
    "stairs.handrail_sides": (0, 1, 1, 2),
    "stairs.flights": (1, 1, 2),
    "stairs.open_sides": (0, 1, 2),
    "stairs.riser_count": (2, 3, 4, 5, 14),
    "doors.exterior_risers": (0, 1, 2, 3),
}
RISERS = ("31/4", "31/4", "7", "29/4", "8")


def random_parts(seed: int) -> dict[str, list[Facts]]:
    """Return the parts of the random design of this seed; the same seed gives the same design."""
    random = Random(seed)
    share = random.choice(SHARES_MISSING)
    deck = _kept(random, _drawn(random, "deck"), share)
    area = random.choice((60 * 144, 60 * 144 - 1, 200 * 144, 40 * 144))
    if random.random() >= share:
        deck["deck.area"] = Fraction(area)
    parts: dict[str, list[Facts]] = {}
    for group in ("guards", "stairs", "doors"):
        parts[group] = []
        for _ in range(random.choice((1, 1, 1, 2))):
            part = _drawn(random, group)
            if group == "stairs":
                _risers(random, part)
            kept = _kept(random, part, share)
            parts[group].append({**kept, **deck} if group == "doors" else kept)
    return parts


def _drawn(random: Random, group: str) -> Facts:
    part: Facts = {}
    for name, figures in EXACT.items():
        if name.startswith(f"{group}."):
            beside = STEP * random.choice((0, 0, 0, -1, 1))
            part[name] = max(random.choice(figures) + beside, Fraction(0))
    for name, choices in CHOICES.items():
        if name.startswith(f"{group}."):
            part[name] = random.choice(choices)
    for name, counts in COUNTS.items():
        if name.startswith(f"{group}."):
            part[name] = random.choice(counts)
    for name in ("stairs.surface_slope", "doors.landing_slope"):
        if name.startswith(f"{group}."):
            beside = Fraction(random.choice((0, 0, -1, 1)), 1000)
            part[name] = Fraction(random.choice(SLOPES)) + beside
    return part


def _risers(random: Random, part: Facts) -> None:
    """State risers one of three ways: each, total and number, or height and number."""
    height = Fraction(random.choice(RISERS)) + STEP * random.choice((0, 0, -1, 1))
    count = Fraction(part["stairs.riser_count"])
    way = random.randrange(3)
    part["stairs.risers_even"] = way > 0
    part["stairs.deepest_tread"] = Fraction(part["stairs.tread_depth"]) + random.choice(
        (Fraction(0), Fraction(3, 8), Fraction(25, 64))
    )
    if way != 1:
        part["stairs.riser_height"] = height
    if way != 2:
        part["stairs.total_rise"] = random.choice((height * count, height * count, Fraction(30)))
    if way == 0:
        lower = random.choice((Fraction(0), Fraction(3, 8), Fraction(25, 64)))
        part["stairs.lowest_riser"] = height - lower
    if random.random() < 0.5:
        del part["stairs.tallest_flight_rise"]
    if random.random() < 0.3:
        part["stairs.most_risers_in_flight"] = random.choice((3, 4, 5))


def _kept(random: Random, facts: Facts, share: float) -> Facts:
    return {name: value for name, value in facts.items() if random.random() >= share}
