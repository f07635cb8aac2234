"""The gate between exact quantities and floating-point calculation.

Every public function of this package takes lengths, forces and stresses as `Quantity` and
opens them here, so that a length given for a stress stops at once. Results leave as floats in
fields whose names state the unit (`z_lb`, `span_in`, `fb_psi`); a float from here never
decides whether a design meets a clause.
"""

from __future__ import annotations

import math

from deckclause.quantities import (
    ANGLE,
    AREA,
    FORCE,
    LENGTH,
    LINE_LOAD,
    PRESSURE,
    Dimension,
    DimensionError,
    Quantity,
)
from deckclause.quantities.quantity import dimension_name


def _open(value: Quantity, dimension: Dimension, what: str) -> float:
    if not isinstance(value, Quantity):
        raise DimensionError(
            f"{what}: {dimension_name(dimension)} with its unit is needed, not {value!r}"
        )
    return float(value.need(dimension, what))


def _positive(value: float, what: str) -> float:
    if value <= 0:
        raise ValueError(f"{what} must be more than zero; it is {value:g}")
    return value


def inches(value: Quantity, what: str) -> float:
    """Return a positive length in inches; DimensionError if another kind, ValueError if <= 0.

    >>> from deckclause.quantities import parse_quantity
    >>> inches(parse_quantity("1-1/2 in"), "side member thickness")
    1.5
    """
    return _positive(_open(value, LENGTH, what), what)


def inches_or_zero(value: Quantity, what: str) -> float:
    """Return a length in inches that may be zero (a gap, a distance from an edge)."""
    opened = _open(value, LENGTH, what)
    if opened < 0:
        raise ValueError(f"{what} cannot be negative; it is {opened:g} in")
    return opened


def psi(value: Quantity, what: str) -> float:
    """Return a positive stress or pressure in psi."""
    return _positive(_open(value, PRESSURE, what), what)


def pounds(value: Quantity, what: str) -> float:
    """Return a positive force in pounds."""
    return _positive(_open(value, FORCE, what), what)


def pounds_or_zero(value: Quantity, what: str) -> float:
    """Return a force in pounds that may be zero."""
    opened = _open(value, FORCE, what)
    if opened < 0:
        raise ValueError(f"{what} cannot be negative; it is {opened:g} lb")
    return opened


def square_inches(value: Quantity, what: str) -> float:
    """Return a positive area in square inches."""
    return _positive(_open(value, AREA, what), what)


def pounds_per_inch(value: Quantity, what: str) -> float:
    """Return a positive line load in pounds per inch."""
    return _positive(_open(value, LINE_LOAD, what), what)


def degrees_to_grain(value: Quantity, what: str) -> float:
    """Return an angle of load to grain in degrees; ValueError outside 0 to 90."""
    opened = _open(value, ANGLE, what)
    if not 0 <= opened <= 90:
        raise ValueError(f"{what} must lie between 0 and 90 degrees; it is {opened:g}")
    return opened


def number(value: float, what: str, least: float, most: float) -> float:
    """Return a plain number within bounds; DimensionError if it carries a unit.

    >>> number(0.55, "specific gravity", 0.3, 0.8)
    0.55
    """
    if isinstance(value, Quantity):
        raise DimensionError(f"{what}: a plain number is needed, not {value!r}")
    if isinstance(value, bool) or not math.isfinite(value) or not least <= value <= most:
        raise ValueError(f"{what} must lie between {least:g} and {most:g}; it is {value!r}")
    return float(value)
