"""Hold the joist oracle against published figures, its source named beside each check."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from typing import Any

import pytest

from oracle.conditions import COMPLIES, ENGINEERING, FAILS, MISSING, NOT_APPLICABLE
from oracle.joist_oracle import EDITIONS, evaluate_joists
from oracle.joist_tables import (
    BACK_SPANS,
    CANTILEVERS_2021,
    SPANS_2015,
    SPANS_2015_WITH_CANTILEVER,
    SPANS_2018,
    SPANS_2021,
)
from oracle.random_joists import random_joists

# Southern pine 2x8 at 16 in, 11 ft 10 in: DCA 6 (2012/2015), Table 2, and a 2015 handout.
SOUND: dict[str, Any] = {
    "site.ground_snow_load": Fraction(30),
    "joists.size": "2x8",
    "joists.species": "southern_pine",
    "joists.spacing": Fraction(16),
    "joists.span": Fraction(142),
    "joists.cantilever": Fraction(0),
    "joists.bearing_on": "wood",
    "joists.bearing_length": Fraction(3, 2),
    "joists.notched": False,
    "joists.bored": False,
}


def of(edition: str, topic: str, **changes: Any) -> tuple[str, object]:
    facts = SOUND | {f"joists.{name}": value for name, value in changes.items()}
    return evaluate_joists(edition, [facts])[topic]


@pytest.mark.parametrize("edition", EDITIONS)
def test_the_sound_field_complies_everywhere(edition: str) -> None:
    assert {s for s, _ in evaluate_joists(edition, [SOUND]).values()} == {COMPLIES, NOT_APPLICABLE}


def test_cantilever_columns_of_2015() -> None:
    # Building-code forum thread 30889: a short cantilever keeps the longer columns (note f).
    assert of("irc-2015", "joist_span", cantilever=Fraction(8)) == (COMPLIES, 142)
    assert of("irc-2015", "joist_span", cantilever=Fraction(9)) == (FAILS, 121)
    assert of("irc-2015", "joist_cantilever", cantilever=Fraction(36)) == (FAILS, Fraction(71, 2))


def test_an_unlisted_species_a_wide_spacing_and_snow_are_engineered() -> None:
    # NADRA on the 2021 rows: 2015 and 2018 have none above 40 psf.
    snow = SOUND | {"site.ground_snow_load": Fraction(50)}
    assert evaluate_joists("irc-2018", [snow])["joist_span"] == (ENGINEERING, None)
    assert evaluate_joists("irc-2021", [snow])["joist_span"] == (FAILS, 132)
    assert of("irc-2018", "joist_span", species="other")[0] == ENGINEERING
    assert of("irc-2018", "joist_span", spacing=Fraction(25))[0] == ENGINEERING


def test_nothing_unknown_passes() -> None:
    for name in ("size", "species", "spacing", "span"):
        facts = {k: v for k, v in SOUND.items() if k != f"joists.{name}"}
        for edition in EDITIONS:
            assert evaluate_joists(edition, [facts])["joist_span"][0] == MISSING


def test_2015_columns_are_the_dca6_2009_addendum() -> None:
    # AWC DCA 6, 2009 IRC version, addendum of May 2013: southern pine, overhang to L/4.
    row = SPANS_2015_WITH_CANTILEVER["southern", "2x8"]
    assert row == (Fraction(121), Fraction(121), Fraction(116))
    assert SPANS_2015["southern", "2x10"] == (Fraction(194), Fraction(168), Fraction(137))


def test_spans_fall_with_spacing_load_and_rise_with_depth() -> None:
    loads = list(SPANS_2021.values())
    for key in SPANS_2018:
        for table in (SPANS_2015, SPANS_2018, *loads):
            assert list(table[key]) == sorted(table[key], reverse=True)
        for lighter, heavier in pairwise(loads):
            assert all(a >= b for a, b in zip(lighter[key], heavier[key], strict=True))
        pairs = zip(SPANS_2015_WITH_CANTILEVER[key], SPANS_2015[key], strict=True)
        assert all(reaching <= plain for reaching, plain in pairs)


def test_cantilevers_of_2021_stay_within_a_quarter() -> None:
    # The rule of DCA 6: no more than a quarter of the span.
    for cells in CANTILEVERS_2021.values():
        for span, cell in zip(BACK_SPANS, cells, strict=True):
            assert isinstance(cell, str) or cell <= span / 4


def test_the_same_seed_gives_the_same_design() -> None:
    assert random_joists(7) == random_joists(7) != random_joists(8)
