"""A bolt or lag screw in single shear, from wood and angles to an adjusted value.

These functions put the pieces together and keep every step: bearing strengths, reduction term,
all modes, penetration, factors, basis and cautions. Source: NDS 2018 chapters 11 and 12.
"""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct

from deckclause.engineering.basis import Basis, Factor, product
from deckclause.engineering.cautions import Caution, for_topic
from deckclause.engineering.dowels.bearing import PlateSteel, wood_strength
from deckclause.engineering.dowels.fasteners import BOLT_YIELD_PSI, LagScrew, lag_screw
from deckclause.engineering.dowels.gap import single_shear_with_gap
from deckclause.engineering.dowels.lag_screws import (
    Penetration,
    main_bearing_length_in,
    penetration,
)
from deckclause.engineering.dowels.reduction import ReductionTerms, reduction_terms
from deckclause.engineering.dowels.yield_limits import Joint, YieldResult, single_shear
from deckclause.engineering.inputs import degrees_to_grain, inches, number
from deckclause.quantities import LENGTH, Quantity

NO_GAP = Quantity(Fraction(0), LENGTH)


class WoodMember(Struct, frozen=True):
    """One board of a connection: specific gravity, thickness and angle of load to its grain."""

    specific_gravity: float
    thickness: Quantity
    angle: Quantity


class SteelPlate(Struct, frozen=True):
    """A steel side plate."""

    steel: PlateSteel
    thickness: Quantity


class LateralResult(Struct, frozen=True):
    """A lateral design value with everything behind it; loads in pounds, strengths in psi."""

    fastener: str
    basis: Basis
    joint: Joint
    reduction: ReductionTerms
    yields: YieldResult
    penetration: Penetration | None
    factors: tuple[Factor, ...]
    within_nds: bool
    outside_because: tuple[str, ...]
    cautions: tuple[Caution, ...]

    @property
    def mode(self) -> str:
        """The governing yield mode."""
        return self.yields.governing.mode

    @property
    def reference_lb(self) -> float:
        """Z before adjustment, unrounded."""
        return self.yields.z_lb

    @property
    def adjusted_lb(self) -> float:
        """Z' = Z times every factor. Read `within_nds` before using it."""
        return self.yields.z_lb * product(self.factors)

    def lines(self) -> tuple[str, ...]:
        """Print the calculation step by step, as a reader would check it."""
        parts = self.joint
        strengths = (
            f"bearing {parts.main_bearing_psi:.0f} psi main, {parts.side_bearing_psi:.0f} psi side; "
            f"bending yield {parts.bending_yield_psi:.0f} psi; D = {parts.diameter_in:g} in"
        )
        modes = "; ".join(f"{m.mode} {m.z_lb:.1f} lb" for m in self.yields.modes)
        closing = f"Z = {self.reference_lb:.1f} lb by mode {self.mode}; adjusted {self.adjusted_lb:.1f} lb"
        scope = tuple(f"outside NDS scope: {why}" for why in self.outside_because)
        factors = tuple(factor.line() for factor in self.factors)
        return (
            f"basis: {self.basis.value}", strengths, f"Rd: {self.reduction.reason}", modes,
            *factors, closing, *scope,
        )  # fmt: skip


def bolt_single_shear(
    main: WoodMember,
    side: WoodMember | SteelPlate,
    diameter: Quantity,
    *,
    gap: Quantity = NO_GAP,
    factors: tuple[Factor, ...] = (),
) -> LateralResult:
    """Return the lateral value of one bolt through two members.

    `gap` is anything that keeps the boards apart (sheathing, stacked washers): the result is
    then outside NDS scope and says so. Raises DimensionError or ValueError on bad inputs.

    >>> from deckclause.quantities import parse_quantity as q
    >>> board = WoodMember(0.55, q("1-1/2 in"), q("90 deg"))
    >>> result = bolt_single_shear(board, board, q("1/2 in"))
    >>> result.mode, round(result.reference_lb, 1)
    ('II', 252.0)
    """
    d = inches(diameter, "bolt diameter")
    parts = Joint(
        d,
        inches(main.thickness, "main member thickness"),
        inches(side.thickness, "side member thickness"),
        _strength(main, diameter),
        _strength(side, diameter),
        BOLT_YIELD_PSI,
    )
    terms = _terms(main, side, nominal_in=d, yield_diameter_in=d)
    return _assemble("bolt", parts, terms, gap, None, factors)


def lag_single_shear(
    main: WoodMember,
    side: WoodMember | SteelPlate,
    diameter: Quantity,
    *,
    depth: Quantity,
    gap: Quantity = NO_GAP,
    factors: tuple[Factor, ...] = (),
) -> LateralResult:
    """Return the lateral value of one lag screw; `depth` is its penetration without the tip.

    Bearing strength takes the nominal diameter, the yield equations the root diameter. Under
    four diameters of penetration the result is outside NDS scope and says so.

    >>> from deckclause.quantities import parse_quantity as q
    >>> ledger = WoodMember(0.55, q("1-1/2 in"), q("90 deg"))
    >>> stud = WoodMember(0.55, q("5-1/2 in"), q("0 deg"))
    >>> lag = lag_single_shear(stud, ledger, q("1/2 in"), depth=q("4 in"))
    >>> lag.mode, round(lag.reference_lb, 1)
    ('IIIs', 248.5)
    """
    screw: LagScrew = lag_screw(diameter)
    reach = penetration(depth, screw)
    parts = Joint(
        screw.root_in,
        main_bearing_length_in(depth, screw),
        inches(side.thickness, "side member thickness"),
        _strength(main, diameter),
        _strength(side, diameter),
        screw.bending_yield_psi,
    )
    terms = _terms(main, side, nominal_in=screw.nominal_in, yield_diameter_in=screw.root_in)
    return _assemble("lag screw", parts, terms, gap, reach, factors)


def _strength(member: WoodMember | SteelPlate, diameter: Quantity) -> float:
    if isinstance(member, SteelPlate):
        return member.steel.value
    number(member.specific_gravity, "specific gravity", 0.2, 0.9)
    return wood_strength(member.specific_gravity, diameter, member.angle)


def _terms(
    main: WoodMember,
    side: WoodMember | SteelPlate,
    *,
    nominal_in: float,
    yield_diameter_in: float,
) -> ReductionTerms:
    angles = [degrees_to_grain(main.angle, "angle to the main member's grain")]
    if isinstance(side, WoodMember):
        angles.append(degrees_to_grain(side.angle, "angle to the side member's grain"))
    return reduction_terms(
        nominal_in=nominal_in,
        yield_diameter_in=yield_diameter_in,
        greatest_angle_deg=max(angles),
    )


def _assemble(
    fastener: str,
    parts: Joint,
    terms: ReductionTerms,
    gap: Quantity,
    reach: Penetration | None,
    factors: tuple[Factor, ...],
) -> LateralResult:
    outside = []
    if gap.need(LENGTH, "gap"):
        yields = single_shear_with_gap(parts, terms, gap)
        outside.append("the members are not in contact")
    else:
        yields = single_shear(parts, terms)
    if reach is not None and not reach.permitted:
        outside.append(f"penetration is {reach.diameters:.2g} diameters; at least 4 are needed")
    extra = ("near_a_limit",) if reach is not None and reach.near_least else ()
    return LateralResult(
        fastener, Basis.CALCULATION, parts, terms, yields, reach, factors, not outside,
        tuple(outside), for_topic("connection", *extra),
    )  # fmt: skip
