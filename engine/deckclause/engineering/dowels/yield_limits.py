"""Yield-limit equations for one dowel in single or double shear (NDS 2018 Table 12.3.1A)."""

from __future__ import annotations

import math

from msgspec import Struct

from deckclause.engineering.dowels.reduction import ReductionTerms
from deckclause.engineering.inputs import inches, psi
from deckclause.quantities import Quantity


class Joint(Struct, frozen=True):
    """Geometry and strengths of one dowel joint, in inches and psi.

    `main` is the member holding the point of a lag screw; `side` the other.
    """

    diameter_in: float
    main_length_in: float
    side_length_in: float
    main_bearing_psi: float
    side_bearing_psi: float
    bending_yield_psi: float


class ModeLoad(Struct, frozen=True):
    """The reference load of one yield mode, pounds."""

    mode: str
    z_lb: float
    reduction: float


class YieldResult(Struct, frozen=True):
    """Loads of all modes; the least is the reference lateral design value Z."""

    modes: tuple[ModeLoad, ...]

    @property
    def governing(self) -> ModeLoad:
        """The mode with the least load."""
        return min(self.modes, key=lambda mode: mode.z_lb)

    @property
    def z_lb(self) -> float:
        """The reference lateral design value, pounds, unrounded."""
        return self.governing.z_lb


def joint(
    *,
    diameter: Quantity,
    main_length: Quantity,
    side_length: Quantity,
    main_bearing: Quantity,
    side_bearing: Quantity,
    bending_yield: Quantity,
) -> Joint:
    """Return a joint from quantities; raises DimensionError on one of the wrong kind.

    `diameter` is the one the yield equations use: a bolt's body, a lag screw's root.
    """
    return Joint(
        inches(diameter, "diameter"),
        inches(main_length, "bearing length in the main member"),
        inches(side_length, "bearing length in the side member"),
        psi(main_bearing, "bearing strength of the main member"),
        psi(side_bearing, "bearing strength of the side member"),
        psi(bending_yield, "bending yield strength"),
    )


def single_shear(parts: Joint, terms: ReductionTerms) -> YieldResult:
    """Return all six single-shear modes with faces in contact.

    >>> from deckclause.engineering.dowels.reduction import reduction_terms
    >>> terms = reduction_terms(nominal_in=0.5, yield_diameter_in=0.5, greatest_angle_deg=90)
    >>> result = single_shear(Joint(0.5, 1.5, 1.5, 3650, 3650, 45000), terms)
    >>> result.governing.mode, round(result.z_lb, 1)
    ('II', 252.0)
    """
    loads = _yield_loads(parts)
    return YieldResult(
        tuple(
            ModeLoad(mode, load / terms.for_mode(mode), terms.for_mode(mode))
            for mode, load in loads.items()
        )
    )


def double_shear(parts: Joint, terms: ReductionTerms) -> YieldResult:
    """Return the four double-shear modes: both side members alike, modes II and IIIm absent."""
    loads = _yield_loads(parts)
    planes = {"Im": 1, "Is": 2, "IIIs": 2, "IV": 2}
    return YieldResult(
        tuple(
            ModeLoad(mode, count * loads[mode] / terms.for_mode(mode), terms.for_mode(mode))
            for mode, count in planes.items()
        )
    )


def _yield_loads(p: Joint) -> dict[str, float]:
    """Yield load of each mode before the reduction term, pounds."""
    d, main, side = p.diameter_in, p.main_length_in, p.side_length_in
    fm, fs, fy = p.main_bearing_psi, p.side_bearing_psi, p.bending_yield_psi
    ratio, length = fm / fs, main / side
    k1 = (
        math.sqrt(ratio + 2 * ratio**2 * (1 + length + length**2) + length**2 * ratio**3)
        - ratio * (1 + length)
    ) / (1 + ratio)
    slender = 2 * fy * d**2 / (3 * fm)
    k2 = -1 + math.sqrt(2 * (1 + ratio) + slender * (1 + 2 * ratio) / main**2)
    k3 = -1 + math.sqrt(2 * (1 + ratio) / ratio + slender * (2 + ratio) / side**2)
    return {
        "Im": d * main * fm,
        "Is": d * side * fs,
        "II": k1 * d * side * fs,
        "IIIm": k2 * d * main * fm / (1 + 2 * ratio),
        "IIIs": k3 * d * side * fm / (2 + ratio),
        "IV": d**2 * math.sqrt(2 * fm * fy / (3 * (1 + ratio))),
    }
