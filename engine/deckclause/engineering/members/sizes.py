"""Dressed sizes of lumber and the section properties that follow from them."""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct

from deckclause.engineering.basis import Standing
from deckclause.engineering.inputs import inches
from deckclause.quantities import Quantity

SIZE_SOURCE = (
    "PS 20, NDS Supplement Table 1A; dry dimensions seen in the XC open FE library's tests"
)
SIZE_STANDING = Standing.CONFIRMED

_THICKNESS: dict[int, Fraction] = {
    2: Fraction(3, 2),
    3: Fraction(5, 2),
    4: Fraction(7, 2),
    6: Fraction(11, 2),
    8: Fraction(15, 2),
}
_DEPTH: dict[int, Fraction] = {
    4: Fraction(7, 2),
    6: Fraction(11, 2),
    8: Fraction(29, 4),
    10: Fraction(37, 4),
    12: Fraction(45, 4),
    14: Fraction(53, 4),
}
TIMBER_FROM = 5
"""Nominal inches in the least dimension from which a member is a timber (NDS 4.1.3)."""


class UnknownSizeError(ValueError):
    """A size that is not a dressed lumber size we hold."""


class Section(Struct, frozen=True):
    """A rectangular section; `plies` boards side by side act as one width."""

    name: str
    nominal_thickness: int
    nominal_depth: int
    thickness: Fraction
    depth: Fraction
    plies: int = 1

    @property
    def width_in(self) -> float:
        """Total width in inches."""
        return float(self.thickness * self.plies)

    @property
    def depth_in(self) -> float:
        """Depth in inches."""
        return float(self.depth)

    @property
    def area_in2(self) -> float:
        """Area in square inches."""
        return self.width_in * self.depth_in

    @property
    def modulus_in3(self) -> float:
        """Section modulus for bending in the depth, cubic inches."""
        return self.width_in * self.depth_in**2 / 6

    @property
    def inertia_in4(self) -> float:
        """Second moment of area for bending in the depth, in^4."""
        return self.width_in * self.depth_in**3 / 12

    @property
    def is_timber(self) -> bool:
        """Whether the member is 5x5 or larger, with its own design values."""
        return min(self.nominal_thickness, self.nominal_depth) >= TIMBER_FROM


def dressed_section(nominal: str, plies: int = 1) -> Section:
    """Return the dressed section of a nominal size such as `2x8`, `4x4` or `6x6`.

    Raises UnknownSizeError for a size not held, ValueError for no plies.

    >>> beam = dressed_section("2x10", plies=2)
    >>> beam.width_in, beam.depth_in, round(beam.modulus_in3, 2)
    (3.0, 9.25, 42.78)
    """
    if plies < 1:
        raise ValueError(f"a member has at least one ply, not {plies}")
    thick_text, _, deep_text = nominal.partition("x")
    try:
        thick, deep = int(thick_text), int(deep_text)
        thickness = _THICKNESS[thick]
        depth = _THICKNESS[deep] if thick >= TIMBER_FROM else _DEPTH[deep]
    except (ValueError, KeyError):
        raise UnknownSizeError(
            f"'{nominal}' is not a dressed size held here; write one such as 2x8, 4x6 or 6x6"
        ) from None
    return Section(nominal, thick, deep, thickness, depth, plies)


def rectangle(width: Quantity, depth: Quantity, nominal: str) -> Section:
    """Return a rectangle of given true size that takes its factors from the `nominal` size.

    The beam model of the code's `3x or 2-ply` rows uses it: 2-1/2 in wide, 2x depth.
    Raises DimensionError for anything but lengths.

    >>> from deckclause.quantities import parse_quantity
    >>> rectangle(parse_quantity("2.5 in"), parse_quantity("7.25 in"), "3x8").area_in2
    18.125
    """
    inches(width, "section width"), inches(depth, "section depth")
    base = dressed_section(nominal)
    return Section(nominal, base.nominal_thickness, base.nominal_depth, width.value, depth.value)
