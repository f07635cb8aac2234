"""Solid and built-up wood columns (NDS 2018 section 3.7 and 15.3)."""

from __future__ import annotations

import math

from msgspec import Struct

from deckclause.engineering.inputs import inches, number, pounds, psi
from deckclause.engineering.members.adjustment import AdjustedValues
from deckclause.engineering.members.sizes import Section
from deckclause.quantities import Quantity

SAWN_LUMBER_C = 0.8
"""The constant c of the column equation for sawn lumber (NDS 3.7.1)."""

GREATEST_SLENDERNESS = 50.0
"""le/d may not be more, in service (NDS 3.7.1.4)."""

EULER_COEFFICIENT = 0.822
"""FcE = 0.822 Emin' / (le/d)^2 (NDS 3.7.1.5); pi^2/12 of the ideal rectangle."""

BUILT_UP = {"solid": 1.0, "bolted": 0.75, "nailed": 0.6}
"""Kf on buckling about the weak axis of a built-up column (NDS 15.3.2, memory)."""


class ColumnResult(Struct, frozen=True):
    """A column's capacity with its steps; stresses psi, load pounds."""

    slenderness: float
    fc_star_psi: float
    fce_psi: float
    stability_factor: float
    capacity_lb: float
    too_slender: bool


def euler_stress_psi(*, emin: Quantity, slenderness: float) -> float:
    """Return FcE, the critical buckling stress used in design, psi (NDS 3.7.1.5)."""
    ratio = number(slenderness, "slenderness le/d", 0.1, 1000)
    return EULER_COEFFICIENT * psi(emin, "adjusted Emin") / ratio**2


def stability_factor(*, fc_star: Quantity, fce: Quantity, c: float = SAWN_LUMBER_C) -> float:
    """Return CP (NDS Eq. 3.7-1), between 0 and 1.

    >>> from deckclause.quantities import parse_quantity as q
    >>> round(stability_factor(fc_star=q("1000 psi"), fce=q("1000 psi")), 3)
    0.691
    """
    ratio = psi(fce, "FcE") / psi(fc_star, "Fc*")
    half = (1 + ratio) / (2 * number(c, "c", 0.5, 0.95))
    return half - math.sqrt(half**2 - ratio / c)


def column_capacity(
    section: Section,
    values: AdjustedValues,
    *,
    effective_length: Quantity,
    assembly: str = "solid",
) -> ColumnResult:
    """Return the concentric capacity of a column buckling about its thinner side.

    `assembly`: solid, or a built-up column whose plies are bolted or nailed as NDS 15.3 asks.
    Over the slenderness limit the capacity is zero, never a small number to lean on.
    Raises ValueError for an unknown assembly.
    """
    if assembly not in BUILT_UP:
        raise ValueError(f"'{assembly}' is not one of {', '.join(BUILT_UP)}")
    length = inches(effective_length, "effective length")
    least = min(section.width_in, section.depth_in)
    slenderness = length / least
    fce = EULER_COEFFICIENT * values.emin_psi / slenderness**2
    ratio = fce / values.fc_psi
    half = (1 + ratio) / (2 * SAWN_LUMBER_C)
    cp = BUILT_UP[assembly] * (half - math.sqrt(half**2 - ratio / SAWN_LUMBER_C))
    too_slender = slenderness > GREATEST_SLENDERNESS
    capacity = 0.0 if too_slender else values.fc_psi * cp * section.area_in2
    return ColumnResult(slenderness, values.fc_psi, fce, cp, capacity, too_slender)


def greatest_height_in(section: Section, values: AdjustedValues, *, load: Quantity) -> float:
    """Return the greatest unbraced height that carries a concentric load, inches; 0 if none.

    Turns CP round: with x = P/(A Fc*), FcE/Fc* = x(1 - c x)/(1 - x). Capped at le/d = 50.
    """
    share = pounds(load, "post load") / (section.area_in2 * values.fc_psi)
    if share >= 1:
        return 0.0
    least = min(section.width_in, section.depth_in)
    ratio = share * (1 - SAWN_LUMBER_C * share) / (1 - share)
    slenderness = math.sqrt(EULER_COEFFICIENT * values.emin_psi / (ratio * values.fc_psi))
    return min(slenderness, GREATEST_SLENDERNESS) * least
