"""Every unit against pint, the general units library, exactly (rational registry)."""

from __future__ import annotations

from fractions import Fraction

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from deckclause.quantities import (
    ANGLE,
    AREA,
    DENSITY,
    FORCE,
    INERTIA,
    LENGTH,
    LINE_LOAD,
    MOMENT,
    NUMBER,
    PRESSURE,
    VOLUME,
    parse_quantity,
    quantity_text,
)
from deckclause.quantities.units import UNITS

REGISTRY = pint.UnitRegistry(non_int_type=Fraction)

BASE = {
    NUMBER: "dimensionless",
    LENGTH: "inch",
    AREA: "inch**2",
    VOLUME: "inch**3",
    INERTIA: "inch**4",
    FORCE: "force_pound",
    MOMENT: "force_pound * inch",
    LINE_LOAD: "force_pound / inch",
    PRESSURE: "force_pound / inch**2",
    DENSITY: "force_pound / inch**3",
    ANGLE: "degree",
}

# Each of our spellings in pint's own words; spellings of one unit share a line.
PINT_WORDS = {
    "inch": "in inch inches in. \" ″ ” ''",
    "foot": "ft foot feet ft. ' ′ ’",
    "yard": "yd yard yards",
    "millimeter": "mm",
    "centimeter": "cm",
    "meter": "m",
    "inch**2": "sqin in2 in²",
    "foot**2": "sqft ft2 ft² squarefeet",
    "millimeter**2": "mm2 mm²",
    "meter**2": "m2 m² sqm",
    "inch**3": "in3 in³ cuin",
    "foot**3": "ft3 ft³ cuft",
    "meter**3": "m3 m³",
    "inch**4": "in4 in⁴",
    "force_pound": "lb lbs lbf pound pounds",
    "kip": "kip kips",
    "newton": "N",
    "kilonewton": "kN",
    "force_pound / foot": "plf lb/ft",
    "force_pound / inch": "pli lb/in",
    "newton / millimeter": "N/mm kN/m",
    "force_pound / foot**2": "psf lb/ft2 lb/ft² lb/sqft",
    "kip / foot**2": "ksf",
    "force_pound / inch**2": "psi lb/in2 lb/in²",
    "kip / inch**2": "ksi",
    "pascal": "Pa N/m2",
    "kilopascal": "kPa kN/m2 kN/m²",
    "megapascal": "MPa N/mm2 N/mm²",
    "force_pound / foot**3": "pcf lb/ft3",
    "kilonewton / meter**3": "kN/m3",
    "force_pound * inch": "in-lb in·lb lb-in lb·in",
    "force_pound * foot": "ft-lb ft·lb lb-ft lb·ft",
    "kilonewton * meter": "kN-m kN·m",
    "degree": "deg degree degrees °",
    "percent": "% percent",
}
WORDS = {
    spelling: words for words, spellings in PINT_WORDS.items() for spelling in spellings.split()
}


def pint_factor(words: str, base: str) -> Fraction:
    """Return how many base units pint counts in one unit."""
    return Fraction(REGISTRY.Quantity(Fraction(1), words).to(base).magnitude)


def test_every_unit_is_checked() -> None:
    assert set(WORDS) == set(UNITS)


@pytest.mark.parametrize("spelling", UNITS)
def test_every_unit_agrees_with_pint(spelling: str) -> None:
    unit = UNITS[spelling]
    assert unit.factor == pint_factor(WORDS[spelling], BASE[unit.dimension])


@pytest.mark.parametrize("spelling", UNITS)
def test_every_spelling_is_read(spelling: str) -> None:
    unit = UNITS[spelling]
    for text in (f"3 {spelling}", f"3{spelling}", f"1-1/2 {spelling}"):
        number = Fraction(3, 2) if "/2 " in text and text.startswith("1-1/2") else Fraction(3)
        quantity = parse_quantity(text, unit.dimension)
        assert quantity.value == number * unit.factor


@given(
    st.integers(0, 10**6).map(lambda n: Fraction(n, 1000)),
    st.sampled_from(sorted(set(UNITS) - {"%"})),
)
def test_values_agree_with_pint(number: Fraction, spelling: str) -> None:
    quantity = parse_quantity(f"{float(number):.3f} {spelling}")
    pint_quantity = REGISTRY.Quantity(number, WORDS[spelling]).to(BASE[quantity.dimension])
    assert quantity.value == pint_quantity.magnitude


@given(
    st.integers(1, 10**5),
    st.sampled_from([("40 psf", "kilopascal"), ("1 lb", "kilonewton"), ("1/16 in", "millimeter")]),
)
def test_si_print_is_pints_value_rounded(times: int, case: tuple[str, str]) -> None:
    text, words = case
    quantity = parse_quantity(text) * times
    pint_value = REGISTRY.Quantity(quantity.value, BASE[quantity.dimension]).to(words).magnitude
    fine, coarse, from_value = {
        "kilopascal": (2, 2, 0),
        "kilonewton": (3, 2, 225),
        "millimeter": (1, 0, 1),
    }[words]
    places = coarse if quantity.value >= from_value else fine
    printed = quantity_text(quantity, si=True).split()[0].replace(",", "")
    assert abs(Fraction(printed) - pint_value) <= Fraction(1, 2 * 10**places)
