"""Every public function fails loudly on a quantity of the wrong kind."""

from __future__ import annotations

import pytest

from deckclause.engineering.dowels import (
    bearing,
    connections,
    factors,
    fasteners,
    gap,
    geometry,
    lag_screws,
    member_shear,
    yield_limits,
)
from deckclause.engineering.dowels.reduction import reduction_terms
from deckclause.engineering.members import beams, columns, footings
from deckclause.engineering.members.adjustment import LoadDuration, Service, adjust
from deckclause.engineering.members.sizes import dressed_section, rectangle
from deckclause.engineering.members.species import design_values
from deckclause.engineering.tables import beams as beam_table
from deckclause.engineering.tables import footings as footing_table
from deckclause.engineering.tables import joists, ledger, loads, posts
from deckclause.quantities import DimensionError
from deckclause.quantities import parse_quantity as q

LENGTH, FORCE, STRESS, ANGLE = q("1 in"), q("1 lb"), q("100 psi"), q("30 deg")
LINE, AREA = q("50 plf"), q("20 sq ft")
SECTION = dressed_section("2x8")
VALUES = adjust(
    design_values("hem-fir", "No.2", SECTION),
    SECTION,
    Service(wet=True, incised=False, repetitive=True, load_duration=LoadDuration.OCCUPANCY),
)
TERMS = reduction_terms(nominal_in=0.5, yield_diameter_in=0.5, greatest_angle_deg=90)
JOINT = yield_limits.Joint(0.5, 1.5, 1.5, 3650, 3650, 45000)
WOOD = connections.WoodMember(0.5, LENGTH, ANGLE)
RULES = geometry.across_grain_rules(q("1/2 in"), 3.0)
LAG = fasteners.lag_screw(q("1/2 in"))

WRONG = {
    "bearing diameter": lambda: bearing.wood_strength(0.5, STRESS, ANGLE),
    "bearing angle": lambda: bearing.wood_strength(0.5, LENGTH, LENGTH),
    "gravity with a unit": lambda: bearing.parallel_strength(LENGTH),
    "joint strength": lambda: yield_limits.joint(
        diameter=LENGTH, main_length=LENGTH, side_length=LENGTH, main_bearing=LENGTH,
        side_bearing=STRESS, bending_yield=STRESS,
    ),
    "gap": lambda: gap.single_shear_with_gap(JOINT, TERMS, FORCE),
    "bolt diameter": lambda: connections.bolt_single_shear(WOOD, WOOD, FORCE),
    "bolt gap": lambda: connections.bolt_single_shear(WOOD, WOOD, LENGTH, gap=FORCE),
    "bolt bare number": lambda: connections.bolt_single_shear(WOOD, WOOD, 0.5),
    "wood angle": lambda: connections.bolt_single_shear(
        connections.WoodMember(0.5, LENGTH, LENGTH), WOOD, LENGTH
    ),
    "lag depth": lambda: connections.lag_single_shear(WOOD, WOOD, q("1/2 in"), depth=FORCE),
    "lag size": lambda: fasteners.lag_screw(STRESS),
    "lead hole": lambda: fasteners.lead_holes(FORCE, 0.5),
    "penetration": lambda: lag_screws.penetration(FORCE, LAG),
    "bearing length": lambda: lag_screws.main_bearing_length_in(FORCE, LAG),
    "withdrawal": lambda: lag_screws.withdrawal_per_inch_lb(0.5, FORCE),
    "nail withdrawal": lambda: lag_screws.nail_withdrawal_per_inch_lb(0.5, FORCE),
    "screw withdrawal": lambda: lag_screws.wood_screw_withdrawal_per_inch_lb(0.5, FORCE),
    "thread": lambda: lag_screws.withdrawal_lb(0.5, LAG, thread=FORCE, root_tension_psi=20000),
    "combined": lambda: lag_screws.combined_load_lb(LENGTH, FORCE, ANGLE),
    "combined angle": lambda: lag_screws.combined_load_lb(FORCE, FORCE, FORCE),
    "wet factor": lambda: factors.wet_service_factor(
        factors.Moisture.ANY_THEN_WET, diameter=FORCE, single_row=True
    ),
    "group action": lambda: factors.group_action_factor(
        3, diameter=LENGTH, spacing=LENGTH, main_area=LENGTH, main_modulus=STRESS,
        side_area=AREA, side_modulus=STRESS,
    ),
    "slenderness": lambda: geometry.slenderness(LENGTH, LENGTH, FORCE),
    "across rules": lambda: geometry.across_grain_rules(FORCE, 3.0),
    "along rules": lambda: geometry.along_grain_rules(
        FORCE, 3.0, geometry.EndLoad.ALONG_COMPRESSION
    ),
    "geometry": lambda: geometry.geometry_factor(
        RULES, end=FORCE, loaded_edge=LENGTH, unloaded_edge=LENGTH
    ),
    "member shear": lambda: member_shear.shear_at_connection(
        shear_strength=LENGTH, width=LENGTH, depth=LENGTH, effective_depth=LENGTH, from_end=LENGTH
    ),
    "splitting": lambda: member_shear.characteristic_splitting_lb(
        width=FORCE, depth=LENGTH, loaded_edge=LENGTH
    ),
    "rectangle": lambda: rectangle(FORCE, LENGTH, "2x8"),
    "span load": lambda: beams.greatest_simple_span(
        SECTION, VALUES, total_load=FORCE, deflection_load=LINE, deflection_limit=360
    ),
    "bending": lambda: beams.bending_stress_psi(SECTION, span=FORCE, load=LINE),
    "shear": lambda: beams.shear_stress_psi(SECTION, span=LENGTH, load=STRESS),
    "deflection": lambda: beams.uniform_deflection_in(
        SECTION, span=LENGTH, load=LINE, modulus=FORCE
    ),
    "tip": lambda: beams.tip_deflection_in(
        SECTION, tip_load=LENGTH, cantilever=LENGTH, back_span=LENGTH, modulus=STRESS
    ),
    "cantilever": lambda: beams.cantilever_for_deflection_in(
        SECTION, tip_load=FORCE, back_span=FORCE, modulus=STRESS, deflection_limit=180
    ),
    "quarter span": lambda: beams.back_span_for_share_in(
        SECTION, tip_load=LENGTH, modulus=STRESS, share=0.25, deflection_limit=180
    ),
    "moment": lambda: beams.cantilever_moment_in_lb(
        tip_load=LENGTH, uniform_load=LINE, cantilever=LENGTH
    ),
    "bearing capacity": lambda: beams.bearing_capacity_lb(
        SECTION, VALUES, length=FORCE, from_end=LENGTH
    ),
    "euler": lambda: columns.euler_stress_psi(emin=LENGTH, slenderness=20),
    "stability": lambda: columns.stability_factor(fc_star=LENGTH, fce=STRESS),
    "column": lambda: columns.column_capacity(SECTION, VALUES, effective_length=FORCE),
    "height": lambda: columns.greatest_height_in(SECTION, VALUES, load=LENGTH),
    "footing load": lambda: footings.footing_size(LENGTH, STRESS, footings.Shape.ROUND),
    "footing soil": lambda: footings.footing_size(FORCE, LENGTH, footings.Shape.ROUND),
    "footing concrete": lambda: footings.footing_size(
        FORCE, STRESS, footings.Shape.ROUND, thickness=LENGTH, concrete=STRESS
    ),
    "projection": lambda: footings.thickness_for_projection_in(12.0, FORCE),
    "snow": lambda: loads.snow_load(LENGTH),
    "joists": lambda: joists.explain_span("southern pine", "2x8", FORCE),
    "joist back span": lambda: joists.explain_cantilever("southern pine", "2x8", FORCE),
    "beams": lambda: beam_table.explain_beam("southern pine", "2-2x8", FORCE),
    "posts": lambda: posts.explain_height("southern pine", "4x4", LENGTH),
    "guide footing": lambda: footing_table.guide_footing(FORCE, LENGTH),
    "code footing": lambda: footing_table.code_footing(LENGTH, STRESS),
    "ledger": lambda: ledger.explain_spacing(ledger.LedgerRow.LAG_SCREW, FORCE),
    "fastener force": lambda: ledger.force_per_fastener(FORCE, LENGTH, loads.LIVE_LOAD),
}  # fmt: skip


@pytest.mark.parametrize("name", WRONG)
def test_a_wrong_kind_is_a_dimension_error(name):
    with pytest.raises(DimensionError):
        WRONG[name]()


@pytest.mark.parametrize("text", ["0 in", "-1 in"])
def test_lengths_that_must_be_positive(text):
    with pytest.raises(ValueError, match="more than zero"):
        connections.bolt_single_shear(WOOD, WOOD, q(text))


def test_angles_outside_a_quarter_turn():
    with pytest.raises(ValueError, match="between 0 and 90"):
        bearing.wood_strength(0.5, LENGTH, q("120 deg"))
