"""Beams and joists under gravity load: bending, shear, deflection, cantilever tip, bearing.

Source: elastic beam theory (any mechanics textbook) with the allowable stresses of NDS 2018
chapters 3 and 4. Spans are clear spans unless a table says otherwise.
"""

from __future__ import annotations

import math

from msgspec import Struct

from deckclause.engineering.basis import Check
from deckclause.engineering.inputs import (
    inches,
    inches_or_zero,
    number,
    pounds,
    pounds_or_zero,
    pounds_per_inch,
    psi,
)
from deckclause.engineering.members.adjustment import AdjustedValues
from deckclause.engineering.members.sizes import Section
from deckclause.quantities import Quantity


class SpanResult(Struct, frozen=True):
    """The greatest span by each check, inches; the least governs."""

    checks: tuple[Check, ...]

    @property
    def governing(self) -> Check:
        """The check that allows least."""
        return min(self.checks, key=lambda check: check.allows)

    @property
    def span_in(self) -> float:
        """The greatest span in inches, unrounded."""
        return self.governing.allows


def greatest_simple_span(
    section: Section,
    values: AdjustedValues,
    *,
    total_load: Quantity,
    deflection_load: Quantity,
    deflection_limit: int,
) -> SpanResult:
    """Return the greatest simple span under uniform line load.

    `deflection_load` is the share of the load the deflection limit is checked under (live load
    in the joist tables); `deflection_limit` n means span/n. Bending M = wL^2/8, shear
    1.5 V/A at the support, deflection 5wL^4/384EI. Raises DimensionError for a load that is
    not a load per length.
    """
    w = pounds_per_inch(total_load, "total load")
    w_deflection = pounds_per_inch(deflection_load, "load for deflection")
    number(deflection_limit, "deflection limit", 60, 1000)
    bending = math.sqrt(8 * values.fb_psi * section.modulus_in3 / w)
    stiffness = values.e_psi * section.inertia_in4
    deflection = (384 * stiffness / (5 * w_deflection * deflection_limit)) ** (1 / 3)
    shear = 2 * values.fv_psi * section.area_in2 / 1.5 / w
    return SpanResult(
        (
            Check("bending", bending, "in", "NDS 3.3, M = wL^2/8"),
            Check(f"deflection L/{deflection_limit}", deflection, "in", "5wL^4/384EI"),
            Check("shear", shear, "in", "NDS 3.4, 1.5 V/A at the support"),
        )
    )


def bending_stress_psi(section: Section, *, span: Quantity, load: Quantity) -> float:
    """Return the bending stress at mid-span of a simple beam under uniform load, psi."""
    length = inches(span, "span")
    return pounds_per_inch(load, "load") * length**2 / 8 / section.modulus_in3


def shear_stress_psi(section: Section, *, span: Quantity, load: Quantity) -> float:
    """Return the greatest shear stress of a simple beam under uniform load, psi (NDS 3.4.2).

    Taken at the support, without the allowance for load within a depth of it.
    """
    return 1.5 * pounds_per_inch(load, "load") * inches(span, "span") / 2 / section.area_in2


def uniform_deflection_in(
    section: Section, *, span: Quantity, load: Quantity, modulus: Quantity
) -> float:
    """Return the mid-span deflection of a simple beam under uniform load, inches."""
    length, e = inches(span, "span"), psi(modulus, "modulus of elasticity")
    return 5 * pounds_per_inch(load, "load") * length**4 / (384 * e * section.inertia_in4)


def tip_deflection_in(
    section: Section,
    *,
    tip_load: Quantity,
    cantilever: Quantity,
    back_span: Quantity,
    modulus: Quantity,
) -> float:
    """Return the deflection of a cantilever's tip under a load there, inches.

    P a^2 (L + a) / 3EI, for a member running over one support with a simple back span L.
    """
    a, length = inches(cantilever, "cantilever"), inches(back_span, "back span")
    e = psi(modulus, "modulus of elasticity")
    return pounds(tip_load, "tip load") * a**2 * (length + a) / (3 * e * section.inertia_in4)


def cantilever_for_deflection_in(
    section: Section,
    *,
    tip_load: Quantity,
    back_span: Quantity,
    modulus: Quantity,
    deflection_limit: int,
) -> float:
    """Return the cantilever whose tip deflects just cantilever/limit under a load there, inches.

    The positive root of a(L + a) = 3EI / (limit x P).
    """
    length = inches(back_span, "back span")
    number(deflection_limit, "deflection limit", 60, 1000)
    stiffness = psi(modulus, "modulus of elasticity") * section.inertia_in4
    reach = 3 * stiffness / (deflection_limit * pounds(tip_load, "tip load"))
    return (-length + math.sqrt(length**2 + 4 * reach)) / 2


def back_span_for_share_in(
    section: Section,
    *,
    tip_load: Quantity,
    modulus: Quantity,
    share: float,
    deflection_limit: int,
) -> float:
    """Return the back span whose cantilever of `share` x span just meets the tip limit, inches.

    With a = kL: L = sqrt(3EI / (limit x P x k(1 + k))).
    """
    k = number(share, "cantilever share of back span", 0.01, 1.0)
    number(deflection_limit, "deflection limit", 60, 1000)
    stiffness = psi(modulus, "modulus of elasticity") * section.inertia_in4
    load = pounds(tip_load, "tip load")
    return math.sqrt(3 * stiffness / (deflection_limit * load * k * (1 + k)))


def cantilever_moment_in_lb(
    *, tip_load: Quantity, uniform_load: Quantity, cantilever: Quantity
) -> float:
    """Return the moment at the support of a cantilever: P a + w a^2 / 2, inch-pounds."""
    a = inches(cantilever, "cantilever")
    w = pounds_per_inch(uniform_load, "uniform load")
    return pounds_or_zero(tip_load, "tip load") * a + w * a**2 / 2


def bearing_area_factor(length_in: float, from_end_in: float) -> float:
    """Return Cb for a bearing shorter than 6 in and 3 in or more from the end (NDS 3.10.4).

    >>> round(bearing_area_factor(1.5, 6.0), 2), bearing_area_factor(1.5, 0.0)
    (1.25, 1.0)
    """
    if from_end_in < 3 or length_in >= 6:
        return 1.0
    return (length_in + 0.375) / length_in


def bearing_capacity_lb(
    section: Section, values: AdjustedValues, *, length: Quantity, from_end: Quantity
) -> float:
    """Return the capacity of a bearing across the grain, pounds (NDS 3.10.2).

    `length` is measured along the grain; `from_end` is the distance of the bearing from the
    member's end, zero at an end.
    """
    bearing = inches(length, "bearing length")
    factor = bearing_area_factor(bearing, inches_or_zero(from_end, "distance from end"))
    return values.fc_perp_psi * factor * section.width_in * bearing
