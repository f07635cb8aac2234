"""Dowel connections: algebra, traps and limits."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deckclause.engineering.basis import Basis, product
from deckclause.engineering.dowels import bearing, geometry
from deckclause.engineering.dowels.connections import (
    WoodMember,
    bolt_single_shear,
    lag_single_shear,
)
from deckclause.engineering.dowels.factors import (
    Loading,
    Moisture,
    duration_factor,
    end_grain_factor,
    group_action_factor,
    temperature_factor,
    wet_service_factor,
)
from deckclause.engineering.dowels.fasteners import lag_screw, lead_holes
from deckclause.engineering.dowels.gap import single_shear_with_gap
from deckclause.engineering.dowels.lag_screws import combined_load_lb, penetration, withdrawal_lb
from deckclause.engineering.dowels.member_shear import (
    characteristic_splitting_lb,
    shear_at_connection,
)
from deckclause.engineering.dowels.reduction import reduction_terms
from deckclause.engineering.dowels.yield_limits import Joint, double_shear, single_shear
from deckclause.engineering.members.adjustment import LoadDuration
from deckclause.quantities import parse_quantity as q

joints = st.builds(
    Joint,
    diameter_in=st.floats(0.1, 1.25),
    main_length_in=st.floats(0.5, 12),
    side_length_in=st.floats(0.5, 6),
    main_bearing_psi=st.floats(1000, 90000),
    side_bearing_psi=st.floats(1000, 90000),
    bending_yield_psi=st.floats(30000, 150000),
)
terms = st.builds(
    reduction_terms,
    nominal_in=st.floats(0.25, 1.25),
    yield_diameter_in=st.floats(0.1, 1.25),
    greatest_angle_deg=st.floats(0, 90),
)


@given(joints, terms)
def test_the_gap_form_equals_the_plain_form_at_no_gap(joint, rd):
    plain, gapped = single_shear(joint, rd), single_shear_with_gap(joint, rd, q("0 in"))
    for one, other in zip(plain.modes, gapped.modes, strict=True):
        assert one.mode == other.mode
        assert one.z_lb == pytest.approx(other.z_lb, rel=1e-6)


@given(joints, terms, st.sampled_from(["1/8 in", "1/2 in", "1 in", "3 in"]))
def test_a_gap_never_strengthens(joint, rd, gap):
    assert single_shear_with_gap(joint, rd, q(gap)).z_lb <= single_shear(joint, rd).z_lb * (
        1 + 1e-9
    )


@given(joints, terms)
def test_turning_the_joint_over_changes_nothing(joint, rd):
    """Main and side are names: swapping them swaps Im with Is and IIIm with IIIs."""
    turned = Joint(
        joint.diameter_in, joint.side_length_in, joint.main_length_in, joint.side_bearing_psi,
        joint.main_bearing_psi, joint.bending_yield_psi,
    )  # fmt: skip
    assert single_shear(joint, rd).z_lb == pytest.approx(single_shear(turned, rd).z_lb, rel=1e-6)


@given(joints, terms)
def test_double_shear_lacks_two_modes_and_is_never_under_half_its_parts(joint, rd):
    result = double_shear(joint, rd)
    assert [mode.mode for mode in result.modes] == ["Im", "Is", "IIIs", "IV"]
    single = {mode.mode: mode.z_lb for mode in single_shear(joint, rd).modes}
    assert result.z_lb >= min(single["Im"], 2 * single_shear(joint, rd).z_lb) * (1 - 1e-9)


@given(st.floats(0.31, 0.73), st.integers(0, 90))
def test_bearing_strength_lies_between_its_two_ends(gravity, angle):
    along = bearing.parallel_strength(gravity)
    across = bearing.perpendicular_strength(gravity, q("1/2 in"))
    value = bearing.wood_strength(gravity, q("1/2 in"), q(f"{angle} deg"))
    assert min(along, across) - 1e-6 <= value <= max(along, across) + 1e-6


def test_reduction_terms_of_small_threaded_fasteners():
    """1/4 and 5/16 in lags have a root under 1/4 in: KD times K-theta, in every mode."""
    quarter = reduction_terms(nominal_in=0.25, yield_diameter_in=0.173, greatest_angle_deg=90)
    assert quarter.bearing == quarter.bending == pytest.approx((10 * 0.173 + 0.5) * 1.25)
    nail = reduction_terms(nominal_in=0.148, yield_diameter_in=0.148, greatest_angle_deg=90)
    assert nail.bearing == 2.2


def test_one_member_across_the_grain_lowers_the_whole_connection():
    along = WoodMember(0.55, q("1-1/2 in"), q("0 deg"))
    across = WoodMember(0.55, q("1-1/2 in"), q("90 deg"))
    mixed = bolt_single_shear(along, across, q("1/2 in"))
    assert mixed.reduction.k_theta == 1.25


def test_a_gap_or_a_short_lag_is_outside_nds_and_says_so():
    board = WoodMember(0.55, q("1-1/2 in"), q("90 deg"))
    gapped = bolt_single_shear(board, board, q("1/2 in"), gap=q("1/2 in"))
    assert not gapped.within_nds
    assert any("not in contact" in line for line in gapped.lines())
    short = lag_single_shear(board, board, q("1/2 in"), depth=q("1-1/2 in"))
    assert not short.within_nds
    assert "at least 4 are needed" in short.outside_because[0]
    deep = lag_single_shear(board, board, q("1/2 in"), depth=q("4 in"))
    assert short.reference_lb < deep.reference_lb


def test_the_result_lists_mode_factors_basis_and_cautions():
    board = WoodMember(0.42, q("1-1/2 in"), q("90 deg"))
    chosen = (
        duration_factor(LoadDuration.OCCUPANCY),
        wet_service_factor(Moisture.ANY_THEN_WET, diameter=q("1/2 in"), single_row=True),
    )
    result = bolt_single_shear(board, board, q("1/2 in"), factors=chosen)
    assert result.basis is Basis.CALCULATION
    assert result.adjusted_lb == pytest.approx(result.reference_lb * product(chosen))
    text = "\n".join(result.lines())
    for part in ("basis: calculation", "II 169.1 lb", "CM = 0.7", "by mode II"):
        assert part in text
    assert {"gravity_only", "splitting_not_modelled"} <= {c.key for c in result.cautions}


def test_lag_near_its_least_penetration_is_flagged():
    lag = lag_screw(q("1/2 in"))
    assert penetration(q("2 in"), lag).permitted
    assert penetration(q("2 in"), lag).near_least
    assert not penetration(q("4 in"), lag).near_least
    assert penetration(q("2 in"), lag).table_share == 0.5


def test_withdrawal_is_capped_by_the_screw():
    lag = lag_screw(q("1/4 in"))
    assert withdrawal_lb(0.55, lag, thread=q("1 in"), root_tension_psi=20000)[1] == "withdrawal"
    load, governs = withdrawal_lb(0.55, lag, thread=q("6 in"), root_tension_psi=20000)
    assert governs == "tension at the root"
    assert load == pytest.approx(20000 * 3.14159265 / 4 * 0.173**2)


@given(st.integers(0, 90))
def test_combined_load_lies_between_its_parts(angle):
    value = combined_load_lb(q("250 lb"), q("400 lb"), q(f"{angle} deg"))
    assert 250 - 1e-9 <= value <= 400 + 1e-9


def test_unknown_lag_sizes_have_no_answer():
    with pytest.raises(ValueError, match="no lag screw of 9/16 in"):
        lag_screw(q("9/16 in"))


def test_lead_holes_by_density():
    assert lead_holes(q("3/8 in"), 0.42).may_omit_in_withdrawal
    assert not lead_holes(q("1/2 in"), 0.42).may_omit_in_withdrawal
    assert lead_holes(q("1/2 in"), 0.67).thread_most_in == pytest.approx(0.425)
    assert lead_holes(q("1/2 in"), 0.55).thread_least_in == pytest.approx(0.3)


@pytest.mark.parametrize(
    ("moisture", "diameter", "single_row", "loading", "value"),
    [
        (Moisture.DRY_THEN_DRY, "1/2 in", False, Loading.LATERAL, 1.0),
        (Moisture.ANY_THEN_WET, "1/2 in", False, Loading.LATERAL, 0.7),
        (Moisture.WET_THEN_DRY, "1/2 in", False, Loading.LATERAL, 0.4),
        (Moisture.WET_THEN_DRY, "1/2 in", True, Loading.LATERAL, 1.0),
        (Moisture.WET_THEN_DRY, "0.2 in", True, Loading.LATERAL, 0.7),
        (Moisture.ANY_THEN_WET, "1/2 in", True, Loading.WITHDRAWAL, 0.7),
    ],
)
def test_wet_service(moisture, diameter, single_row, loading, value):
    factor = wet_service_factor(
        moisture, diameter=q(diameter), single_row=single_row, loading=loading
    )
    assert factor.value == value


def test_other_factors():
    assert end_grain_factor(Loading.WITHDRAWAL, in_end_grain=True).value == 0.75
    assert end_grain_factor(Loading.LATERAL, in_end_grain=True).value == 0.67
    assert end_grain_factor(Loading.LATERAL, in_end_grain=False).value == 1.0
    assert temperature_factor(140, wet=False).value == 0.7
    with pytest.raises(ValueError, match="150"):
        temperature_factor(200, wet=False)


def test_a_row_of_one_has_no_group_action():
    area, modulus = q("11 in2"), q("1400000 psi")
    one = group_action_factor(
        1, diameter=q("1/2 in"), spacing=q("16 in"), main_area=area, main_modulus=modulus,
        side_area=area, side_modulus=modulus,
    )  # fmt: skip
    assert one.value == 1.0


def test_row_spacing_across_the_grain_is_continuous():
    for ratio in (2.0, 6.0):
        below = geometry.row_spacing_across(0.5, ratio - 1e-9)
        above = geometry.row_spacing_across(0.5, ratio + 1e-9)
        assert below == pytest.approx(above, abs=1e-6)


def test_geometry_factor_trades_ends_but_never_edges():
    rules = geometry.across_grain_rules(q("1/2 in"), 3.0)
    edges = {"loaded_edge": q("2 in"), "unloaded_edge": q("3/4 in")}
    full = geometry.geometry_factor(rules, end=q("2 in"), **edges)
    assert (full.factor, full.permitted, full.near_edge) == (1.0, True, True)
    half = geometry.geometry_factor(rules, end=q("1 in"), **edges)
    assert (half.factor, half.governed_by) == (0.5, "end distance")
    none = geometry.geometry_factor(rules, end=q("7/8 in"), **edges)
    assert (none.factor, none.permitted) == (0.0, False)
    edge = geometry.geometry_factor(
        rules, end=q("2 in"), loaded_edge=q("1-15/16 in"), unloaded_edge=q("3/4 in")
    )
    assert not edge.permitted
    assert "loaded edge 1.9375 in, at least 2" in edge.violations


def test_geometry_rows_and_spacing():
    rules = geometry.across_grain_rules(q("1/2 in"), 3.0)
    base = {"end": q("2 in"), "loaded_edge": q("3 in"), "unloaded_edge": q("3 in")}
    close = geometry.geometry_factor(rules, in_row=q("1-1/2 in"), between_rows=q("2 in"), **base)
    assert close.factor == 0.75
    for rows in ("1-1/2 in", "5-1/8 in"):
        assert not geometry.geometry_factor(rules, between_rows=q(rows), **base).permitted


def test_rules_along_the_grain():
    kind = geometry.EndLoad.ALONG_TENSION_SOFTWOOD
    rules = geometry.along_grain_rules(q("1/2 in"), 8.0, kind, row_spacing=q("4 in"))
    assert (rules.end_full_in, rules.end_least_in, rules.loaded_edge_in) == (3.5, 1.75, 2.0)
    away = geometry.along_grain_rules(q("1/2 in"), 3.0, geometry.EndLoad.ALONG_COMPRESSION)
    assert (away.end_full_in, away.end_least_in, away.loaded_edge_in) == (2.0, 1.0, 0.75)
    with pytest.raises(ValueError, match="across_grain_rules"):
        geometry.along_grain_rules(q("1/2 in"), 3.0, geometry.EndLoad.ACROSS)


@pytest.mark.parametrize(
    ("effective", "capacity"), [("4.5 in", 589), ("5.5 in", 720), ("6.5 in", 851)]
)
def test_member_shear_far_from_an_end(effective, capacity):
    result = shear_at_connection(
        shear_strength=q("130.95 psi"), width=q("1.5 in"), depth=q("7.25 in"),
        effective_depth=q(effective), from_end=q("10 ft"),
    )  # fmt: skip
    assert round(result.capacity_lb) == capacity


def test_member_shear_near_an_end_is_less():
    given_parts = {
        "shear_strength": q("131 psi"), "width": q("1.5 in"), "depth": q("7.25 in"),
        "effective_depth": q("5.5 in"),
    }  # fmt: skip
    far = shear_at_connection(from_end=q("37 in"), **given_parts)
    near = shear_at_connection(from_end=q("36 in"), **given_parts)
    assert near.capacity_lb == pytest.approx(far.capacity_lb * (5.5 / 7.25) ** 2)
    with pytest.raises(ValueError, match="exceeds"):
        shear_at_connection(
            shear_strength=q("131 psi"), width=q("1.5 in"), depth=q("7.25 in"),
            effective_depth=q("8 in"), from_end=q("10 in"),
        )  # fmt: skip


def test_splitting_grows_without_bound_towards_the_far_edge_and_stops_there():
    board = {"width": q("1.5 in"), "depth": q("9.25 in")}
    low = characteristic_splitting_lb(loaded_edge=q("2 in"), **board)
    high = characteristic_splitting_lb(loaded_edge=q("6 in"), **board)
    assert 0 < low < high
    with pytest.raises(ValueError, match="inside"):
        characteristic_splitting_lb(loaded_edge=q("9.25 in"), **board)
