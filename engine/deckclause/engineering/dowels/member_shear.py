"""Shear of a member at its connection, and an independent look at splitting.

The NDS check (3.4.3.3, memory) uses the depth left between the fasteners and the unloaded
edge. NDS has no fracture model, so the splitting capacity of Eurocode 5 (EN 1995-1-1 8.1.4,
seen restated in public) stands beside it as a second opinion, never as a code check.
"""

from __future__ import annotations

import math

from msgspec import Struct

from deckclause.engineering.inputs import inches, psi
from deckclause.quantities import Quantity

END_DEPTHS = 5.0
"""A connection nearer than this many member depths to the end takes the reduced form."""

_MM_PER_IN = 25.4
_N_PER_LB = 4.4482216152605


class MemberShear(Struct, frozen=True):
    """Shear capacity at a connection, pounds, with the effective depth, inches."""

    effective_depth_in: float
    near_end: bool
    capacity_lb: float


def shear_at_connection(
    *,
    shear_strength: Quantity,
    width: Quantity,
    depth: Quantity,
    effective_depth: Quantity,
    from_end: Quantity,
) -> MemberShear:
    """Return V'r: 2/3 Fv' b de, times (de/d)^2 within five depths of the end (NDS 3.4.3.3).

    `effective_depth` is the member's depth less the distance from the unloaded edge to the
    nearest fastener. Raises ValueError if it exceeds the depth.

    >>> from deckclause.quantities import parse_quantity as q
    >>> round(shear_at_connection(shear_strength=q("131 psi"), width=q("1.5 in"),
    ...     depth=q("7.25 in"), effective_depth=q("5.5 in"), from_end=q("6 ft")).capacity_lb)
    720
    """
    b, d = inches(width, "member width"), inches(depth, "member depth")
    de = inches(effective_depth, "effective depth")
    if de > d:
        raise ValueError(f"the effective depth {de:g} in exceeds the member's depth {d:g} in")
    near_end = inches(from_end, "distance from the member's end") < END_DEPTHS * d
    capacity = 2 / 3 * psi(shear_strength, "adjusted shear strength") * b * de
    if near_end:
        capacity *= (de / d) ** 2
    return MemberShear(de, near_end, capacity)


def characteristic_splitting_lb(
    *, width: Quantity, depth: Quantity, loaded_edge: Quantity
) -> float:
    """Return the Eurocode 5 characteristic splitting capacity across the grain, pounds.

    F90 = 14 b sqrt(he / (1 - he/h)) newtons in millimetres, he from the loaded edge to the
    farthest fastener. It is a characteristic (5th percentile) value with no safety factor, for
    comparison only. Raises ValueError if the fastener is not inside the depth.
    """
    b = inches(width, "member width") * _MM_PER_IN
    h = inches(depth, "member depth") * _MM_PER_IN
    he = inches(loaded_edge, "distance from the loaded edge") * _MM_PER_IN
    if he >= h:
        raise ValueError("the fastener must lie inside the member's depth")
    return 14 * b * math.sqrt(he / (1 - he / h)) / _N_PER_LB
