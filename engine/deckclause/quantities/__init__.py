"""Exact numbers with units, read and printed the way the trade writes them."""

from deckclause.quantities.parse import QuantityError, parse_quantity
from deckclause.quantities.present import length_text, quantity_text
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
    DimensionError,
    Quantity,
)

__all__ = [
    "ANGLE",
    "AREA",
    "DENSITY",
    "FORCE",
    "INERTIA",
    "LENGTH",
    "LINE_LOAD",
    "MOMENT",
    "NUMBER",
    "PRESSURE",
    "VOLUME",
    "Dimension",
    "DimensionError",
    "Quantity",
    "QuantityError",
    "length_text",
    "parse_quantity",
    "quantity_text",
]
