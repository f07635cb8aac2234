"""The gap form of the yield equations, for sheathing or washers between the members.

Source: the general dowel equations of AWC Technical Report 12, from memory; at no gap they
equal the plain form, which a property test holds them to. NDS itself wants the faces in
contact: a result with a gap is context, never a design value.
"""

from __future__ import annotations

import math

from deckclause.engineering.dowels.reduction import ReductionTerms
from deckclause.engineering.dowels.yield_limits import Joint, ModeLoad, YieldResult
from deckclause.engineering.inputs import inches_or_zero
from deckclause.quantities import Quantity


def single_shear_with_gap(parts: Joint, terms: ReductionTerms, gap: Quantity) -> YieldResult:
    """Return the six single-shear modes with a gap between the members.

    Each bending mode is P with A P^2 + B P + C = 0, from the equilibrium of the bent dowel.
    Raises DimensionError for a gap that is not a length, ValueError for a negative one.

    >>> from deckclause.engineering.dowels.reduction import reduction_terms
    >>> from deckclause.quantities import parse_quantity as q
    >>> terms = reduction_terms(nominal_in=0.5, yield_diameter_in=0.5, greatest_angle_deg=90)
    >>> bolt = Joint(0.5, 1.5, 1.5, 3650, 3650, 45000)
    >>> [round(single_shear_with_gap(bolt, terms, q(g)).z_lb) for g in ("0 in", "1/2 in", "1 in")]
    [252, 203, 168]
    """
    g = inches_or_zero(gap, "gap")
    main, side = parts.main_length_in, parts.side_length_in
    per_side = parts.side_bearing_psi * parts.diameter_in
    per_main = parts.main_bearing_psi * parts.diameter_in
    moment = parts.bending_yield_psi * parts.diameter_in**3 / 6
    side_rotates, side_bends = 1 / (4 * per_side), 1 / (2 * per_side)
    main_rotates, main_bends = 1 / (4 * per_main), 1 / (2 * per_main)
    from_side, from_main = per_side * side**2 / 4, per_main * main**2 / 4
    loads = {
        "Im": per_main * main,
        "Is": per_side * side,
        "II": _root(side_rotates + main_rotates, side / 2 + g + main / 2, from_side + from_main),
        "IIIm": _root(side_bends + main_rotates, g + main / 2, moment + from_main),
        "IIIs": _root(side_rotates + main_bends, side / 2 + g, from_side + moment),
        "IV": _root(side_bends + main_bends, g, 2 * moment),
    }
    return YieldResult(
        tuple(
            ModeLoad(mode, load / terms.for_mode(mode), terms.for_mode(mode))
            for mode, load in loads.items()
        )
    )


def _root(a: float, b: float, c: float) -> float:
    """Return the positive root of a P^2 + b P = c."""
    return (-b + math.sqrt(b * b + 4 * a * c)) / (2 * a)
