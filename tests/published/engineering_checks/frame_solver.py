"""Ten beams against Pynite, a general finite-element library of frames."""

from __future__ import annotations

import contextlib
import io
from fractions import Fraction

from deckclause.engineering.members.beams import (
    bending_stress_psi,
    cantilever_moment_in_lb,
    shear_stress_psi,
    tip_deflection_in,
    uniform_deflection_in,
)
from deckclause.engineering.members.sizes import Section, dressed_section
from deckclause.quantities import FORCE, LENGTH, LINE_LOAD, PRESSURE, Quantity
from published.engineering_checks.records import Group, Record

E_PSI = 1260000
CASES = (  # size, plies, back span in, cantilever in, uniform lb/in, tip lb
    ("2x6", 1, 108, 15, Fraction(11, 2), 220), ("2x8", 1, 142, 24, Fraction(50, 9), 220),
    ("2x10", 1, 168, 40, Fraction(25, 6), 220), ("2x12", 1, 198, 54, Fraction(50, 9), 220),
    ("2x8", 2, 84, 18, Fraction(30), 0), ("2x10", 2, 96, 24, Fraction(30), 150),
    ("2x12", 3, 130, 30, Fraction(40), 0), ("4x8", 1, 60, 12, Fraction(25), 100),
    ("4x6", 1, 66, 16, Fraction(20), 220), ("6x6", 1, 72, 18, Fraction(35), 0),
)  # fmt: skip


def solve(section: Section, span: float, arm: float, w: float, tip: float) -> dict[str, float]:
    """Solve three load cases with Pynite: span under load, tip load, cantilever under load."""
    from Pynite import FEModel3D

    stiff = 1e15  # no shear deformation, as in the closed forms
    model = FEModel3D()
    model.add_material("wood", E_PSI, stiff, 0.3, 0.0)
    model.add_section("s", section.area_in2, 1.0, section.inertia_in4, 1.0)
    (
        model.add_node("A", 0, 0, 0),
        model.add_node("B", span, 0, 0),
        model.add_node("C", span + arm, 0, 0),
    )
    model.add_member("span", "A", "B", "wood", "s"), model.add_member("arm", "B", "C", "wood", "s")
    model.def_support("A", True, True, True, True, False, False)
    model.def_support("B", False, True, True, False, False, False)
    for name in ("uniform", "tip", "both"):
        model.add_load_combo(name, {name: 1.0})
    model.add_member_dist_load("span", "Fy", -w, -w, case="uniform")
    model.add_node_load("C", "FY", -max(tip, 1.0), case="tip")
    model.add_node_load("C", "FY", -tip, case="both")
    model.add_member_dist_load("arm", "Fy", -w, -w, case="both")
    with contextlib.redirect_stdout(io.StringIO()):
        model.analyze_linear()
    member, arm_member = model.members["span"], model.members["arm"]
    return {
        "deflection": -member.min_deflection("dy", "uniform"),
        "moment": max(abs(member.max_moment("Mz", "uniform")), abs(member.min_moment("Mz", "uniform"))),
        "shear": abs(member.max_shear("Fy", "uniform")),
        "tip": -model.nodes["C"].DY["tip"],
        "root": max(abs(arm_member.max_moment("Mz", "both")), abs(arm_member.min_moment("Mz", "both"))),
    }  # fmt: skip


def _text(figures: dict[str, float]) -> str:
    """Mid-span deflection and tip deflection, enough to see what was compared."""
    return f"{figures['deflection']:.3f} in, tip {figures['tip']:.3f} in"


def beams() -> Group:
    records = []
    for size, plies, span_in, arm_in, w, tip in CASES:
        section = dressed_section(size, plies)
        span, arm = Quantity(span_in, LENGTH), Quantity(arm_in, LENGTH)
        load, modulus = Quantity(w, LINE_LOAD), Quantity(E_PSI, PRESSURE)
        solved = solve(section, span_in, arm_in, float(w), float(tip))
        unit_tip = Quantity(max(tip, 1), FORCE)
        ours = {
            "deflection": uniform_deflection_in(section, span=span, load=load, modulus=modulus),
            "moment": bending_stress_psi(section, span=span, load=load) * section.modulus_in3,
            "shear": shear_stress_psi(section, span=span, load=load) * section.area_in2 / 1.5,
            "tip": tip_deflection_in(
                section, tip_load=unit_tip, cantilever=arm, back_span=span, modulus=modulus
            ),
            "root": cantilever_moment_in_lb(
                tip_load=Quantity(tip, FORCE), uniform_load=load, cantilever=arm
            ),
        }
        gap = max(abs(ours[name] / solved[name] - 1) for name in ours)
        item = f"{plies}-{size}, span {span_in} in, cantilever {arm_in} in"
        records.append(Record(item, _text(solved), _text(ours), gap < 2e-3))
    return Group(
        "Ten beams against the frame solver Pynite: deflection, moment, shear, tip, cantilever root",
        "Pynite (PyNiteFEA), a general finite-element library", "derived", "calculation",
        tuple(records), "All five figures of each beam agree within 0.2 percent.",
    )  # fmt: skip
