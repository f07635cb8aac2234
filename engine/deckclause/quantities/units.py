"""The units people type, each an exact rational multiple of inch, pound and degree.

Sources: international foot 0.3048 m and avoirdupois pound 0.45359237 kg exactly (1959
agreement); standard gravity 9.80665 m/s2, so one pound-force is 4.4482216152605 N exactly.
"""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

from deckclause.quantities.quantity import (
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
    Dimension,
)

INCH_PER_METRE = Fraction(10000, 254)
POUND_PER_NEWTON = 1 / Fraction("4.4482216152605")


class Unit(NamedTuple):
    """A unit: how many inch-pound-degree units it is, and of which dimension."""

    factor: Fraction
    dimension: Dimension


def _unit(factor: int | Fraction, dimension: Dimension) -> Unit:
    return Unit(Fraction(factor), dimension)


_PASCAL = POUND_PER_NEWTON / INCH_PER_METRE**2

_SPELLINGS: tuple[tuple[str, Unit], ...] = (
    ("in inch inches in. \" ″ ” ''", _unit(1, LENGTH)),
    ("ft foot feet ft. ' ′ ’", _unit(12, LENGTH)),
    ("yd yard yards", _unit(36, LENGTH)),
    ("mm", _unit(INCH_PER_METRE / 1000, LENGTH)),
    ("cm", _unit(INCH_PER_METRE / 100, LENGTH)),
    ("m", _unit(INCH_PER_METRE, LENGTH)),
    ("sqin in2 in²", _unit(1, AREA)),
    ("sqft ft2 ft² squarefeet", _unit(144, AREA)),
    ("mm2 mm²", _unit(INCH_PER_METRE**2 / 1000000, AREA)),
    ("m2 m² sqm", _unit(INCH_PER_METRE**2, AREA)),
    ("in3 in³ cuin", _unit(1, VOLUME)),
    ("ft3 ft³ cuft", _unit(1728, VOLUME)),
    ("in4 in⁴", _unit(1, INERTIA)),
    ("m3 m³", _unit(INCH_PER_METRE**3, VOLUME)),
    ("lb lbs lbf pound pounds", _unit(1, FORCE)),
    ("kip kips", _unit(1000, FORCE)),
    ("N", _unit(POUND_PER_NEWTON, FORCE)),
    ("kN", _unit(POUND_PER_NEWTON * 1000, FORCE)),
    ("plf lb/ft", _unit(Fraction(1, 12), LINE_LOAD)),
    ("pli lb/in", _unit(1, LINE_LOAD)),
    ("N/mm kN/m", _unit(POUND_PER_NEWTON * 1000 / INCH_PER_METRE, LINE_LOAD)),
    ("psf lb/ft2 lb/ft² lb/sqft", _unit(Fraction(1, 144), PRESSURE)),
    ("ksf", _unit(Fraction(1000, 144), PRESSURE)),
    ("psi lb/in2 lb/in²", _unit(1, PRESSURE)),
    ("ksi", _unit(1000, PRESSURE)),
    ("Pa N/m2", _unit(_PASCAL, PRESSURE)),
    ("kPa kN/m2 kN/m²", _unit(_PASCAL * 1000, PRESSURE)),
    ("MPa N/mm2 N/mm²", _unit(_PASCAL * 1000000, PRESSURE)),
    ("pcf lb/ft3", _unit(Fraction(1, 1728), DENSITY)),
    ("kN/m3", _unit(POUND_PER_NEWTON * 1000 / INCH_PER_METRE**3, DENSITY)),
    ("in-lb in·lb lb-in lb·in", _unit(1, MOMENT)),
    ("ft-lb ft·lb lb-ft lb·ft", _unit(12, MOMENT)),
    ("kN-m kN·m", _unit(POUND_PER_NEWTON * 1000 * INCH_PER_METRE, MOMENT)),
    ("deg degree degrees °", _unit(1, ANGLE)),
    ("% percent", _unit(Fraction(1, 100), NUMBER)),
)

UNITS: dict[str, Unit] = {
    spelling: unit for spellings, unit in _SPELLINGS for spelling in spellings.split()
}
