"""What one fastener carries: yield modes with their factors, the edge and end rules, the table.

Three figures that rest on three bases stand side by side and are never mixed: the NDS value
(outside its scope where sheathing parts the boards), whether NDS gives the arrangement any value
at all (edge distances do not trade), and the load the code's own table implies for one fastener.
"""

from __future__ import annotations

from fractions import Fraction

from deckclause.engineering.basis import Basis, Factor, Standing
from deckclause.engineering.dowels.connections import (
    LateralResult,
    WoodMember,
    bolt_single_shear,
    lag_single_shear,
)
from deckclause.engineering.dowels.factors import (
    Moisture,
    group_action_factor,
    temperature_factor,
    wet_service_factor,
)
from deckclause.engineering.dowels.geometry import (
    GeometryRules,
    across_grain_rules,
    slenderness,
)
from deckclause.engineering.inputs import inches
from deckclause.engineering.ledger_joint.demand import LoadCase
from deckclause.engineering.ledger_joint.joint import (
    Arrangement,
    Board,
    Fastener,
    Input,
    LedgerJoint,
    Result,
    Step,
)
from deckclause.engineering.members.species import specific_gravity
from deckclause.quantities import ANGLE, PRESSURE, Quantity, length_text

ACROSS = Quantity(Fraction(90), ANGLE)


def lateral_value(joint: LedgerJoint, case: LoadCase, arrangement: Arrangement) -> LateralResult:
    """Return one fastener's lateral value with CD, CM, Ct, Cg and C-delta; edges stand apart.

    Raises UnknownLumberError for a species not held, ValueError for a size not held.
    """
    factors = (
        case.factor,
        wet_service_factor(
            Moisture.ANY_THEN_WET if joint.ledger.wet else Moisture.DRY_THEN_DRY,
            diameter=joint.diameter, single_row=True,
        ),
        temperature_factor(90, wet=joint.ledger.wet),
        _one_in_line(joint, arrangement),
        *_end_factor(joint, arrangement),
    )  # fmt: skip
    band, ledger = _member(joint.band), _member(joint.ledger)
    if joint.fastener is Fastener.BOLT:
        return bolt_single_shear(band, ledger, joint.diameter, gap=joint.between, factors=factors)
    return lag_single_shear(
        band, ledger, joint.diameter, depth=joint.band.thickness, gap=joint.between, factors=factors
    )


def yield_step(joint: LedgerJoint, case: LoadCase, arrangements: tuple[Arrangement, ...]) -> Step:
    """Return the step of the yield modes: load on a fastener over its adjusted value."""
    values = [lateral_value(joint, case, a) for a in arrangements]
    value = values[0]
    outside = "; ".join(value.outside_because)
    limits = f"Outside NDS scope: {outside}. Shown for context only." if outside else ""
    inputs = (
        Input("D", f"{value.joint.diameter_in:g} in", "diameter in the yield equations"),
        Input("Fem, Fes", f"{value.joint.main_bearing_psi:.0f}, {value.joint.side_bearing_psi:.0f} psi",
              f"bearing of {joint.band.species} (band joist), {joint.ledger.species} (ledger), across the grain"),
        Input("Fyb", f"{value.joint.bending_yield_psi:.0f} psi", "NDS Table I1"),
        Input("gap", length_text(joint.between.value), "what parts the boards, design"),
    )  # fmt: skip
    results = tuple(
        Result(a.name, _modes(v), case.pounds(a), v.adjusted_lb)
        for a, v in zip(arrangements, values, strict=True)
    )
    return Step(
        "yield", "One fastener by yield modes", "NDS 12.3.1, Table 12.3.1A; AWC TR12 across a gap",
        "Z' = Z CD CM Ct Cg C-delta", Standing.MEMORY, Basis.CALCULATION.value, inputs,
        value.factors, results, limits,
    )  # fmt: skip


def _modes(value: LateralResult) -> str:
    modes = "; ".join(f"{m.mode} {m.z_lb:.0f} lb" for m in value.yields.modes)
    return (
        f"{modes}. Mode {value.mode} governs, Z = {value.reference_lb:.1f} lb; "
        f"Z' = {value.adjusted_lb:.1f} lb"
    )


def edges_step(joint: LedgerJoint, arrangements: tuple[Arrangement, ...]) -> Step:
    """Return the step of edge and end distances: which arrangement NDS gives any value."""
    rules = edge_rules(joint)
    d = joint.diameter
    inputs = (
        Input("D", length_text(d.value), "nominal diameter"),
        Input("l/D", f"{_slender(joint):.3g}", "bearing length over diameter"),
    )
    results = tuple(_edges(joint, a, rules) for a in arrangements)
    return Step(
        "edges", "Edge and end distances", "NDS 12.5.1, Tables 12.5.1A to D",
        "loaded edge 4D, unloaded edge 1.5D, end 4D (2D at half value)", Standing.MEMORY,
        Basis.CALCULATION.value, inputs, (), results,
        "Edges do not trade: below them NDS gives no value. The ledger's top and the band joist's "
        "bottom are the loaded edges. NDS knows no relief for a band joist that bears on a sill.",
    )  # fmt: skip


def edge_rules(joint: LedgerJoint) -> GeometryRules:
    """Return the least distances of this fastener across the grain."""
    return across_grain_rules(joint.diameter, _slender(joint))


def table_step(
    joint: LedgerJoint, case: LoadCase, arrangements: tuple[Arrangement, ...]
) -> Step | None:
    """Return the step of the load the code's table implies for one fastener; None without one."""
    if joint.table_capacity_lb is None:
        return None
    capacity = joint.table_capacity_lb * case.duration.value
    text = f"{capacity:.0f} lb ({joint.table_capacity_says})"
    return Step(
        "table", "One fastener by the code's own table", "the ledger fastener table, read backwards",
        "implied load = spacing x load over half the joist span", Standing.DERIVED,
        Basis.IMPLIED.value, (), (case.factor,),
        tuple(_implied(a, text, case, capacity) for a in arrangements),
        "It describes rows placed as the table's own figure places them. For an arrangement the "
        "table does not permit it is no strength.",
    )  # fmt: skip


def _implied(arrangement: Arrangement, text: str, case: LoadCase, capacity: float) -> Result:
    if not arrangement.in_table:
        return Result(
            arrangement.name, "the table does not cover this arrangement and implies nothing for it"
        )
    return Result(arrangement.name, text, case.pounds(arrangement), capacity)


def _member(board: Board) -> WoodMember:
    return WoodMember(specific_gravity(board.species), board.thickness, ACROSS)


def _one_in_line(joint: LedgerJoint, arrangement: Arrangement) -> Factor:
    """Return Cg: a ledger's fasteners stand across the load, so each is a row of one."""
    stiff = Quantity(Fraction(1_000_000), PRESSURE)
    return group_action_factor(
        1, diameter=joint.diameter, spacing=arrangement.spacing,
        main_area=joint.band.depth * joint.band.thickness, main_modulus=stiff,
        side_area=joint.ledger.depth * joint.ledger.thickness, side_modulus=stiff,
    )  # fmt: skip


def _end_factor(joint: LedgerJoint, arrangement: Arrangement) -> tuple[Factor, ...]:
    """Return C-delta for the end distance, where it is known and permitted at all."""
    if arrangement.end_distance is None:
        return ()
    rules = edge_rules(joint)
    end = inches(arrangement.end_distance, "end distance")
    if end < rules.end_least_in:
        return ()
    value = min(1.0, end / rules.end_full_in)
    return (
        Factor("C-delta", value, f"end distance {_inches(end)}", "NDS 12.5.1", Standing.MEMORY),
    )


def _slender(joint: LedgerJoint) -> float:
    return slenderness(joint.band.thickness, joint.ledger.thickness, joint.diameter)


def _edges(joint: LedgerJoint, rows: Arrangement, rules: GeometryRules) -> Result:
    ledger_depth = inches(joint.ledger.depth, "ledger depth")
    lower = inches(rows.ledger_lower_from_top, "lower row below the ledger's top")
    found = (
        ("ledger, loaded top edge to the upper row", rows.ledger_upper_from_top, rules.loaded_edge_in),
        ("band joist, loaded bottom edge to the lower row", rows.band_lower_from_bottom, rules.loaded_edge_in),
        ("band joist, unloaded top edge to the upper row", rows.band_upper_from_top, rules.unloaded_edge_in),
    )  # fmt: skip
    parts = [(name, float(got.value), least) for name, got, least in found]
    parts.append(
        ("ledger, unloaded bottom edge to the lower row", ledger_depth - lower, rules.unloaded_edge_in)
    )  # fmt: skip
    if rows.end_distance is not None:
        parts.append(("end", float(rows.end_distance.value), rules.end_least_in))
    said = "; ".join(
        f"{name} {_inches(got)} (least {_inches(least)})" for name, got, least in parts
    )
    broken = [
        f"{name}: {_inches(got)}, at least {_inches(least)}"
        for name, got, least in parts
        if got < least
    ]
    why = f"NDS gives no value: {'; '.join(broken)}" if broken else ""
    return Result(rows.name, said, no_value=why)


def _inches(value: float) -> str:
    """Write inches worked out in floating point as a carpenter reads them, where they fall on a tape.

    >>> _inches(1.25), _inches(2.0)
    ('1-1/4 in', '2 in')
    """
    exact = Fraction(value).limit_denominator(64)
    return length_text(exact) if abs(float(exact) - value) < 1e-9 else f"{value:g} in"
