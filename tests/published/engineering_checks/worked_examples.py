"""Textbook and public worked examples for members, and the column eigenvalue check."""

from __future__ import annotations

import math

import numpy as np

from deckclause.engineering.members.adjustment import LoadDuration, Service, adjust
from deckclause.engineering.members.beams import (
    bending_stress_psi,
    greatest_simple_span,
)
from deckclause.engineering.members.columns import (
    EULER_COEFFICIENT,
    column_capacity,
    euler_stress_psi,
)
from deckclause.engineering.members.sizes import dressed_section
from deckclause.engineering.members.species import design_values
from deckclause.quantities import parse_quantity as q
from published.engineering_checks.records import Group, Record

DRY = Service(wet=False, incised=False, repetitive=True, load_duration=LoadDuration.OCCUPANCY)


def hud_joist() -> Group:
    """HUD guide example 5.1: 2x8 at 16 in, 30 psf live, 10 psf dead, hem-fir No.1."""
    section = dressed_section("2x8")
    values = adjust(design_values("hem-fir", "No.1", section), section, DRY)
    spans = greatest_simple_span(
        section,
        values,
        total_load=q("40 psf") * q("16 in"),
        deflection_load=q("30 psf") * q("16 in"),
        deflection_limit=360,
    )
    by_name = {check.name.split()[0]: check.allows / 12 for check in spans.checks}
    facts = (
        ("adjusted bending value, psi", 1345, values.fb_psi, 1.0),
        ("section modulus, in3", 13.14, section.modulus_in3, 0.005),
        ("second moment of area, in4", 47.63, section.inertia_in4, 0.01),
        ("span by bending, ft", 14.865, by_name["bending"], 0.02),
        ("span by deflection L/360, ft", 13.8, by_name["deflection"], 0.1),
        ("bending stress at that span over Fb'", 1.0,
         bending_stress_psi(section, span=q("14.865 ft"), load=q("40 psf") * q("16 in"))
         / values.fb_psi, 0.002),
    )  # fmt: skip
    records = [Record(n, f"{p:g}", f"{v:.3f}", abs(v - p) <= slack) for n, p, v, slack in facts]
    return Group(
        "HUD Residential Structural Design Guide, example 5.1: floor joist", "HUD-RSDG",
        "confirmed", "calculation", tuple(records),
    )  # fmt: skip


def hud_column() -> Group:
    """HUD guide example 5.6: 4x4 spruce-pine-fir No.2, 7.3 ft, 4800 lb."""
    section = dressed_section("4x4")
    service = Service(
        wet=False, incised=False, repetitive=False, load_duration=LoadDuration.OCCUPANCY
    )
    values = adjust(design_values("spruce-pine-fir", "No.2", section), section, service)
    result = column_capacity(section, values, effective_length=q("7.3 ft"))
    facts = (
        ("column stability factor", 0.4378, result.stability_factor, 5e-4),
        ("adjusted compression value, psi", 579.03, result.capacity_lb / section.area_in2, 0.5),
        ("4800 lb over capacity", 0.6767, 4800 / result.capacity_lb, 1e-3),
    )
    records = [Record(n, f"{p:g}", f"{v:.4f}", abs(v - p) <= slack) for n, p, v, slack in facts]
    return Group(
        "HUD Residential Structural Design Guide, example 5.6: 4x4 column", "HUD-RSDG",
        "confirmed", "calculation", tuple(records),
    )  # fmt: skip


def buckling_load(length: float, e: float, inertia: float, pieces: int = 64) -> float:
    """Lowest buckling load of a pinned column: beam elements, generalised eigenvalue."""
    from scipy.linalg import eigh

    h, count = length / pieces, 2 * (pieces + 1)
    stiff = e * inertia / h**3 * np.array(
        [[12, 6 * h, -12, 6 * h], [6 * h, 4 * h * h, -6 * h, 2 * h * h],
         [-12, -6 * h, 12, -6 * h], [6 * h, 2 * h * h, -6 * h, 4 * h * h]]
    )  # fmt: skip
    geometric = np.array(
        [[36, 3 * h, -36, 3 * h], [3 * h, 4 * h * h, -3 * h, -h * h],
         [-36, -3 * h, 36, -3 * h], [3 * h, -h * h, -3 * h, 4 * h * h]]
    ) / (30 * h)  # fmt: skip
    k, g = np.zeros((count, count)), np.zeros((count, count))
    for piece in range(pieces):
        at = slice(2 * piece, 2 * piece + 4)
        k[at, at] += stiff
        g[at, at] += geometric
    free = [i for i in range(count) if i not in (0, count - 2)]
    inverse = eigh(g[np.ix_(free, free)], k[np.ix_(free, free)], eigvals_only=True)
    return float(1 / inverse[-1])


def euler() -> Group:
    """FcE against pi^2 E / 12 (le/d)^2 by an eigenvalue solution on ten columns."""
    records = []
    for index, size in enumerate(("4x4", "4x6", "6x6", "2x6", "2x8") * 2):
        section = dressed_section(size)
        length = 60.0 + 12 * index
        modulus = 500000.0
        least = min(section.width_in, section.depth_in)
        inertia = section.area_in2 * least**2 / 12
        critical = buckling_load(length, modulus, inertia) / section.area_in2
        ours = (
            euler_stress_psi(emin=q("500000 psi"), slenderness=length / least)
            * (math.pi**2 / 12)
            / EULER_COEFFICIENT
        )
        item = f"{size}, {length:g} in"
        met = abs(ours / critical - 1) < 1e-5
        records.append(Record(item, f"{critical:.1f}", f"{ours:.1f}", met))
    return Group(
        "Column buckling stress against a beam-element eigenvalue solution (SciPy), psi", "textbook",
        "derived", "calculation", tuple(records),
        "The code's 0.822 is pi^2/12 = 0.8225 cut short; it is put back for this comparison.",
    )  # fmt: skip
