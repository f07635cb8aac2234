"""Plain footings under deck posts: plan size from soil pressure, thickness from projection."""

from __future__ import annotations

import math
from enum import Enum

from msgspec import Struct

from deckclause.engineering.inputs import inches, pounds, psi
from deckclause.quantities import DENSITY, Quantity


class Shape(Enum):
    """The plan of a footing."""

    ROUND = "round"
    SQUARE = "square"


class FootingResult(Struct, frozen=True):
    """A footing's least plan size and the pressures behind it, unrounded."""

    shape: Shape
    size_in: float
    area_in2: float
    net_soil_psf: float


def size_for_area_in(area_in2: float, shape: Shape) -> float:
    """Return the side or diameter, inches, of a plan area in square inches.

    >>> size_for_area_in(144.0, Shape.SQUARE)
    12.0
    """
    return math.sqrt(area_in2 * (4 / math.pi if shape is Shape.ROUND else 1.0))


def footing_size(
    load: Quantity,
    soil: Quantity,
    shape: Shape,
    *,
    thickness: Quantity | None = None,
    concrete: Quantity | None = None,
) -> FootingResult:
    """Return the least plan size that keeps soil pressure within its allowable value.

    With `thickness` and `concrete` the footing's own weight is taken off the soil's capacity;
    give both or neither. Raises ValueError if one is missing or the concrete alone uses up the
    soil, DimensionError for another kind of quantity.
    """
    if (thickness is None) != (concrete is None):
        raise ValueError("own weight needs both the thickness and the concrete's unit weight")
    net = psi(soil, "soil bearing capacity")
    if thickness is not None and concrete is not None:
        weight = float(concrete.need(DENSITY, "concrete unit weight"))
        net -= weight * inches(thickness, "footing thickness")
    if net <= 0:
        raise ValueError("the concrete alone uses up the soil's capacity")
    area = pounds(load, "footing load") / net
    return FootingResult(shape, size_for_area_in(area, shape), area, net * 144)


def thickness_for_projection_in(size_in: float, post_width: Quantity) -> float:
    """Return the thickness that puts the footing's edge within 45 degrees of the post, inches."""
    return max(0.0, (size_in - inches(post_width, "post width")) / 2)
