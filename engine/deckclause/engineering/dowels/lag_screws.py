"""Lag screws: penetration, bearing length, withdrawal, load at an angle (NDS 2018 ch. 12)."""

from __future__ import annotations

import math

from msgspec import Struct

from deckclause.engineering.dowels.fasteners import LagScrew
from deckclause.engineering.inputs import degrees_to_grain, inches, number, pounds
from deckclause.quantities import Quantity

LEAST_PENETRATION_DIAMETERS = 4.0
"""Least lateral penetration, tip excluded, in nominal diameters (NDS 12.1.4.6)."""

FULL_PENETRATION_DIAMETERS = 8.0
"""Penetration the standard's lateral tables assume."""

NEAR_DIAMETERS = 0.25
"""Within this many diameters of the least penetration a result is flagged."""


class Penetration(Struct, frozen=True):
    """How far a lag screw reaches into the main member, inches, the tip left out."""

    depth_in: float
    diameters: float
    permitted: bool
    table_share: float
    near_least: bool


def penetration(depth: Quantity, screw: LagScrew) -> Penetration:
    """Judge a penetration (tip excluded): permitted from 4D; tables scale by p/8D below 8D.

    >>> from deckclause.engineering.dowels.fasteners import lag_screw
    >>> from deckclause.quantities import parse_quantity as q
    >>> short = penetration(q("1-1/2 in"), lag_screw(q("1/2 in")))
    >>> short.permitted, short.diameters
    (False, 3.0)
    """
    reach = inches(depth, "lag screw penetration")
    count = reach / screw.nominal_in
    return Penetration(
        depth_in=reach,
        diameters=count,
        permitted=count >= LEAST_PENETRATION_DIAMETERS,
        table_share=min(1.0, count / FULL_PENETRATION_DIAMETERS),
        near_least=abs(count - LEAST_PENETRATION_DIAMETERS) <= NEAR_DIAMETERS,
    )


def main_bearing_length_in(depth: Quantity, screw: LagScrew) -> float:
    """Return the bearing length in the main member for a penetration without its tip, inches.

    The embedded length includes the tip and half the tip is left out of bearing
    (NDS 12.3.5.3, memory): with p excluding the tip E, that is p + E - E/2 = p + E/2.
    """
    return inches(depth, "lag screw penetration") + screw.tip_in / 2


def withdrawal_per_inch_lb(gravity: float, diameter: Quantity) -> float:
    """Return W, pounds per inch of thread in side grain: 1800 G^1.5 D^0.75 (NDS Eq. 12.2-1).

    >>> from deckclause.quantities import parse_quantity as q
    >>> round(withdrawal_per_inch_lb(0.55, q("1/2 in")))
    437
    """
    g = number(gravity, "specific gravity", 0.2, 0.9)
    return float(1800 * g**1.5 * inches(diameter, "nominal diameter") ** 0.75)


def nail_withdrawal_per_inch_lb(gravity: float, diameter: Quantity) -> float:
    """Return W of a smooth nail, pounds per inch: 1380 G^2.5 D (NDS Eq. 12.2-3)."""
    g = number(gravity, "specific gravity", 0.2, 0.9)
    return float(1380 * g**2.5 * inches(diameter, "nail diameter"))


def wood_screw_withdrawal_per_inch_lb(gravity: float, diameter: Quantity) -> float:
    """Return W of a wood screw, pounds per inch of thread: 2850 G^2 D (NDS Eq. 12.2-2)."""
    g = number(gravity, "specific gravity", 0.2, 0.9)
    return 2850 * g**2 * inches(diameter, "screw diameter")


def withdrawal_lb(
    gravity: float, screw: LagScrew, *, thread: Quantity, root_tension_psi: float
) -> tuple[float, str]:
    """Return the reference withdrawal of a lag screw and what governs, pounds.

    `thread` is the thread length in side grain without the tip. The screw's own tension at the
    root is the other limit (NDS 12.2.1.3); the allowable tension of the steel has no default.
    """
    length = inches(thread, "thread length")
    g = number(gravity, "specific gravity", 0.2, 0.9)
    wood = 1800 * g**1.5 * screw.nominal_in**0.75 * length
    tension = number(root_tension_psi, "allowable root tension, psi", 1, 200000)
    steel = tension * math.pi / 4 * screw.root_in**2
    return (wood, "withdrawal") if wood <= steel else (steel, "tension at the root")


def combined_load_lb(lateral: Quantity, withdrawal: Quantity, angle: Quantity) -> float:
    """Return the adjusted value for a load at an angle to the wood surface, pounds.

    Z'a = (W'p) Z' / (W'p cos^2 a + Z' sin^2 a), a = 0 purely lateral (NDS Eq. 12.4-1).
    `withdrawal` is W' times the thread length.

    >>> from deckclause.quantities import parse_quantity as q
    >>> combined_load_lb(q("250 lb"), q("400 lb"), q("0 deg"))
    250.0
    """
    z = pounds(lateral, "adjusted lateral value")
    w = pounds(withdrawal, "adjusted withdrawal value")
    a = math.radians(degrees_to_grain(angle, "angle to the wood surface"))
    return w * z / (w * math.cos(a) ** 2 + z * math.sin(a) ** 2)
