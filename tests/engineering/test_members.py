"""Sawn members: adjustment, beams, columns, footings."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deckclause.engineering.basis import Standing
from deckclause.engineering.members import beams, columns, footings
from deckclause.engineering.members.adjustment import LoadDuration, Service, adjust
from deckclause.engineering.members.sizes import UnknownSizeError, dressed_section
from deckclause.engineering.members.species import (
    UnknownLumberError,
    design_values,
    specific_gravity,
)
from deckclause.quantities import parse_quantity as q


def service(**changes):
    base = {
        "wet": True, "incised": False, "repetitive": True, "load_duration": LoadDuration.OCCUPANCY,
    }  # fmt: skip
    return Service(**{**base, **changes})


def adjusted(species, size, **changes):
    section = dressed_section(size)
    return section, adjust(design_values(species, "No.2", section), section, service(**changes))


@pytest.mark.parametrize(
    ("size", "area", "modulus", "inertia"),
    [
        ("2x6", 8.25, 7.56, 20.80), ("2x8", 10.88, 13.14, 47.63), ("2x10", 13.88, 21.39, 98.93),
        ("2x12", 16.88, 31.64, 177.98), ("4x4", 12.25, 7.15, 12.51), ("4x6", 19.25, 17.65, 48.53),
        ("6x6", 30.25, 27.73, 76.26),
    ],
)  # fmt: skip
def test_section_properties(size, area, modulus, inertia):
    """Section properties as tabulated for dressed sizes (NDS Supplement Table 1B)."""
    section = dressed_section(size)
    assert section.area_in2 == pytest.approx(area, abs=0.006)
    assert section.modulus_in3 == pytest.approx(modulus, abs=0.006)
    assert section.inertia_in4 == pytest.approx(inertia, abs=0.006)


@pytest.mark.parametrize("size", ["2x9", "x8", "two by eight", "5x5", "6x10"])
def test_unknown_sizes_have_no_answer(size):
    with pytest.raises(UnknownSizeError, match="not a dressed size"):
        dressed_section(size)


def test_unknown_lumber_has_no_answer():
    board, post = dressed_section("2x8"), dressed_section("6x6")
    for species, grade, section in (
        ("hem-fir", "No.9", board),
        ("hem-fir", "No.2", post),
        ("southern pine", "No.1", board),
        ("southern pine (before June 2013)", "No.2", post),
        ("oak", "No.2", board),
    ):
        with pytest.raises(UnknownLumberError):
            design_values(species, grade, section)
    with pytest.raises(UnknownLumberError, match="hem-fir"):
        specific_gravity("hemfir")


def test_the_wet_service_step_of_douglas_fir():
    """Fb x CF = 1170 psi in 2x6 is over the step, 1080 in 2x8 under it."""
    _, six = adjusted("douglas fir-larch", "2x6")
    _, eight = adjusted("douglas fir-larch", "2x8")
    assert six.fb_psi == pytest.approx(900 * 1.3 * 0.85 * 1.15)
    assert eight.fb_psi == pytest.approx(900 * 1.2 * 1.15)
    assert (six.near_step, eight.near_step) == (True, False)


def test_every_factor_is_listed_and_multiplies_out():
    _, values = adjusted("hem-fir", "2x10", incised=True, load_duration=LoadDuration.SNOW)
    for factors, result, reference in (
        (values.bending_factors, values.fb_psi, 850),
        (values.compression_factors, values.fc_psi, 1300),
        (values.shear_factors, values.fv_psi, 150),
        (values.stiffness_factors, values.e_psi, 1.3e6),
    ):
        total = math.prod(factor.value for factor in factors)
        assert result == pytest.approx(reference * total)
        assert all(factor.source and factor.reason for factor in factors)


def test_duration_never_touches_stiffness_or_bearing():
    _, live = adjusted("hem-fir", "2x10")
    _, snow = adjusted("hem-fir", "2x10", load_duration=LoadDuration.SNOW)
    assert (snow.e_psi, snow.emin_psi, snow.fc_perp_psi) == (
        live.e_psi, live.emin_psi, live.fc_perp_psi,
    )  # fmt: skip
    assert snow.fb_psi == pytest.approx(1.15 * live.fb_psi)


def test_southern_pine_timbers_are_listed_wet_already():
    section, wet = adjusted("southern pine", "6x6", repetitive=False)
    assert section.is_timber
    assert (wet.fb_psi, wet.fc_psi, wet.e_psi, wet.fc_perp_psi) == (850, 525, 1.2e6, 375)


def test_standing_travels_with_the_values():
    section = dressed_section("2x8")
    assert design_values("hem-fir", "No.2", section).standing is Standing.CONFIRMED
    assert design_values("northern species", "No.2", section).standing is Standing.MEMORY


@given(st.integers(60, 240), st.integers(10, 100))
def test_the_greatest_span_just_meets_its_limits(inches, plf):
    section, values = adjusted("hem-fir", "2x10")
    load = q(f"{plf} plf")
    result = beams.greatest_simple_span(
        section, values, total_load=load, deflection_load=load, deflection_limit=360
    )
    at = {check.name.split()[0]: check.allows for check in result.checks}
    stress = beams.bending_stress_psi(section, span=q(f"{inches} in"), load=load)
    assert (stress <= values.fb_psi) == (inches <= at["bending"])
    shear = beams.shear_stress_psi(section, span=q(f"{inches} in"), load=load)
    assert (shear <= values.fv_psi) == (inches <= at["shear"])


def test_a_cantilever_at_its_limit_deflects_just_that():
    section, values = adjusted("southern pine", "2x8")
    e = q("1260000 psi")
    reach = beams.cantilever_for_deflection_in(
        section, tip_load=q("220 lb"), back_span=q("142 in"), modulus=e, deflection_limit=180
    )
    deflection = beams.tip_deflection_in(
        section, tip_load=q("220 lb"), cantilever=q(f"{reach:.6f} in"), back_span=q("142 in"),
        modulus=e,
    )  # fmt: skip
    assert deflection == pytest.approx(reach / 180, rel=1e-5)
    assert values.e_psi == 1.26e6


def test_cantilever_bending_is_under_its_limit_at_the_tables_reach():
    """2x12 southern pine at 24 in: 220 lb at the tip with 50 psf, against Fb' S."""
    section, values = adjusted("southern pine", "2x12")
    moment = beams.cantilever_moment_in_lb(
        tip_load=q("220 lb"), uniform_load=q("100 plf"), cantilever=q("40 in")
    )
    assert moment < values.fb_psi * section.modulus_in3


def test_bearing():
    section, values = adjusted("spruce-pine-fir", "2x8")
    at_end = beams.bearing_capacity_lb(section, values, length=q("1.5 in"), from_end=q("0 in"))
    inside = beams.bearing_capacity_lb(section, values, length=q("1.5 in"), from_end=q("1 ft"))
    assert at_end == pytest.approx(425 * 0.67 * 1.5 * 1.5)
    assert inside == pytest.approx(1.25 * at_end)


@given(st.floats(5, 49.9), st.floats(200, 2000))
def test_height_turns_the_column_equation_round(ratio, height_force):
    section, values = adjusted("southern pine", "4x4", repetitive=False)
    length = q(f"{ratio * 3.5:.6f} in")
    load = columns.column_capacity(section, values, effective_length=length).capacity_lb
    back = columns.greatest_height_in(section, values, load=q(f"{load:.6f} lb"))
    assert back == pytest.approx(float(length.value), rel=1e-4)


def test_too_slender_or_overloaded_columns_carry_nothing():
    section, values = adjusted("southern pine", "4x4", repetitive=False)
    slender = columns.column_capacity(section, values, effective_length=q("15 ft"))
    assert (slender.too_slender, slender.capacity_lb) == (True, 0.0)
    assert columns.greatest_height_in(section, values, load=q("90 kip")) == 0.0


def test_short_columns_approach_their_crushing_strength():
    section, values = adjusted("southern pine", "4x4", repetitive=False)
    stub = columns.column_capacity(section, values, effective_length=q("3 in"))
    assert stub.stability_factor == pytest.approx(1.0, abs=0.01)


def test_built_up_columns():
    section = dressed_section("2x6", plies=3)
    values = adjust(
        design_values("douglas fir-larch", "No.1", section), section, service(repetitive=False)
    )
    solid = columns.column_capacity(section, values, effective_length=q("8 ft"))
    nailed = columns.column_capacity(section, values, effective_length=q("8 ft"), assembly="nailed")
    assert nailed.capacity_lb == pytest.approx(0.6 * solid.capacity_lb)
    with pytest.raises(ValueError, match="glued"):
        columns.column_capacity(section, values, effective_length=q("8 ft"), assembly="glued")


def test_footings():
    plain = footings.footing_size(q("1500 lb"), q("1500 psf"), footings.Shape.SQUARE)
    assert plain.size_in == pytest.approx(12.0)
    heavy = footings.footing_size(
        q("1500 lb"), q("1500 psf"), footings.Shape.SQUARE,
        thickness=q("12 in"), concrete=q("150 pcf"),
    )  # fmt: skip
    assert heavy.net_soil_psf == pytest.approx(1350)
    assert heavy.size_in > plain.size_in
    with pytest.raises(ValueError, match="both"):
        footings.footing_size(
            q("1500 lb"), q("1500 psf"), footings.Shape.ROUND, thickness=q("8 in")
        )
    with pytest.raises(ValueError, match="uses up"):
        footings.footing_size(
            q("1 lb"), q("100 psf"), footings.Shape.ROUND,
            thickness=q("1 ft"), concrete=q("150 pcf"),
        )  # fmt: skip
