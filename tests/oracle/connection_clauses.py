"""The oracle's clauses on the connection, the fasteners, lateral load, water and corrosion."""

from __future__ import annotations

from fractions import Fraction

from oracle.boards import (
    ONE_HALF,
    SPANS,
    assembly_2009,
    assembly_2018,
    band_joist_is_covered,
    spacing_cell,
)
from oracle.conditions import (
    ENGINEERING,
    MISSING,
    Facts,
    Finding,
    Truth,
    all_of,
    any_of,
    at_least,
    at_most,
    equals,
    negated,
    one_of,
    outside,
    required,
    within_scope,
)


# --- the site and the connection --------------------------------------------------------------
def snow_basis_2018(facts: Facts) -> Finding:
    # Manufacturer's engineering blog, September 2019, on the 2018 table: ground snow to 40 psf.
    return within_scope(at_most(facts.get("site.ground_snow_load"), 40), Fraction(40))


def positive_anchorage(facts: Facts) -> Finding:
    # STRUCTURE magazine, May 2008: no toenails, no nails in withdrawal.
    return required(negated(one_of(facts.get("fasteners.kind"), ("toenail", "nail"))))


def connection_inspection(facts: Facts) -> Finding:
    # City of Orono filed code page (2012 R507.1); 2009 from memory.
    return required(equals(facts.get("deck.connection_can_be_inspected"), True))


def uplift(facts: Facts) -> Finding:
    # City of Orono filed code page (2012 R507.1), City of Everett document 1467330 (2018 R507.8).
    cantilevered = negated(at_most(facts.get("joists.cantilever"), 0))
    return outside(cantilevered) or required(equals(facts.get("ledger.resists_uplift"), True))


def on_veneer(facts: Facts) -> Finding:
    # City of Everett document 1467330 (2018 R507.9.1.1); earlier editions from memory.
    return required(equals(facts.get("wall.veneer"), "none"))


def concentrated_load(facts: Facts) -> Finding:
    # Contractor page quoting 2009 R502.2.2.2; City of Everett document 1467330 (2018).
    return required(equals(facts.get("ledger.carries_beam"), False))


def size(facts: Facts) -> Finding:
    # City of Everett document 1467330 (2018): 2x8 at least; 2009 and 2012 from memory.
    return required(one_of(facts.get("ledger.size"), ("2x8", "2x10", "2x12")))


def material_2009(facts: Facts) -> Finding:
    # From memory (2009 and 2012 footnote): treated southern pine or hem-fir, or approved durable wood.
    species, treatment = facts.get("ledger.species"), facts.get("ledger.treatment")
    treated = one_of(treatment, ("pressure_treated", "incised_pressure_treated"))
    durable = equals(treatment, "naturally_durable")
    return required(any_of(durable, all_of(treated, one_of(species, ("southern_pine", "hem_fir")))))


def material_2018(facts: Facts) -> Finding:
    # City of Everett document 1467330 (2018 R507.9.1.1): hem-fir must be incised.
    species, treatment = facts.get("ledger.species"), facts.get("ledger.treatment")
    incised = equals(treatment, "incised_pressure_treated")
    treated = one_of(treatment, ("pressure_treated", "incised_pressure_treated"))
    return required(
        any_of(
            equals(treatment, "naturally_durable"),
            all_of(equals(species, "southern_pine"), treated),
            all_of(equals(species, "hem_fir"), incised),
        )
    )


def grade(facts: Facts) -> Finding:
    # City of Everett document 1467330 (2018): No. 2 or better.
    return required(one_of(facts.get("ledger.grade"), ("select_structural", "no_1", "no_2")))


def band_joist_material(facts: Facts) -> Finding:
    rim = equals(facts.get("band_joist.kind"), "engineered_rim_board")
    return outside(negated(rim)) or within_scope(band_joist_is_covered(facts))


def band_joist_bearing(facts: Facts) -> Finding:
    # Inspection trade page on cantilevered joists (2015 R507.2); other editions from memory.
    return required(negated(equals(facts.get("band_joist.directly_supported_by"), "nothing")))


def engineered_rim_2009(facts: Facts) -> Finding:
    # Trade page on the 2009 changes (homeimprovement411.org): design it.
    rim = equals(facts.get("band_joist.kind"), "engineered_rim_board")
    return outside(rim) or (ENGINEERING, None)


def engineered_rim_2012(facts: Facts) -> Finding:
    # City of Edmonds tip sheet 5, placement note c: the rim maker's recommendations govern.
    rim = equals(facts.get("band_joist.kind"), "engineered_rim_board")
    return outside(rim) or required(equals(facts.get("band_joist.maker_permits_ledger"), True))


# --- the fasteners ----------------------------------------------------------------------------
def is_tabulated_kind(facts: Facts) -> Truth:
    return one_of(facts.get("fasteners.kind"), ("lag_screw", "through_bolt"))


def fastener_kind(facts: Facts) -> Finding:
    return within_scope(is_tabulated_kind(facts))


def fastener_diameter(facts: Facts) -> Finding:
    # Wisconsin CR 15-043, App. B Table 6: every row is for 1/2 in fasteners.
    return within_scope(equals(facts.get("fasteners.diameter"), ONE_HALF), ONE_HALF)


def is_tabulated_row(row: str | None) -> Truth:
    return None if row is None else row != "outside"


def assembly_topic_2009(facts: Facts) -> Finding:
    return within_scope(is_tabulated_row(assembly_2009(facts)))


def assembly_topic_2018(facts: Facts) -> Finding:
    return within_scope(is_tabulated_row(assembly_2018(facts)))


def spacing(facts: Facts, row: str | None, snow: Truth) -> Finding:
    # Wisconsin CR 15-043, App. B Table 6; nothing beyond 18 ft (The Journal of Light Construction
    # on the 2009 table: engineer it).
    span = facts.get("joists.span")
    scope = all_of(
        equals(facts.get("fasteners.diameter"), ONE_HALF),
        is_tabulated_row(row),
        band_joist_is_covered(facts),
        at_most(span, SPANS[-1]),
        snow,
    )
    stopped = outside(is_tabulated_kind(facts), scope)
    if stopped or row is None:
        return stopped or (MISSING, None)
    limit = spacing_cell(row, span)
    assert limit is not None
    return required(at_most(facts.get("fasteners.spacing"), limit), limit)


def spacing_2009(facts: Facts) -> Finding:
    # The Journal of Light Construction on the 2009 table: made for 50 psf in all (40 live, 10 dead).
    return spacing(facts, assembly_2009(facts), at_most(facts.get("site.ground_snow_load"), 40))


def spacing_2018(facts: Facts) -> Finding:
    return spacing(facts, assembly_2018(facts), at_most(facts.get("site.ground_snow_load"), 40))


def lag_screw_tip(facts: Facts) -> Finding:
    # City of Everett document 1911710 (2015 form); 2009 and 2012 from memory.
    lag = equals(facts.get("fasteners.kind"), "lag_screw")
    return outside(lag) or required(equals(facts.get("fasteners.tip_past_band_joist"), True))


# --- lateral load, water, corrosion -----------------------------------------------------------
def lateral_connection(facts: Facts) -> Finding:
    # The Journal of Light Construction, handling lateral loads: some connection, not one detail.
    return required(negated(equals(facts.get("lateral.connection"), "none")))


def strong_pair(facts: Facts) -> Truth:
    count, capacity = facts.get("lateral.device_count"), facts.get("lateral.device_capacity")
    return all_of(at_least(count, 2), at_least(capacity, 1500))


def lateral_devices_2009(facts: Facts) -> Finding:
    # The Journal of Light Construction on 2009 R502.2.2.3: two or more devices of 1,500 lb.
    used = equals(facts.get("lateral.connection"), "hold_down_devices")
    return outside(used) or required(strong_pair(facts))


def lateral_devices_2018(facts: Facts) -> Finding:
    # Manufacturer's engineering blog, August 2014 (2015 options): or four of 750 lb; the pair
    # within 24 in of each end. Thread penetration 3 in: City of Orono filed code page.
    get = facts.get
    used = equals(get("lateral.connection"), "hold_down_devices")
    pair = all_of(strong_pair(facts), at_most(get("lateral.device_from_deck_end"), 24))
    four = all_of(
        at_least(get("lateral.device_count"), 4),
        at_least(get("lateral.device_capacity"), 750),
        at_least(get("lateral.lag_thread_penetration"), 3),
    )
    return outside(used) or required(any_of(pair, four))


def flashing(facts: Facts) -> Finding:
    # City of Everett document 1911710 (2015 form); earlier from memory.
    return required(equals(facts.get("ledger.flashed"), True))


def flashing_material_2018(facts: Facts) -> Finding:
    # Building Code Geek on R507.2.4: metal of 0.019 in, or approved nonmetallic.
    material = facts.get("ledger.flashing_material")
    metal = all_of(
        equals(material, "corrosion_resistant_metal"),
        at_least(facts.get("ledger.flashing_thickness"), Fraction(19, 1000)),
    )
    flashed = equals(facts.get("ledger.flashed"), True)
    return outside(flashed) or required(any_of(metal, equals(material, "approved_nonmetallic")))


def corrosion(facts: Facts) -> Finding:
    # Conrad Lumber on fasteners in treated wood (2003 and 2006 text): hot-dip, stainless, silicon
    # bronze, copper; bolts of 1/2 in and more exempt; mechanically deposited zinc (ASTM B695 class
    # 55) for fasteners other than nails and timber rivets.
    finishes = ("hot_dip_galvanized", "stainless_steel", "silicon_bronze", "copper")
    exempt = all_of(
        equals(facts.get("fasteners.kind"), "through_bolt"),
        at_least(facts.get("fasteners.diameter"), ONE_HALF),
    )
    not_nailed = ("lag_screw", "through_bolt", "structural_screw", "adhesive_anchor")
    zinc = all_of(
        equals(facts.get("fasteners.finish"), "mechanically_galvanized"),
        one_of(facts.get("fasteners.kind"), not_nailed),
    )
    return required(any_of(one_of(facts.get("fasteners.finish"), finishes), zinc, exempt))
