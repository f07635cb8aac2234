"""Seeded random joist fields: values at every threshold, beside it, and missing.

`random_joists(seed)` gives the facts of one or two joist fields as the joist oracle reads them; the
site's ground snow load, one for the whole design, stands in each.
"""

from __future__ import annotations

from fractions import Fraction
from random import Random

from oracle.boards import DRESSED_DEPTH
from oracle.conditions import Value
from oracle.joist_oracle import GROUPS, NOMINAL_DEPTH
from oracle.joist_tables import (
    BACK_SPANS,
    CANTILEVERS_2018,
    CANTILEVERS_2021,
    SPACINGS,
    SPANS_2015,
    SPANS_2015_WITH_CANTILEVER,
    SPANS_2018,
    SPANS_2021,
)

Facts = dict[str, Value]
STEP = Fraction(1, 64)
SHARES_MISSING = (0.0, 0.0, 0.01, 0.04, 0.2)
SNOW = (0, 20, 25, 40, 40, 40, 41, 45, 50, 50, 60, 65, 70, 71, 90)
SPECIES = (*GROUPS, *GROUPS, "other")
SPAN_TABLES = (SPANS_2015, SPANS_2015_WITH_CANTILEVER, SPANS_2018, *SPANS_2021.values())


def random_joists(seed: int) -> list[Facts]:
    """Return the joist fields of the random design of this seed; same seed, same design."""
    random = Random(seed)
    share = random.choice(SHARES_MISSING)
    site: Facts = {}
    if random.random() >= share:
        site["site.ground_snow_load"] = Fraction(random.choice(SNOW))
    fields = []
    for _ in range(random.choice((1, 1, 1, 2))):
        field = {**_spans(random), **_bearing(random), **_cuts(random)}
        depth = DRESSED_DEPTH[str(field["joists.size"])]
        _scale_cuts(random, field, depth)
        fields.append(site | {n: v for n, v in field.items() if random.random() >= share})
    return fields


def _near(random: Random, value: Fraction) -> Fraction:
    return max(value + STEP * random.choice((0, 0, 0, -1, 1)), Fraction(0))


def _spans(random: Random) -> Facts:
    size, species = random.choice(tuple(NOMINAL_DEPTH)), random.choice(SPECIES)
    key = GROUPS.get(species, "southern"), size
    column = random.randrange(3)
    spacing = random.choice(
        (SPACINGS[column],) * 5
        + (_near(random, SPACINGS[column]), Fraction(96, 5), Fraction(14), Fraction(30))
    )
    tabulated = random.choice(SPAN_TABLES)[key][column]
    span = random.choice(
        (
            *(_near(random, tabulated),) * 4,
            _near(random, random.choice(BACK_SPANS)),
            Fraction(random.randint(20, 240)),
            tabulated - 18,
        )
    )
    by_back_span = [c for c in CANTILEVERS_2021[key] if isinstance(c, Fraction)] or [Fraction(30)]
    cantilever = random.choice(
        (
            *(Fraction(0),) * 4,
            _near(random, span / 4),
            _near(random, Fraction(NOMINAL_DEPTH[size])),
            _near(random, CANTILEVERS_2018[key][column]),
            _near(random, random.choice(by_back_span)),
            Fraction(random.randint(1, 40)),
        )
    )
    return {
        "joists.size": size,
        "joists.species": species,
        "joists.spacing": spacing,
        "joists.span": span,
        "joists.cantilever": cantilever,
    }


def _bearing(random: Random) -> Facts:
    on = random.choice(("wood", "wood", "metal", "concrete", "masonry", "hanger"))
    length = Fraction(random.choice(("3/2", "3", "7/2", "5/4")))
    return {"joists.bearing_on": on, "joists.bearing_length": _near(random, length)}


def _cuts(random: Random) -> Facts:
    return {
        "joists.notched": random.choice((False, True)),
        "joists.notch_in_middle_third": random.choice((False, False, True)),
        "joists.bored": random.choice((False, True)),
        "joists.hole_edge_distance": _near(random, Fraction(random.choice((2, 2, 3, 1)))),
    }


def _scale_cuts(random: Random, field: Facts, depth: Fraction) -> None:
    for name, parts in (
        ("joists.notch_depth", 6),
        ("joists.notch_length", 3),
        ("joists.end_notch_depth", 4),
        ("joists.hole_diameter", 3),
    ):
        limit = depth / parts
        field[name] = random.choice((limit, limit, _near(random, limit), limit / 2, Fraction(0)))
