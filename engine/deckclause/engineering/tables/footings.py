"""The footing tables of the AWC guide and of the code."""

from __future__ import annotations

import math
from fractions import Fraction

from msgspec import Struct

from deckclause.engineering.basis import Basis, Check
from deckclause.engineering.cautions import for_topic
from deckclause.engineering.inputs import psi, square_inches
from deckclause.engineering.members.footings import (
    Shape,
    footing_size,
    size_for_area_in,
    thickness_for_projection_in,
)
from deckclause.engineering.rounding import TIE, Rounding, round_inches
from deckclause.engineering.tables.explanation import Explanation
from deckclause.engineering.tables.loads import LIVE_LOAD, DeckLoad, length_in, psf
from deckclause.quantities import DENSITY, LENGTH, Quantity

POST_WIDTH = length_in(Fraction(11, 2))
GUIDE_SOIL = psf(1500)
CONCRETE = Quantity(Fraction(150, 1728), DENSITY)
JOIST_SHARE = Fraction(3, 4)
"""Share of the joist span that loads a post in the guide (half plus a quarter)."""

CODE_LEAST_IN = {Shape.SQUARE: 12, Shape.ROUND: 14}
"""Least sizes of the 2018 code's table, inches."""
SMALL_LEAST_IN = {Shape.SQUARE: 7, Shape.ROUND: 8}
"""Least sizes of the 2021 code's table as remembered, taken from its own 5 sq ft row, inches."""
CODE_LEAST_THICKNESS_IN = 6

GUIDE_FITTED = (
    "own weight is found in one pass: thickness from the size without own weight, whole inches, "
    "then the size again; solving fully misses two cells in 63",
)
SMALL_FITTED = ("the least sizes, 7 in square and 8 in round, are the table's own 5 sq ft row",)


class FootingCells(Struct, frozen=True):
    """The three cells of one footing row, inches, with the load on the soil, pounds."""

    load_lb: float
    square_in: int
    round_in: int
    thickness_in: int
    square_unrounded_in: float
    round_unrounded_in: float


def guide_footing(beam_span: Quantity, joist_span: Quantity) -> FootingCells:
    """Return the AWC guide's row: 50 psf over beam span x 3/4 joist span, soil 1500 psf.

    Sizes round up; thickness is half the projection beyond a 5-1/2 in post, rounded up.

    >>> from deckclause.quantities import parse_quantity as q
    >>> cells = guide_footing(q("6 ft"), q("10 ft"))
    >>> cells.round_in, cells.square_in, cells.thickness_in
    (18, 16, 7)
    """
    beam_span.need(LENGTH, "beam span"), joist_span.need(LENGTH, "joist span")
    load = LIVE_LOAD.total * beam_span * (joist_span * JOIST_SHARE)
    first = footing_size(load, GUIDE_SOIL, Shape.ROUND)
    trial = _thickness(math.ceil(first.size_in - TIE))
    sizes = {
        shape: footing_size(
            load, GUIDE_SOIL, shape, thickness=length_in(trial), concrete=CONCRETE
        ).size_in
        for shape in Shape
    }
    diameter = round_inches(sizes[Shape.ROUND], Rounding.UP)
    return FootingCells(
        load_lb=float(load.value),
        square_in=round_inches(sizes[Shape.SQUARE], Rounding.UP),
        round_in=diameter,
        thickness_in=_thickness(diameter),
        square_unrounded_in=sizes[Shape.SQUARE],
        round_unrounded_in=sizes[Shape.ROUND],
    )


def _thickness(diameter_in: int) -> int:
    return math.ceil(thickness_for_projection_in(float(diameter_in), POST_WIDTH) - TIE)


def code_footing(
    area: Quantity, soil: Quantity, load: DeckLoad = LIVE_LOAD, *, small: bool = False
) -> FootingCells:
    """Return the code's row: load x area / soil, no own weight, nearest inch, least sizes.

    The least sizes are those of the 2018 table, or with `small` of the 2021 table. Rounding to the nearest inch leaves some sizes up to 1.5 percent short of the soil value.
    """
    plan = square_inches(area, "tributary area") * psi(load.total, "load") / psi(soil, "soil")
    sizes = {shape: size_for_area_in(plan, shape) for shape in Shape}
    least = SMALL_LEAST_IN if small else CODE_LEAST_IN
    cells = {
        shape: max(round_inches(size, Rounding.NEAREST), least[shape])
        for shape, size in sizes.items()
    }
    thick = thickness_for_projection_in(sizes[Shape.SQUARE], POST_WIDTH)
    return FootingCells(
        load_lb=float((load.total * area).value),
        square_in=cells[Shape.SQUARE],
        round_in=cells[Shape.ROUND],
        thickness_in=max(CODE_LEAST_THICKNESS_IN, round_inches(thick, Rounding.NEAREST)),
        square_unrounded_in=sizes[Shape.SQUARE],
        round_unrounded_in=sizes[Shape.ROUND],
    )


def explain_guide_footing(beam_span: Quantity, joist_span: Quantity, part: str) -> Explanation:
    """Explain one cell (`round`, `square` or `thickness`) of the guide's footing table."""
    keys = (
        ("beam span", f"{float(beam_span.value) / 12:g} ft"),
        ("joist span", f"{float(joist_span.value) / 12:g} ft"),
        ("part", part),
    )
    return _explain(
        guide_footing(beam_span, joist_span), keys, part, Rounding.UP, GUIDE_FITTED,
        "soil 1500 psf, concrete 150 pcf, post 5-1/2 in",
    )  # fmt: skip


def explain_code_footing(
    area: Quantity, soil: Quantity, part: str, load: DeckLoad = LIVE_LOAD, *, small: bool = False
) -> Explanation:
    """Explain one cell of the code's footing table (`round`, `square` or `thickness`).

    `small` takes the least sizes of the 2021 table.
    """
    keys = (
        ("tributary area", f"{float(area.value) / 144:g} sq ft"),
        ("soil", f"{float(soil.value) * 144:g} psf"),
        ("load", load.text),
        ("part", part),
    )
    least = "7 in square and 8 in round" if small else "12 in square and 14 in round"
    return _explain(
        code_footing(area, soil, load, small=small), keys, part, Rounding.NEAREST,
        SMALL_FITTED if small else (), f"no own weight; {least} at least",
    )  # fmt: skip


def _explain(
    cells: FootingCells,
    keys: tuple[tuple[str, str], ...],
    part: str,
    rounding: Rounding,
    fitted: tuple[str, ...],
    assumption: str,
) -> Explanation:
    values = {
        "round": (cells.round_unrounded_in, cells.round_in),
        "square": (cells.square_unrounded_in, cells.square_in),
        "thickness": (
            thickness_for_projection_in(float(cells.round_in), POST_WIDTH)
            if rounding is Rounding.UP
            else thickness_for_projection_in(cells.square_unrounded_in, POST_WIDTH),
            cells.thickness_in,
        ),
    }
    if part not in values:
        raise ValueError(f"'{part}' is not a footing cell; one of {', '.join(values)}")
    raw, cell = values[part]
    governed = "soil pressure" if part != "thickness" else "projection beyond the post"
    if cell > round_inches(raw, rounding):
        governed = "the least size the table gives"
    return Explanation(
        family="footings", keys=keys, basis=Basis.FITTED if fitted else Basis.CALCULATION,
        inputs=(f"load {cells.load_lb:.0f} lb; {assumption}",), factors=(),
        checks=(Check("soil pressure" if part != "thickness" else "45 degree projection", raw,
                      "in", "load over net soil capacity"),),
        governed_by=governed,
        unrounded_in=raw, rounding=rounding, cell_in=cell, in_feet=False, fitted=fitted, notes=(),
        cautions=for_topic("footings"),
    )  # fmt: skip
