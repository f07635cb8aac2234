"""Hold the ledger oracle against published figures, its source named beside each check."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from ruamel.yaml import YAML

from oracle.boards import DRESSED_DEPTH, TWO_BY_THICKNESS
from oracle.conditions import (
    COMPLIES,
    ENGINEERING,
    FAILS,
    MISSING,
    NOT_APPLICABLE,
    NOT_REGULATED,
    all_of,
    any_of,
)
from oracle.ledger_oracle import EDITIONS, evaluate
from oracle.random_designs import facts_to_design_document, random_designs, random_facts
from published import ledger_table

RULES = Path(__file__).parents[2] / "rules"

# A deck that meets every clause of 2018 here: 2x10 ledger level with its 2x10 band joist.
SOUND: dict[str, Any] = {
    "site.ground_snow_load": Fraction(30),
    "deck.attachment": "ledger",
    "deck.connection_can_be_inspected": True,
    "wall.structure": "wood_frame",
    "wall.veneer": "none",
    "wall.sheathing_kind": "wood_structural_panel",
    "wall.sheathing_thickness": Fraction(15, 32),
    "wall.gap_to_sheathing": Fraction(0),
    "wall.drainage_washer_stack": Fraction(0),
    "band_joist.kind": "sawn_lumber",
    "band_joist.size": "2x10",
    "band_joist.species": "spruce_pine_fir",
    "band_joist.directly_supported_by": "mudsill",
    "ledger.size": "2x10",
    "ledger.species": "southern_pine",
    "ledger.grade": "no_2",
    "ledger.treatment": "pressure_treated",
    "ledger.carries_beam": False,
    "ledger.resists_uplift": True,
    "ledger.flashed": True,
    "ledger.flashing_material": "corrosion_resistant_metal",
    "ledger.flashing_thickness": Fraction(19, 1000),
    "ledger.below_band_joist": Fraction(0),
    "fasteners.kind": "lag_screw",
    "fasteners.diameter": Fraction(1, 2),
    "fasteners.spacing": Fraction(15),
    "fasteners.tip_past_band_joist": True,
    "fasteners.finish": "hot_dip_galvanized",
    "fasteners.staggered": True,
    "fasteners.upper_row_below_ledger_top": Fraction(2),
    "fasteners.lower_row_below_ledger_top": Fraction(13, 2),
    "fasteners.end_distance_on_ledger": Fraction(2),
    "fasteners.first_from_ledger_end": Fraction(5),
    "fasteners.end_distance_on_band_joist": Fraction(2),
    "fasteners.first_from_band_joist_end": Fraction(5),
    "lateral.connection": "hold_down_devices",
    "lateral.device_count": 2,
    "lateral.device_capacity": Fraction(1500),
    "lateral.device_from_deck_end": Fraction(24),
    "joists.span": Fraction(144),
    "joists.cantilever": Fraction(12),
}

STEP = Fraction(1, 64)
SPACING = "ledger_fastener_spacing"
LOWER_ROW = "ledger_lower_row_below_ledger_top"
BAND_BOTTOM = "band_joist_bottom_edge_distance"


def sound(**changes: Any) -> dict[str, Any]:
    """Change facts of the sound deck (`__` for the dot); None takes one away."""
    named = {name.replace("__", "."): value for name, value in changes.items()}
    return {name: value for name, value in (SOUND | named).items() if value is not None}


ROWS: dict[str, dict[str, Any]] = {
    "lag_screw": {},
    "through_bolt": {"fasteners__kind": "through_bolt"},
    "through_bolt_thick_assembly": {
        "fasteners__kind": "through_bolt",
        "wall__drainage_washer_stack": Fraction(1, 2),
    },
}


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(("row", "span_ft", "spacing"), ledger_table.SPACING_CELLS)
def test_all_21_spacing_cells(edition: str, row: str, span_ft: int, spacing: int) -> None:
    # Wisconsin CR 15-043, App. B Table 6.
    span, limit = Fraction(12 * span_ft), Fraction(spacing)
    at_cell = sound(**ROWS[row], joists__span=span, fasteners__spacing=limit)
    assert evaluate(edition, at_cell)[SPACING] == (COMPLIES, limit)
    wider = at_cell | {"fasteners.spacing": limit + STEP}
    assert evaluate(edition, wider)[SPACING] == (FAILS, limit)
    shorter = at_cell | {"joists.span": span - STEP}
    assert evaluate(edition, shorter)[SPACING] == (COMPLIES, limit)


@pytest.mark.parametrize("edition", EDITIONS)
def test_beyond_18_ft_is_engineered(edition: str) -> None:
    # The Journal of Light Construction on the 2009 table: nothing tabulated above 18 ft.
    beyond = sound(joists__span=Fraction(18 * 12) + STEP, fasteners__spacing=Fraction(1))
    assert evaluate(edition, beyond)[SPACING] == (ENGINEERING, None)


@pytest.mark.parametrize("edition", EDITIONS)
def test_field_figures_for_12_ft_joists(edition: str) -> None:
    # SEAINT list, April 2006: 15 in for lag screws, 29 in for bolts; 300 plf over 1.25 ft is 375 lb.
    span = Fraction(12 * ledger_table.FIELD_JOIST_SPAN_FT)
    lag = evaluate(edition, sound(joists__span=span))[SPACING]
    bolt = evaluate(edition, sound(joists__span=span, fasteners__kind="through_bolt"))[SPACING]
    assert lag[1] == ledger_table.FIELD_LAG_SCREW_SPACING_IN
    assert bolt[1] == ledger_table.FIELD_THROUGH_BOLT_SPACING_IN
    load = ledger_table.FIELD_LEDGER_LOAD_PLF * lag[1] / 12
    assert load == ledger_table.FIELD_LOAD_PER_LAG_SCREW_LB
    assert ledger_table.FIELD_LEDGER_LOAD_PLF * bolt[1] / 12 == (
        ledger_table.FIELD_LOAD_PER_THROUGH_BOLT_LB
    )


@pytest.mark.parametrize("edition", EDITIONS)
def test_old_practice_of_16_in_for_12_ft_joists(edition: str) -> None:
    # Common practice before 2009 (no source), 16 in, against Wisconsin CR 15-043, App. B Table 6:
    # enough for bolts under 12 ft joists, too wide for lag screws.
    practice = Fraction(ledger_table.PRACTICE_BEFORE_2009_SPACING_IN)
    lag, bolt = (
        evaluate(edition, sound(fasteners__spacing=practice, fasteners__kind=kind))[SPACING]
        for kind in ("lag_screw", "through_bolt")
    )
    assert lag == (FAILS, Fraction(15))
    assert bolt == (COMPLIES, Fraction(29))


@pytest.mark.parametrize("edition", ["irc-2012", "irc-2018"])
def test_placement_limits_of_the_edmonds_handout(edition: str) -> None:
    # City of Edmonds deck tip sheet 5 (document 1487848).
    found = evaluate(edition, SOUND)
    assert found["ledger_top_edge_distance"] == (COMPLIES, ledger_table.EDMONDS_LEDGER_TOP_EDGE)
    assert found["ledger_bottom_edge_distance"][1] == ledger_table.EDMONDS_LEDGER_BOTTOM_EDGE
    assert found["band_joist_top_edge_distance"][1] == ledger_table.EDMONDS_BAND_JOIST_TOP_EDGE
    assert found["ledger_row_spacing"] == (COMPLIES, ledger_table.EDMONDS_ROW_SPACING)
    for board in ("ledger", "band_joist"):
        assert found[f"{board}_end_distance"] == (COMPLIES, ledger_table.EDMONDS_END_DISTANCE)
        assert found[f"{board}_first_fastener"] == (COMPLIES, ledger_table.EDMONDS_FIRST_FASTENER)


@pytest.mark.parametrize("edition", ["irc-2012", "irc-2018"])
@pytest.mark.parametrize(("size", "least"), ledger_table.EDMONDS_LOWER_ROW_BELOW_LEDGER_TOP.items())
def test_lower_row_depths_of_the_edmonds_handout(edition: str, size: str, least: Fraction) -> None:
    # City of Edmonds deck tip sheet 5 (document 1487848), figure.
    for row, status in ((least, COMPLIES), (least - STEP, FAILS)):
        facts = sound(ledger__size=size, fasteners__lower_row_below_ledger_top=row)
        assert evaluate(edition, facts)[LOWER_ROW] == (status, least)


def test_2x8_on_2x8_may_use_4_1_2_in() -> None:
    # City of Edmonds deck tip sheet 5 (document 1487848): lag screws, or bolts at the lag spacing.
    reduced = ledger_table.EDMONDS_LOWER_ROW_2X8_ON_2X8
    facts = sound(
        ledger__size="2x8",
        band_joist__size="2x8",
        fasteners__lower_row_below_ledger_top=reduced,
    )
    bolts = facts | {"fasteners.kind": "through_bolt"}
    wide = bolts | {"fasteners.spacing": Fraction(16)}
    for edition in ("irc-2012", "irc-2018"):
        assert evaluate(edition, facts)[LOWER_ROW] == (COMPLIES, reduced)
        assert evaluate(edition, bolts)[LOWER_ROW] == (COMPLIES, reduced)
        assert evaluate(edition, wide)[LOWER_ROW] == (FAILS, Fraction(11, 2))
        unknown = {name: fact for name, fact in facts.items() if name != "band_joist.size"}
        assert evaluate(edition, unknown)[LOWER_ROW] == (MISSING, None)


@pytest.mark.parametrize("support", ["mudsill", "header", "double_top_plate", "single_top_plate"])
def test_band_bottom_relief_over_direct_bearing(support: str) -> None:
    # City of Edmonds deck tip sheet 5 (document 1487848), note e; Fine Homebuilding, October 2012,
    # and Professional Deck Builder magazine show no relief in 2012.
    edge = ledger_table.EDMONDS_BAND_JOIST_BOTTOM_EDGE_OVER_DIRECT_BEARING
    depth = ledger_table.PS_20_DRESSED["2x10"][1]
    drop = depth - edge - Fraction(13, 2)  # the lower row stands 3/4 in above the band's bottom
    facts = sound(band_joist__directly_supported_by=support, ledger__below_band_joist=drop)
    relieved = support in ledger_table.EDMONDS_DIRECT_BEARING
    limit = ledger_table.EDMONDS_BAND_JOIST_BOTTOM_EDGE
    assert evaluate("irc-2012", facts)[BAND_BOTTOM] == (FAILS, limit)
    assert evaluate("irc-2018", facts)[BAND_BOTTOM] == (
        (COMPLIES, edge) if relieved else (FAILS, limit)
    )


@pytest.mark.parametrize(("size", "greatest"), [("2x10", Fraction(3, 4)), ("2x12", Fraction(7, 4))])
def test_greatest_drop_of_the_ledger_under_2012(size: str, greatest: Fraction) -> None:
    # Common practice (no source): a 2x10 ledger on a 2x10 band may drop 3/4 in, a 2x12 1-3/4 in.
    least = ledger_table.EDMONDS_LOWER_ROW_BELOW_LEDGER_TOP[size]
    for drop, status in ((greatest, COMPLIES), (greatest + STEP, FAILS)):
        facts = sound(
            ledger__size=size,
            band_joist__size=size,
            ledger__below_band_joist=drop,
            fasteners__lower_row_below_ledger_top=least,
        )
        assert evaluate("irc-2012", facts)[BAND_BOTTOM] == (status, Fraction(2))


def test_2009_first_fastener_window() -> None:
    # Contractor page quoting 2009 R502.2.2.1.1 (decks-ca.com): 2 to 5 in from the ledger's ends.
    least, most = ledger_table.EDITION_2009_FIRST_FASTENER_WINDOW
    inside = evaluate("irc-2009", SOUND)
    assert inside["ledger_end_distance"] == (COMPLIES, least)
    assert inside["ledger_first_fastener"] == (COMPLIES, most)
    near = sound(fasteners__end_distance_on_ledger=least - STEP)
    far = sound(fasteners__first_from_ledger_end=most + STEP)
    assert evaluate("irc-2009", near)["ledger_end_distance"] == (FAILS, least)
    assert evaluate("irc-2009", far)["ledger_first_fastener"] == (FAILS, most)


@pytest.mark.parametrize("beside", [-STEP, STEP])
def test_2009_edges_are_a_line_not_a_least(beside: Fraction) -> None:
    # The same page: fasteners stand 2 in from the ledger's top or bottom.
    edge = ledger_table.EDITION_2009_EDGE_DISTANCE
    upper, lower = "ledger_top_edge_distance", "ledger_bottom_edge_distance"
    depth = ledger_table.PS_20_DRESSED["2x10"][1]
    on_line = sound(fasteners__lower_row_below_ledger_top=depth - edge)
    off_line = on_line | {
        "fasteners.upper_row_below_ledger_top": edge + beside,
        "fasteners.lower_row_below_ledger_top": depth - edge + beside,
    }
    for topic in (upper, lower):
        assert evaluate("irc-2009", on_line)[topic] == (COMPLIES, edge)
        assert evaluate("irc-2009", off_line)[topic] == (FAILS, edge)


def test_2009_says_nothing_of_the_band_joist() -> None:
    # Professional Deck Builder magazine: the 2012 code is the first with limits on the band joist.
    found = evaluate("irc-2009", SOUND)
    for edge in ("top_edge_distance", "bottom_edge_distance", "end_distance", "first_fastener"):
        assert found[f"band_joist_{edge}"] == (NOT_REGULATED, None)
    assert found[LOWER_ROW] == found["ledger_row_spacing"] == (NOT_REGULATED, None)


def test_lateral_options() -> None:
    # Manufacturer's engineering blog, August 2014: 2015 adds four devices of 750 lb and the 24 in bound.
    four = sound(
        lateral__device_count=4,
        lateral__device_capacity=Fraction(750),
        lateral__lag_thread_penetration=Fraction(3),
    )
    far = sound(lateral__device_from_deck_end=24 + STEP)
    assert evaluate("irc-2009", four)["lateral_devices"][0] == FAILS
    assert evaluate("irc-2018", four)["lateral_devices"][0] == COMPLIES
    assert evaluate("irc-2009", far)["lateral_devices"][0] == COMPLIES
    assert evaluate("irc-2018", far)["lateral_devices"][0] == FAILS


def test_sheathing_and_washers() -> None:
    # City of San Diego bulletin 211: 15/32 in (2009); City of Everett document 1911710: 1/2 in (2015).
    half = sound(wall__sheathing_thickness=Fraction(1, 2))
    assert evaluate("irc-2009", half)["ledger_assembly"][0] == ENGINEERING
    assert evaluate("irc-2018", half)["ledger_assembly"][0] == COMPLIES
    washers_on_foam = sound(
        fasteners__kind="through_bolt",
        wall__sheathing_kind="foam",
        wall__drainage_washer_stack=Fraction(1, 4),
    )
    assert evaluate("irc-2018", washers_on_foam)["ledger_assembly"][0] == ENGINEERING


def test_dressed_depths() -> None:
    # PS 20, American Softwood Lumber Standard.
    for size, depth in DRESSED_DEPTH.items():
        assert (TWO_BY_THICKNESS, depth) == ledger_table.PS_20_DRESSED[size]


# --- fail closed ------------------------------------------------------------------------------
def test_the_sound_deck_is_sound() -> None:
    for topic, (status, _) in evaluate("irc-2018", SOUND).items():
        assert status == (NOT_APPLICABLE if topic == "engineered_rim" else COMPLIES), topic


@pytest.mark.parametrize("edition", EDITIONS)
def test_nothing_known_never_complies(edition: str) -> None:
    assert {status for status, _ in evaluate(edition, {}).values()} <= {MISSING, NOT_REGULATED}


@pytest.mark.parametrize("edition", EDITIONS)
def test_taking_a_fact_away_never_turns_failure_into_compliance(edition: str) -> None:
    for seed in range(60):
        facts = random_facts(seed)
        whole = evaluate(edition, facts)
        for name in facts:
            less = evaluate(edition, {key: facts[key] for key in facts if key != name})
            for topic, (status, _) in less.items():
                # A status that still stands without the fact stands with it: more knowledge
                # settles open questions and overturns nothing.
                assert status in (MISSING, whole[topic][0]), (seed, name, topic)


def test_freestanding_decks_have_no_ledger() -> None:
    found = evaluate("irc-2018", sound(deck__attachment="freestanding"))
    lateral, _ = found.pop("lateral_connection")
    assert lateral == ENGINEERING
    assert {status for status, _ in found.values()} == {NOT_APPLICABLE}


def test_three_values() -> None:
    assert [all_of(True, None), all_of(False, None), all_of(True, True)] == [None, False, True]
    assert [any_of(True, None), any_of(False, None), any_of(False, False)] == [True, None, False]
    assert all_of() is True
    assert any_of() is False


# --- the random designs -----------------------------------------------------------------------
class Read(dict[str, Any]):
    """Facts that note which names were asked for."""

    def __init__(self, facts: dict[str, Any], names: set[str]) -> None:
        super().__init__(facts)
        self.names = names

    def get(self, name: str, default: Any = None) -> Any:
        self.names.add(name)
        return super().get(name, default)


def test_topics_are_those_of_the_vocabulary() -> None:
    topics = YAML(typ="safe").load(RULES / "topics.yaml")["topics"]
    for rules in EDITIONS.values():
        assert set(rules) <= set(topics)


def test_random_facts_are_those_of_the_vocabulary() -> None:
    quantities = YAML(typ="safe").load(RULES / "quantities.yaml")["quantities"]
    drawn: dict[str, set[Any]] = {}
    read: set[str] = set()
    for facts in random_designs(900):
        for name, value in facts.items():
            drawn.setdefault(name, set()).add(value)
        for edition in EDITIONS:
            evaluate(edition, Read(facts, read))
    assert read <= set(drawn) <= set(quantities)
    for name, values in drawn.items():
        if quantities[name]["kind"] == "choice":
            choices = set(quantities[name]["choices"])
            assert values == choices if name in read else values <= choices, name


def test_random_designs_reach_every_status_of_every_topic() -> None:
    reached: dict[str, Counter[str]] = {}
    for facts in random_designs(1500):
        for edition in EDITIONS:
            for topic, (status, _) in evaluate(edition, facts).items():
                reached.setdefault(topic, Counter())[status] += 1
    for topic, statuses in reached.items():
        assert min(statuses[COMPLIES], statuses[MISSING]) >= 100, topic
        assert statuses[FAILS] + statuses[ENGINEERING] >= 100, topic


def test_designs_are_typed_as_people_type_them() -> None:
    document = facts_to_design_document(
        {
            "joists.span": Fraction(142),
            "joists.cantilever": Fraction(1, 64),
            "site.ground_snow_load": Fraction("39.99"),
            "lateral.device_count": 2,
            "lateral.device_capacity": Fraction(1500),
            "ledger.below_band_joist": Fraction(-3, 2),
            "ledger.flashing_thickness": Fraction(19, 1000),
            "ledger.flashed": True,
            "ledger.size": "2x8",
        }
    )
    assert document == {
        "joists": {"span": "11 ft 10 in", "cantilever": "1/64 in"},
        "site": {"ground_snow_load": "39.99 psf"},
        "lateral": {"device_count": 2, "device_capacity": "1500 lb"},
        "ledger": {
            "below_band_joist": "-1-1/2 in",
            "flashing_thickness": "0.019 in",
            "flashed": "yes",
            "size": "2x8",
        },
    }
