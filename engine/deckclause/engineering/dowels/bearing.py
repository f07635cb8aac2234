"""Dowel bearing strength of wood, steel and concrete (NDS 2018 section 12.3.3, psi)."""

from __future__ import annotations

import math
from enum import Enum

from deckclause.engineering.inputs import degrees_to_grain, inches, number
from deckclause.engineering.rounding import round_to
from deckclause.quantities import Quantity

SMALL_DOWEL_IN = 0.25
"""Below this diameter bearing strength does not depend on the angle to grain."""

PRINTED_STEP_PSI = 50
"""The standard's bearing table prints to 50 psi, and its connection tables use those figures."""


class PlateSteel(Enum):
    """Side plate steels; the value is the dowel bearing strength Fe, psi (NDS 12.3.3, note)."""

    A653_GRADE_33 = 61850.0
    """Cold-formed, under 1/4 in: 1.375 Fu, Fu = 45 ksi."""
    A36 = 87000.0
    """Hot-rolled, 1/4 in and over: 1.5 Fu, Fu = 58 ksi."""


CONCRETE_PSI = 7500.0
"""Concrete of 2500 psi or more (NDS 12.3.3)."""


def hankinson(parallel_psi: float, perpendicular_psi: float, angle_deg: float) -> float:
    """Return the strength at an angle to grain (NDS Eq. 12.3-11, Hankinson).

    >>> round(hankinson(6150.0, 3650.0, 45.0))
    4581
    """
    angle = math.radians(angle_deg)
    across, along = math.sin(angle) ** 2, math.cos(angle) ** 2
    return parallel_psi * perpendicular_psi / (parallel_psi * across + perpendicular_psi * along)


def parallel_strength(gravity: float, *, printed: bool = True) -> float:
    """Return Fe parallel to grain, 11200 G, for dowels of 1/4 in and over, psi.

    >>> parallel_strength(0.55), round(parallel_strength(0.55, printed=False))
    (6150, 6160)
    """
    value = 11200 * number(gravity, "specific gravity", 0.2, 0.9)
    return round_to(value, PRINTED_STEP_PSI) if printed else value


def perpendicular_strength(gravity: float, diameter: Quantity, *, printed: bool = True) -> float:
    """Return Fe across the grain, 6100 G^1.45 / sqrt(D), psi.

    D is the nominal diameter, for lag screws too: the root diameter belongs to the yield
    equations only. The published lag tables come out only this way.
    """
    across = number(gravity, "specific gravity", 0.2, 0.9) ** 1.45
    value = 6100 * across / math.sqrt(inches(diameter, "nominal diameter"))
    return round_to(value, PRINTED_STEP_PSI) if printed else value


def small_dowel_strength(gravity: float, *, printed: bool = True) -> float:
    """Return Fe for dowels under 1/4 in, 16600 G^1.84, any angle, psi."""
    value = 16600 * number(gravity, "specific gravity", 0.2, 0.9) ** 1.84
    return round_to(value, PRINTED_STEP_PSI) if printed else value


def wood_strength(
    gravity: float, diameter: Quantity, angle: Quantity, *, printed: bool = True
) -> float:
    """Return the dowel bearing strength of wood at an angle of load to grain, psi.

    `diameter` is nominal; `printed` rounds the two table values to 50 psi before use, as the
    standard's own tables do. Raises DimensionError, or ValueError for an angle outside 0-90.

    >>> from deckclause.quantities import parse_quantity as q
    >>> wood_strength(0.55, q("1/2 in"), q("90 deg"))
    3650.0
    """
    if inches(diameter, "nominal diameter") < SMALL_DOWEL_IN:
        degrees_to_grain(angle, "angle to grain")
        return small_dowel_strength(gravity, printed=printed)
    return hankinson(
        parallel_strength(gravity, printed=printed),
        perpendicular_strength(gravity, diameter, printed=printed),
        degrees_to_grain(angle, "angle to grain"),
    )
