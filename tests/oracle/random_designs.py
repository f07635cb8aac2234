"""Seeded random designs: every fact a design may state, missing values, and values at every threshold.

`random_facts(seed)` gives one design's facts as the ledger oracle reads them;
`facts_to_design_document` writes the same facts as a person would type them in a design file.
Figures that stand against each other (rows, boards, spans and spacings) are drawn together, so
that many land exactly on a limit or 1/64 in beside it. No design contradicts itself: the lower row is
below the upper one and on the ledger, and sheathing of no kind has no thickness.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from random import Random

from oracle.boards import DRESSED_DEPTH, SPACING, SPANS
from oracle.conditions import Value

Facts = dict[str, Value]

STEP = Fraction(1, 64)
SHARES_MISSING = (0.0, 0.0, 0.02, 0.08, 0.3)

YES_NO = (True, False)
CHOICES: dict[str, tuple[str | bool, ...]] = {
    "deck.use": ("deck", "exterior_balcony"),
    "deck.attachment": ("ledger",) * 14 + ("freestanding",),
    "deck.connection_can_be_inspected": (True, True, False),
    "wall.structure": (
        *("wood_frame",) * 190,
        *("concrete", "solid_masonry", "hollow_masonry", "stand_off_over_veneer"),
        *("floor_joists_parallel_to_ledger", "i_joist_floor", "truss_floor"),
    ),
    "wall.veneer": ("none", "none", "none", "brick", "stone", "other_masonry"),
    "band_joist.species": (
        *("spruce_pine_fir", "hem_fir", "douglas_fir_larch", "southern_pine", "douglas_fir"),
        "other",
    ),
    "band_joist.directly_supported_by": (
        *("mudsill", "header", "double_top_plate", "single_top_plate", "other_structure"),
        "nothing",
    ),
    "band_joist.maker_permits_ledger": YES_NO,
    "ledger.species": (
        *("southern_pine", "hem_fir", "southern_pine", "hem_fir", "douglas_fir_larch"),
        *("spruce_pine_fir", "redwood", "western_cedar", "other"),
    ),
    "ledger.grade": ("select_structural", "no_1", "no_2", "no_2", "no_3", "ungraded"),
    "ledger.treatment": (
        *("pressure_treated", "incised_pressure_treated", "naturally_durable", "untreated"),
    ),
    "ledger.carries_beam": (False, False, True),
    "ledger.resists_uplift": YES_NO,
    "ledger.flashed": (True, True, False),
    "ledger.flashing_material": ("corrosion_resistant_metal", "approved_nonmetallic", "other"),
    "fasteners.kind": (
        *("lag_screw", "through_bolt") * 5,
        *("nail", "toenail", "structural_screw", "adhesive_anchor"),
    ),
    "fasteners.tip_past_band_joist": YES_NO,
    "fasteners.finish": (
        *("hot_dip_galvanized", "stainless_steel", "mechanically_galvanized", "silicon_bronze"),
        *("copper", "electroplated", "plain_steel"),
    ),
    "fasteners.staggered": (True, True, False),
    "lateral.connection": (
        *("hold_down_devices", "hold_down_devices", "hold_down_devices"),
        *("none", "engineered", "bracing_to_ground"),
    ),
    "joists.size": ("2x6", "2x8", "2x10", "2x12"),
}

FIGURES: dict[str, tuple[str, ...]] = {
    "site.frost_depth": ("0", "30", "42"),
    "floor.subfloor_thickness": ("1/2", "19/32", "23/32"),
    "floor.finish_thickness": ("0", "3/8", "3/4"),
    "ledger.flashing_thickness": ("0.018", "0.019", "0.02", "0.0185", "0.0195", "1/16"),
    "fasteners.diameter": ("1/2",) * 5 + ("3/8", "5/8", "31/64", "33/64"),
    "fasteners.end_distance_on_ledger": ("2", "2", "127/64", "129/64", "1", "3"),
    "fasteners.end_distance_on_band_joist": ("2", "2", "127/64", "129/64", "1", "3"),
    "lateral.device_from_deck_end": ("24", "1535/64", "1537/64", "12", "36"),
    "lateral.lag_thread_penetration": ("3", "191/64", "193/64", "2", "4"),
    "joists.cantilever": ("0", "0", "1/64", "12", "24"),
    "joists.below_ledger_top": ("0", "-1/2", "3/4", "2"),
    "decking.thickness": ("1", "5/4", "3/2"),
}
LOADS: dict[str, tuple[str, ...]] = {
    "site.ground_snow_load": ("0", "20", "30", "40", "40", "39.99", "40.01", "50", "70"),
    "lateral.device_capacity": ("1500", "1499.99", "1500.01", "750", "749.99", "750.01", "2000"),
}
COUNTS: dict[str, tuple[int, ...]] = {"lateral.device_count": (0, 1, 2, 3, 4, 5)}


def random_facts(seed: int) -> Facts:
    """Return the facts of the random design of this seed; the same seed gives the same design."""
    random = Random(seed)
    facts: Facts = {name: random.choice(choices) for name, choices in CHOICES.items()}
    for name, figures in (FIGURES | LOADS).items():
        facts[name] = Fraction(random.choice(figures))
    for name, counts in COUNTS.items():
        facts[name] = random.choice(counts)
    for part in (_boards, _between, _joists_and_spacing, _rows, _ends):
        part(random, facts)
    if random.random() < 0.6:
        _within_the_spacing_table(random, facts)
    share = random.choice(SHARES_MISSING)
    return {name: value for name, value in facts.items() if random.random() >= share}


def random_designs(count: int, first_seed: int = 0) -> Iterator[Facts]:
    """Yield the facts of `count` random designs, one a seed."""
    for seed in range(first_seed, first_seed + count):
        yield random_facts(seed)


def _near(random: Random, figure: Fraction) -> Fraction:
    """Return the figure, or one just beside it."""
    return figure + STEP * random.choice((0, 0, 0, -1, 1, -4, 4))


def _boards(random: Random, facts: Facts) -> None:
    facts["ledger.size"] = random.choice(("2x6", "2x8", "2x8", "2x10", "2x12"))
    kind = random.choice(("sawn_lumber",) * 5 + ("laminated_veneer_lumber", "engineered_rim_board"))
    facts["band_joist.kind"] = kind
    if kind == "sawn_lumber":
        facts["band_joist.size"] = random.choice(("2x6", "2x8", "2x8", "2x10", "2x12"))
    else:
        depths = ("19/2", "607/64", "609/64", "9", "45/4", "95/8")
        facts["band_joist.depth"] = Fraction(random.choice(depths))
        thicknesses = ("1", "63/64", "65/64", "9/8", "3/2", "5/4")
        facts["band_joist.thickness"] = Fraction(random.choice(thicknesses))


def _between(random: Random, facts: Facts) -> None:
    kind = random.choice(
        ("wood_structural_panel",) * 5 + ("none", "none", "lumber", "gypsum", "fiberboard", "foam")
    )
    thicknesses = ("15/32", "29/64", "31/64", "1/2", "33/64", "7/16", "5/8", "1", "63/64", "65/64")
    stacks = ("0",) * 6 + ("1/2", "33/64", "1/4", "1/32", "31/64", "3/4")
    gaps = ("0",) * 6 + ("1/2", "31/64", "33/64", "3/8", "17/32")
    facts["wall.sheathing_kind"] = kind
    facts["wall.sheathing_thickness"] = Fraction(
        "0" if kind == "none" else random.choice(thicknesses)
    )
    facts["wall.drainage_washer_stack"] = Fraction(random.choice(stacks))
    facts["wall.gap_to_sheathing"] = Fraction(random.choice(gaps))


def _joists_and_spacing(random: Random, facts: Facts) -> None:
    column = random.randrange(len(SPANS))
    span = _near(random, Fraction(SPANS[column]))
    facts["joists.span"] = random.choice((span, span, span - 12, Fraction(random.randint(40, 240))))
    cell = random.choice(list(SPACING.values()))[column]
    facts["fasteners.spacing"] = random.choice(
        (cell, cell, _near(random, cell), Fraction(16), cell - 2, Fraction(8))
    )


def _within_the_spacing_table(random: Random, facts: Facts) -> None:
    """Make the fasteners and what lies between the boards ones the spacing table was made for."""
    facts["fasteners.kind"] = random.choice(("lag_screw", "through_bolt"))
    facts["fasteners.diameter"] = Fraction(1, 2)
    facts["wall.sheathing_kind"] = "wood_structural_panel"
    facts["wall.sheathing_thickness"] = Fraction(random.choice(("15/32", "7/16", "1/2", "1")))
    facts["wall.drainage_washer_stack"] = Fraction(random.choice(("0", "0", "0", "1/2", "1/32")))
    facts["wall.gap_to_sheathing"] = Fraction(0)
    facts["band_joist.species"] = random.choice(("spruce_pine_fir", "hem_fir", "douglas_fir"))


def _rows(random: Random, facts: Facts) -> None:
    ledger = DRESSED_DEPTH[str(facts["ledger.size"])]
    band = DRESSED_DEPTH.get(str(facts.get("band_joist.size"))) or facts["band_joist.depth"]
    assert isinstance(band, Fraction)
    upper = _near(random, random.choice((Fraction(2), Fraction(2), Fraction(3, 2), Fraction(3))))
    wanted = (
        *(Fraction(9, 2), Fraction(11, 2), Fraction(13, 2), Fraction(15, 2)),
        *(ledger - 2, ledger - Fraction(3, 4), upper + Fraction(13, 8), upper + 5),
    )
    lower = _near(random, random.choice(wanted))
    lower = min(max(lower, upper + Fraction(1, 2)), ledger - Fraction(1, 4))
    drops = (
        *(Fraction(0), Fraction(0), Fraction(3), Fraction(3, 2), Fraction(-1)),
        *(Fraction(3, 4) - upper, band - lower - 2, band - lower - Fraction(3, 4)),
    )
    facts["fasteners.upper_row_below_ledger_top"] = upper
    facts["fasteners.lower_row_below_ledger_top"] = lower
    facts["ledger.below_band_joist"] = _near(random, random.choice(drops))


def _ends(random: Random, facts: Facts) -> None:
    for least, greatest in (
        ("fasteners.end_distance_on_ledger", "fasteners.first_from_ledger_end"),
        ("fasteners.end_distance_on_band_joist", "fasteners.first_from_band_joist_end"),
    ):
        first = _near(random, random.choice((Fraction(5), Fraction(5), Fraction(3), Fraction(6))))
        facts[greatest] = max(first, Fraction(facts[least]))


# --- the same facts as a person types them -----------------------------------------------------
_FEET = ("joists.span", "joists.cantilever")


def facts_to_design_document(facts: Facts) -> dict[str, dict[str, str | int]]:
    """Nest dotted names into a design mapping, measures as text with their unit.

    Counts stay whole numbers; yes and no are "yes" and "no".

    >>> facts_to_design_document({"joists.span": Fraction(142), "ledger.flashed": True})
    {'joists': {'span': '11 ft 10 in'}, 'ledger': {'flashed': 'yes'}}
    """
    document: dict[str, dict[str, str | int]] = {}
    for name, value in facts.items():
        group, leaf = name.split(".")
        document.setdefault(group, {})[leaf] = _typed(name, value)
    return document


def _typed(name: str, value: Value) -> str | int:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str) or not isinstance(value, Fraction):
        return value
    if name in LOADS:
        return f"{_number(value)} {'psf' if name == 'site.ground_snow_load' else 'lb'}"
    if name in _FEET and value >= 12:
        feet, inches = divmod(value, 12)
        return f"{feet} ft {_number(inches)} in" if inches else f"{feet} ft"
    return f"{_number(value)} in"


def _number(value: Fraction) -> str:
    """Write a number as whole and fraction in 64ths, or else as an exact decimal."""
    sign, size = ("-" if value < 0 else ""), abs(value)
    if 64 % size.denominator:
        decimal = f"{int(size * 10000):05d}"
        assert Fraction(size * 10000).denominator == 1
        return f"{sign}{decimal[:-4]}.{decimal[-4:]}".rstrip("0")
    whole, part = divmod(size, 1)
    text = f"{whole}-{part}" if whole and part else str(part or whole)
    return sign + text
