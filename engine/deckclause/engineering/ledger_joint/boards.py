"""Shear of ledger and band joist at their fasteners, and splitting of the ledger.

The effective depth of NDS 3.4.3.3 is a board's depth less the distance from its unloaded edge to
the nearest fastener. A ledger hangs on its fasteners: its top edge is loaded, its bottom edge is
not, and the nearest fastener to the bottom is the lower row. So the effective depth *is* the
distance from the ledger's top to the lower row, the very measure the code's placement note limits.
For the band joist, whose bottom edge is loaded, it is the distance from the bottom to the upper
row.
"""

from __future__ import annotations

from fractions import Fraction

from deckclause.engineering.basis import Basis, Factor, Standing
from deckclause.engineering.dowels.member_shear import (
    END_DEPTHS,
    MemberShear,
    characteristic_splitting_lb,
    shear_at_connection,
)
from deckclause.engineering.ledger_joint.demand import LoadCase
from deckclause.engineering.ledger_joint.joint import (
    Arrangement,
    Board,
    Input,
    LedgerJoint,
    Result,
    Step,
)
from deckclause.engineering.members.adjustment import Service, adjust
from deckclause.engineering.members.sizes import dressed_section
from deckclause.engineering.members.species import design_values
from deckclause.engineering.tables.loads import PSF
from deckclause.quantities import PRESSURE, Quantity, length_text

HALF = Fraction(1, 2)
"""Shear on either side of a fastener: half of what a full fastener carries.

Between two fasteners the ledger's load runs to both; at a fastener half comes from each side. The
last fastener carries about half a share, all of it from one side: the same shear.
"""
LIVE_FACTOR = 1.5
DEAD_FACTOR = 1.35
"""Partial factors of loads, EN 1990 (6.10), from memory."""
LIVE_BESIDE, SNOW_BESIDE = 0.7, 0.5
"""Shares of live and snow load that accompany a greater other one, EN 1990 Table A1.1, from memory."""
K_MOD = 0.65
"""Solid timber, service class 3, medium-term load (EN 1995-1-1 Table 3.1, from memory)."""
GAMMA_M = 1.3
"""Solid timber (EN 1995-1-1 Table 2.3, from memory)."""


def shear_strength(board: Board, case: LoadCase) -> tuple[Quantity, tuple[Factor, ...]]:
    """Return the adjusted shear strength of a board with its factors.

    Raises UnknownLumberError for a species, grade or size not held.
    """
    section = dressed_section(board.size)
    service = Service(
        wet=board.wet, incised=board.incised, repetitive=False, load_duration=case.duration
    )
    values = adjust(design_values(board.species, board.grade, section), section, service)
    return Quantity(Fraction(values.fv_psi), PRESSURE), values.shear_factors


def ledger_shear_step(
    joint: LedgerJoint, case: LoadCase, arrangements: tuple[Arrangement, ...]
) -> Step:
    """Return the step of the ledger's shear at its fasteners, for each arrangement.

    The form for a connection within five depths of an end is the lesser and is the one compared;
    the form farther in is said beside it.
    """
    strength, factors = shear_strength(joint.ledger, case)
    results = tuple(
        Result(
            r.name, _both(joint.ledger, strength, r.ledger_lower_from_top), case.pounds(r) / 2,
            _shear(joint.ledger, strength, r.ledger_lower_from_top, near_end=True).capacity_lb,
        )
        for r in arrangements
    )  # fmt: skip
    return Step(
        "ledger_shear", "Shear of the ledger at its fasteners", "NDS 3.4.3.3",
        "V'r = 2/3 Fv' b de (de/d)^2 within five depths of an end, 2/3 Fv' b de farther in; "
        "de = ledger's top to the lower row", Standing.MEMORY, Basis.CALCULATION.value,
        _inputs(joint.ledger, strength), factors, results,
        "The lesser form, near an end, is compared: the end fastener of every ledger piece stands "
        "there. Splitting itself is not modelled by this check.",
    )  # fmt: skip


def band_shear_step(
    joint: LedgerJoint, case: LoadCase, arrangements: tuple[Arrangement, ...]
) -> Step:
    """Return the step of the band joist's shear, or why it is no beam."""
    section, formula = "NDS 3.4.3.3", "de = band joist's bottom to the upper row"
    title = "Shear of the band joist at its fasteners"
    if joint.borne_directly:
        text = (
            "The band joist stands on a sill, header or plates along its length: the load goes "
            "straight down into it, no span is sheared, and what counts is bearing across the grain"
        )
        return Step(
            "band_shear", title, section, formula, Standing.MEMORY, Basis.CALCULATION.value, (), (),
            tuple(Result(r.name, text) for r in arrangements),
            "True only while the bearing is continuous and sound below every fastener.",
        )  # fmt: skip
    strength, factors = shear_strength(joint.band, case)
    results = []
    for r in arrangements:
        depth = joint.band.depth - r.band_upper_from_top
        capacity = _shear(joint.band, strength, depth, near_end=True).capacity_lb
        results.append(
            Result(r.name, _both(joint.band, strength, depth), case.pounds(r) / 2, capacity)
        )
    unsure = (
        " Whether the band joist bears directly is not known."
        if joint.borne_directly is None
        else ""
    )
    return Step(
        "band_shear", title, section, formula, Standing.MEMORY, Basis.CALCULATION.value,
        _inputs(joint.band, strength), factors, tuple(results),
        f"The house's own load on the band joist is not in it.{unsure}",
    )  # fmt: skip


def splitting_step(joint: LedgerJoint, arrangements: tuple[Arrangement, ...]) -> Step:
    """Return the step of splitting by fracture mechanics, with its own partial factors.

    F90 of EN 1995-1-1 8.1.4, he from the loaded edge (the ledger's top) to the lower row. Load and
    resistance carry the factors of that standard; they mix with no factor of the NDS.
    """
    results = []
    for r in arrangements:
        plain = characteristic_splitting_lb(
            width=joint.ledger.thickness, depth=joint.ledger.depth,
            loaded_edge=r.ledger_lower_from_top,
        )  # fmt: skip
        capacity = K_MOD / GAMMA_M * plain
        text = (
            f"he = {length_text(r.ledger_lower_from_top.value)}: F90,Rk = {plain:.0f} lb, "
            f"F90,Rd = {K_MOD:g}/{GAMMA_M:g} x F90,Rk = {capacity:.0f} lb"
        )
        results.append(Result(r.name, text, _factored(joint, r) / 2, capacity))
    inputs = (
        Input("b", length_text(joint.ledger.thickness.value), "ledger's thickness"),
        Input("h", length_text(joint.ledger.depth.value), "ledger's depth"),
        Input("V", "half of the factored load", f"load on one fastener ({DEAD_FACTOR:g} D + {LIVE_FACTOR:g} variable)"),
    )  # fmt: skip
    return Step(
        "splitting", "Splitting of the ledger, fracture mechanics", "EN 1995-1-1 8.1.4, Eq. (8.4)",
        "F90,Rk = 14 b sqrt(he / (1 - he/h)) in N and mm; F90,Rd = kmod F90,Rk / gammaM",
        Standing.CONFIRMED, Basis.CALCULATION.value, inputs, (), tuple(results),
        "A European standard for softwood, not adopted by the code and shown as a second opinion. "
        "It leaves out fasteners near an end, holes drilled wet and drying checks.",
    )  # fmt: skip


def _factored(joint: LedgerJoint, arrangement: Arrangement) -> float:
    """Return the load on one fastener with the partial factors of EN 1990, pounds."""
    live = float(joint.live.value / PSF)
    snow = 0.0 if joint.snow is None else float(joint.snow.value / PSF)
    variable = max(live + SNOW_BESIDE * snow, snow + LIVE_BESIDE * live)
    area = float(joint.joist_span.value) / 2 * float(arrangement.spacing.value) / 144
    return (DEAD_FACTOR * float(joint.dead.value / PSF) + LIVE_FACTOR * variable) * area


def _shear(board: Board, strength: Quantity, depth: Quantity, *, near_end: bool) -> MemberShear:
    far = board.depth * (Fraction(1) if near_end else Fraction(int(END_DEPTHS) + 1))
    return shear_at_connection(
        shear_strength=strength, width=board.thickness, depth=board.depth, effective_depth=depth,
        from_end=far,
    )  # fmt: skip


def _both(board: Board, strength: Quantity, depth: Quantity) -> str:
    near = _shear(board, strength, depth, near_end=True).capacity_lb
    far = _shear(board, strength, depth, near_end=False).capacity_lb
    return (
        f"de = {length_text(depth.value)}: {near:.0f} lb within five depths of an end, {far:.0f} lb "
        "farther in"
    )


def _inputs(board: Board, strength: Quantity) -> tuple[Input, ...]:
    wood = f"{board.species} {board.grade}"
    return (
        Input("Fv'", f"{float(strength.value):.1f} psi", wood),
        Input("b", length_text(board.thickness.value), f"{board.size} dressed"),
        Input("d", length_text(board.depth.value), f"{board.size} dressed"),
        Input("V", "P/2", "half of the load on one fastener, on either side of it"),
    )
