"""Adjustment factors of dowel connections (NDS 2018 chapter 11), allowable stress design.

Which factor applies where was seen in a scanned NDS page; the tables of CM and Ct are from
memory. The geometry factor has its own module.
"""

from __future__ import annotations

import math
from enum import Enum

from deckclause.engineering.basis import Factor, Standing
from deckclause.engineering.inputs import inches, number, psi, square_inches
from deckclause.engineering.members.adjustment import LoadDuration
from deckclause.quantities import Quantity


class Moisture(Enum):
    """Moisture of the wood when fastened and in service, over or under 19 percent."""

    DRY_THEN_DRY = "dry when fastened, dry in service"
    ANY_THEN_WET = "wet in service"
    WET_THEN_DRY = "wet when fastened, dry in service"


class Loading(Enum):
    """The kind of load on a fastener."""

    LATERAL = "lateral"
    WITHDRAWAL = "withdrawal"


_MEMORY = Standing.MEMORY


def duration_factor(load_duration: LoadDuration) -> Factor:
    """Return CD for a connection, never over 1.6 (NDS 11.3.2)."""
    name = load_duration.name.lower().replace("_", " ")
    return Factor("CD", load_duration.value, f"{name} load", "NDS 11.3.2", _MEMORY)


def wet_service_factor(
    moisture: Moisture, *, diameter: Quantity, single_row: bool, loading: Loading = Loading.LATERAL
) -> Factor:
    """Return CM for bolts and lag screws (NDS Table 11.3.3).

    `single_row`: one fastener, one row along the grain, or separate splice plates. Without it,
    wood that dries after fastening splits between rows, and CM is 0.4.

    >>> from deckclause.quantities import parse_quantity as q
    >>> wet_service_factor(Moisture.ANY_THEN_WET, diameter=q("1/2 in"), single_row=True).value
    0.7
    """
    source = "NDS Table 11.3.3"
    large = inches(diameter, "fastener diameter") >= 0.25
    if moisture is Moisture.ANY_THEN_WET:
        return Factor("CM", 0.7, moisture.value, source, _MEMORY)
    if moisture is Moisture.WET_THEN_DRY and loading is Loading.LATERAL:
        if not large:
            return Factor("CM", 0.7, moisture.value, source, _MEMORY)
        if not single_row:
            return Factor("CM", 0.4, f"{moisture.value}, more than one row", source, _MEMORY)
    return Factor("CM", 1.0, moisture.value, source, _MEMORY)


def temperature_factor(fahrenheit: float, *, wet: bool) -> Factor:
    """Return Ct for a sustained temperature (NDS Table 11.3.4); ValueError over 150 F.

    >>> temperature_factor(90, wet=True).value, temperature_factor(120, wet=True).value
    (1.0, 0.7)
    """
    degrees = number(fahrenheit, "temperature, degrees Fahrenheit", -100, 150)
    steps = ((100, 1.0, 1.0), (125, 0.8, 0.7), (150, 0.7, 0.5))
    for top, dry_value, wet_value in steps:
        if degrees <= top:
            value = wet_value if wet else dry_value
            return Factor("Ct", value, f"up to {top} F", "NDS Table 11.3.4", _MEMORY)
    raise AssertionError("unreachable: number() bounds the temperature")


def end_grain_factor(loading: Loading, *, in_end_grain: bool) -> Factor:
    """Return Ceg: lag withdrawal from end grain 0.75, lateral in end grain 0.67 (NDS 12.5.2)."""
    if not in_end_grain:
        return Factor("Ceg", 1.0, "side grain", "NDS 12.5.2", _MEMORY)
    if loading is Loading.WITHDRAWAL:
        return Factor("Ceg", 0.75, "withdrawal from end grain", "NDS 12.2.1", Standing.CONFIRMED)
    return Factor("Ceg", 0.67, "lateral in end grain", "NDS 12.5.2", _MEMORY)


def group_action_factor(
    count: int,
    *,
    diameter: Quantity,
    spacing: Quantity,
    main_area: Quantity,
    main_modulus: Quantity,
    side_area: Quantity,
    side_modulus: Quantity,
    metal_side: bool = False,
) -> Factor:
    """Return Cg for `count` fasteners in one row, in line with the load (NDS Eq. 11.3-1).

    A ledger's bolts stand in a line across the load: each is a row of one, and Cg is 1.0.
    Raises ValueError for a count under one.
    """
    if count < 1:
        raise ValueError(f"a row has at least one fastener, not {count}")
    d = inches(diameter, "fastener diameter")
    if count == 1 or d < 0.25:
        return Factor("Cg", 1.0, "one fastener in the row", "NDS 11.3.6", _MEMORY)
    main = psi(main_modulus, "main modulus") * square_inches(main_area, "main area")
    side = psi(side_modulus, "side modulus") * square_inches(side_area, "side area")
    slip = (270000 if metal_side else 180000) * d**1.5
    u = 1 + slip * inches(spacing, "spacing in the row") / 2 * (1 / main + 1 / side)
    m = u - math.sqrt(u * u - 1)
    ratio = min(main / side, side / main)
    power = m ** (2 * count)
    head = m * (1 - power) / (count * ((1 + ratio * m**count) * (1 + m) - 1 + power))
    value = head * (1 + ratio) / (1 - m)
    return Factor("Cg", value, f"{count} fasteners in a row", "NDS Eq. 11.3-1", _MEMORY)
