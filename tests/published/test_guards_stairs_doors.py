"""Guards, stairs, handrails, doors and their loads against what named sources print.

The figures were typed from the sources, not from the rule files. Each is held at its edge: on the
figure the deck complies, 1/64 in beyond it does not.
"""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

import pytest

from deckclause.designs.design import Design, Facts, Part
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.findings import Evaluation, evaluate
from deckclause.evaluate.status import COMPLIES, DOES_NOT_COMPLY, NOT_APPLICABLE

HAIR = Fraction(1, 64)

# Ordinary parts that meet every figure below with room to spare.
GUARD: Facts = {
    "guards.installed": True,
    "guards.drop_straight_down": Fraction(60),
    "guards.drop_within_36_in": Fraction(60),
    "guards.height": Fraction(42),
    "guards.fixed_seat_height": Fraction(0),
    "guards.opening": Fraction(3),
    "guards.top_is_handrail": False,
    "guards.top_load_capacity": Fraction(300),
    "guards.infill_load_capacity": Fraction(80),
}
STAIR: Facts = {
    "stairs.form": "straight",
    "stairs.width": Fraction(42),
    "stairs.width_at_handrail": Fraction(38),
    "stairs.under_cover": True,
    "stairs.headroom": Fraction(90),
    "stairs.total_rise": Fraction(60),
    "stairs.riser_count": Fraction(8),
    "stairs.riser_height": Fraction(7),
    "stairs.lowest_riser": Fraction(7),
    "stairs.riser_slope": Fraction(10),
    "stairs.risers": "closed",
    "stairs.riser_opening": Fraction(3),
    "stairs.highest_open_riser": Fraction(53),
    "stairs.tread_depth": Fraction(21, 2),
    "stairs.deepest_tread": Fraction(21, 2),
    "stairs.nosing_projection": Fraction(1),
    "stairs.flights": Fraction(1),
    "stairs.landings_at_both_ends": True,
    "stairs.landing_width": Fraction(48),
    "stairs.landing_depth": Fraction(48),
    "stairs.surface_slope": Fraction(1, 100),
    "stairs.handrail_sides": Fraction(1),
    "stairs.handrail_height": Fraction(36),
    "stairs.handrail_shape": "round",
    "stairs.handrail_diameter": Fraction(3, 2),
    "stairs.handrail_beside_wall": True,
    "stairs.handrail_wall_clearance": Fraction(2),
    "stairs.light_at_top_landing": True,
    "stairs.light_control": "switch_inside",
    "stairs.serves_basement": False,
    "stairs.open_sides": Fraction(1),
    "stairs.open_side_drop_within_36_in": Fraction(53),
    "stairs.guard_installed": True,
    "stairs.guard_height": Fraction(36),
    "stairs.guard_top_is_handrail": False,
    "stairs.guard_opening": Fraction(3),
    "stairs.guard_triangle_opening": Fraction(5),
}
DOOR: Facts = {
    "doors.role": "required_egress",
    "doors.opens_onto": "deck",
    "doors.swings_over_landing": True,
    "doors.step_down": Fraction(1),
    "doors.width": Fraction(36),
    "doors.landing_width": Fraction(60),
    "doors.landing_depth": Fraction(60),
    "doors.landing_slope": Fraction(1, 100),
    "doors.exterior_risers": Fraction(0),
}
ORDINARY: Facts = {"deck.use": "deck"}
SOUND = {"guards": GUARD, "stairs": STAIR, "doors": DOOR}


class Figure(NamedTuple):
    """A figure of a source: the topic, the quantity, how it bounds, and what else is as it is."""

    source: str
    editions: str
    topic: str
    quantity: str
    bound: str
    figure: str
    others: Facts | None = None


JEFFCO = "Jefferson County, Colorado: stairways and guards, 2018 text"
TIP_1 = "Everett, Washington: regional tip sheet 1 for the 2018 code"
NCW = "NCW Home Inspections, quoting 2012"
CHANGES = "Significant Changes to the 2015 IRC, guard height"
NEWS_DOORS = "Inspection News thread 10094, quoting 2006 R311.4.3"
NEWS_GUARDS = "Inspection News thread 21255, R312.2 as numbered in 2006"
EGRESS = "Building Code Forum, December 2015, quoting 2009 and 2012"
DOORS_2015 = "Building Code Forum post 211369, quoting 2015 R311.3"
GRIP = "howtolookatahouse.com, R311.7.8.3 as numbered in 2012 and 2015"
STRONG_TIE = "Strong-Tie engineering blog, quoting 2012"
MICHICODE = "michicode.com, January 2010: 2006 against 2009"
FORUM_2024 = "Building Code Forum thread 37025 on 2024 R321.1.1"
PLEASANTON = "Pleasanton, California, restating Table R301.5"

OPEN: Facts = {"stairs.risers": "open"}
SWINGS_IN: Facts = {"doors.swings_over_landing": False}
OTHER: Facts = {"doors.role": "other"}
NO_GUARD: Facts = {"guards.installed": False}
HANDRAIL_TOP: Facts = {"stairs.guard_top_is_handrail": True}

FIGURES = (
    Figure(JEFFCO, "2018", "stair_width", "stairs.width", "least", "36"),
    Figure(JEFFCO, "2018", "stair_width_at_handrail", "stairs.width_at_handrail", "least", "63/2"),
    Figure(JEFFCO, "2018", "stair_width_at_handrail", "stairs.width_at_handrail", "least", "27", {"stairs.handrail_sides": Fraction(2)}),
    Figure(JEFFCO, "2018", "stair_headroom", "stairs.headroom", "least", "80"),
    Figure(JEFFCO, "2018", "stair_riser_height", "stairs.riser_height", "most", "31/4"),
    Figure(JEFFCO, "2018", "stair_tread_depth", "stairs.tread_depth", "least", "10"),
    Figure(JEFFCO, "2018", "guard_required", "guards.drop_within_36_in", "most", "30", NO_GUARD),
    Figure(JEFFCO, "2018", "guard_height", "guards.height", "least", "36"),
    Figure(JEFFCO, "2018", "guard_opening", "guards.opening", "ball", "4"),
    Figure(TIP_1, "2018", "stair_riser_variation", "stairs.riser_variation", "most", "3/8"),
    Figure(TIP_1, "2018", "stair_tread_variation", "stairs.tread_variation", "most", "3/8"),
    Figure(TIP_1, "2018", "stair_nosing", "stairs.nosing_projection", "least", "3/4"),
    Figure(TIP_1, "2018", "stair_nosing", "stairs.nosing_projection", "most", "5/4"),
    Figure(NCW, "2012", "stair_riser_height", "stairs.riser_height", "most", "31/4"),
    Figure(NCW, "2012", "stair_riser_variation", "stairs.riser_variation", "most", "3/8"),
    Figure(NCW, "2012", "stair_riser_slope", "stairs.riser_slope", "most", "30"),
    Figure(NCW, "2012", "stair_open_riser", "stairs.riser_opening", "ball", "4", OPEN),
    Figure(CHANGES, "2015", "guard_height", "guards.height", "least", "36"),
    Figure(CHANGES, "2015", "stair_guard_height", "stairs.guard_height", "least", "34"),
    Figure(CHANGES, "2015", "stair_guard_height", "stairs.guard_height", "most", "38", HANDRAIL_TOP),
    Figure(NEWS_GUARDS, "2006", "guard_opening", "guards.opening", "ball", "4"),
    Figure(NEWS_GUARDS, "2006", "stair_guard_opening", "stairs.guard_opening", "ball", "35/8"),
    Figure(NEWS_GUARDS, "2006", "stair_guard_triangle", "stairs.guard_triangle_opening", "ball", "6"),
    Figure("Litchfield Park, Arizona, stairways", "2018", "stair_guard_opening", "stairs.guard_opening", "ball", "35/8"),
    Figure(MICHICODE, "2006", "guard_required", "guards.drop_straight_down", "most", "30", NO_GUARD),
    Figure(MICHICODE, "2009", "guard_required", "guards.drop_within_36_in", "most", "30", NO_GUARD),
    Figure(STRONG_TIE, "2012", "guard_required", "guards.drop_within_36_in", "most", "30", NO_GUARD),
    Figure(FORUM_2024, "2024", "guard_required", "guards.drop_within_36_in", "most", "30", NO_GUARD),
    Figure(STRONG_TIE, "2012", "guard_load", "guards.top_load_capacity", "least", "200"),
    Figure(PLEASANTON, "2009", "guard_load", "guards.top_load_capacity", "least", "200"),
    Figure(PLEASANTON, "2009", "guard_infill_load", "guards.infill_load_capacity", "least", "50"),
    Figure("WAC 51-51-0301, the 2021 table", "2021", "guard_infill_load", "guards.infill_load_capacity", "least", "50"),
    Figure(GRIP, "2015", "handrail_height", "stairs.handrail_height", "least", "34"),
    Figure(GRIP, "2015", "handrail_height", "stairs.handrail_height", "most", "38"),
    Figure(GRIP, "2015", "handrail_grip", "stairs.handrail_diameter", "least", "5/4"),
    Figure(GRIP, "2015", "handrail_grip", "stairs.handrail_diameter", "most", "2"),
    Figure(GRIP, "2015", "handrail_grip", "stairs.handrail_perimeter", "least", "4", {"stairs.handrail_shape": "shaped", "stairs.handrail_cross_section": Fraction(2)}),
    Figure(GRIP, "2015", "handrail_grip", "stairs.handrail_perimeter", "most", "25/4", {"stairs.handrail_shape": "shaped", "stairs.handrail_cross_section": Fraction(2)}),
    Figure(GRIP, "2015", "handrail_grip", "stairs.handrail_cross_section", "most", "9/4", {"stairs.handrail_shape": "shaped", "stairs.handrail_perimeter": Fraction(6)}),
    Figure("Westbrook, Maine, handrails", "2012", "handrail_clearance", "stairs.handrail_wall_clearance", "least", "3/2"),
    Figure(NEWS_DOORS, "2006", "door_step_down_egress", "doors.step_down", "most", "3/2"),
    Figure(NEWS_DOORS, "2006", "door_step_down_other", "doors.step_down", "most", "3/2", OTHER),
    Figure(NEWS_DOORS, "2006", "door_landing_slope", "doors.landing_slope", "most", "1/50"),
    Figure(EGRESS, "2009 2012", "door_step_down_egress", "doors.step_down", "most", "3/2"),
    Figure(EGRESS, "2009 2012", "door_step_down_egress", "doors.step_down", "most", "31/4", SWINGS_IN),
    Figure(DOORS_2015, "2015", "door_step_down_egress", "doors.step_down", "most", "3/2"),
    Figure(DOORS_2015, "2015", "door_step_down_egress", "doors.step_down", "most", "31/4", SWINGS_IN),
    Figure(DOORS_2015, "2015", "door_landing_size", "doors.landing_depth", "least", "36"),
    Figure(DOORS_2015, "2015", "door_landing_slope", "doors.landing_slope", "most", "1/50"),
    Figure("Building Code Forum thread 35179", "2015 2018 2021", "door_step_down_other", "doors.step_down", "most", "31/4", OTHER),
)  # fmt: skip
CASES = [(figure, edition) for figure in FIGURES for edition in figure.editions.split()]


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return Catalogue.open(cached=False)


def under(
    catalogue: Catalogue, edition: str, whole: Facts | None = None, **parts: Facts
) -> Evaluation:
    one_each = {group: (Part("", facts),) for group, facts in parts.items()}
    design = Design("figure", "", whole or ORDINARY, one_each, "figure", "figure")
    evaluator = catalogue.evaluator(f"irc-{edition}")
    return evaluate(catalogue.prepare(design), evaluator, catalogue.vocabulary)


def status(catalogue: Catalogue, edition: str, topic: str, changes: Facts) -> int:
    group = next(iter(changes)).split(".")[0]
    part = {**SOUND[group], **changes}
    return under(catalogue, edition, **{group: part}).outcome(topic).status


def _name(case: object) -> str:
    if isinstance(case, Figure):
        return f"{case.topic}-{case.bound}-{case.figure}"
    return str(case)


@pytest.mark.parametrize(("figure", "edition"), CASES, ids=_name)
def test_the_figure_stands_at_its_edge(catalogue: Catalogue, figure: Figure, edition: str) -> None:
    value = Fraction(figure.figure)
    step = HAIR / 100 if "slope" in figure.quantity else HAIR
    good, bad = {
        "least": (value, value - step),
        "most": (value, value + step),
        "ball": (value - step, value),  # a ball of the figure must not pass
    }[figure.bound]
    others = figure.others or {}
    at = status(catalogue, edition, figure.topic, {figure.quantity: good, **others})
    beyond = status(catalogue, edition, figure.topic, {figure.quantity: bad, **others})
    assert (at, beyond) == (COMPLIES, DOES_NOT_COMPLY), figure.source


# --- what is no single figure ---------------------------------------------------------------------


@pytest.mark.parametrize(
    ("edition", "from_the_seat"),
    # Significant Changes to the 2015 IRC: 2009 and 2012 measure from a fixed seat, 2015 no more;
    # michicode.com: 2006 does not; Jefferson County: 2018 does not.
    [("2006", False), ("2009", True), ("2012", True), ("2015", False), ("2018", False)],
)
def test_guards_behind_fixed_seats(catalogue: Catalogue, edition: str, from_the_seat: bool) -> None:
    behind_a_bench: Facts = {
        "guards.height": Fraction(36),
        "guards.fixed_seat_height": Fraction(17),
    }
    found = status(catalogue, edition, "guard_height", behind_a_bench)
    assert found == (DOES_NOT_COMPLY if from_the_seat else COMPLIES)


def test_a_slope_that_only_2009_sees(catalogue: Catalogue) -> None:
    # michicode.com, January 2010: the drop within 36 in of the edge counts from 2009 on
    edge: Facts = {
        "guards.installed": False,
        "guards.drop_straight_down": Fraction(29),
        "guards.drop_within_36_in": Fraction(33),
    }
    assert status(catalogue, "2006", "guard_required", edge) == COMPLIES
    assert status(catalogue, "2009", "guard_required", edge) == DOES_NOT_COMPLY


@pytest.mark.parametrize("edition", ["2012", "2018"])
def test_handrails_from_four_risers_on(catalogue: Catalogue, edition: str) -> None:
    # Westbrook, Maine (2012 numbering not named); Everett tip sheet 1 (2018): four risers
    for count, wanted in ((3, COMPLIES), (4, DOES_NOT_COMPLY)):
        bare: Facts = {"stairs.riser_count": Fraction(count), "stairs.handrail_sides": Fraction(0)}
        assert status(catalogue, edition, "handrail_required", bare) == wanted


def test_a_flat_two_by_cap_is_no_handrail(catalogue: Catalogue) -> None:
    # by the grip figures above: none of the three shapes fits a 2x6 laid flat
    flat: Facts = {"stairs.handrail_shape": "flat_board"}
    for edition in ("2006", "2015", "2024"):
        assert status(catalogue, edition, "handrail_grip", flat) == DOES_NOT_COMPLY


@pytest.mark.parametrize(("edition", "psf"), [("2006", 60), ("2009", 40), ("2015", 40)])
def test_balconies_were_loaded_apart_until_2009(
    catalogue: Catalogue, edition: str, psf: int
) -> None:
    # Professional Deck Builder on Washington: balconies 60 psf through 2006, 40 with decks since
    found = under(catalogue, edition, {"deck.use": "exterior_balcony"}).outcome("deck_live_load")
    assert found.governing is not None
    assert found.governing.value == Fraction(psf, 144)


def test_loads_on_stairs_and_treads(catalogue: Catalogue) -> None:
    # Pleasanton, California, restating Table R301.5: stairs 40 psf, treads 300 lb
    evaluation = under(catalogue, "2009")
    wanted = (("stair_live_load", Fraction(40, 144)), ("stair_tread_load", Fraction(300)))
    for topic, value in wanted:
        governing = evaluation.outcome(topic).governing
        assert governing is not None
        assert governing.value == value


def test_a_small_balcony_may_have_a_shallow_landing(catalogue: Catalogue) -> None:
    # Building Code Forum post 211369, quoting 2015 R311.3: under 60 sq ft, reached from a door only
    door = {**DOOR, "doors.landing_depth": Fraction(30)}
    for area, wanted in ((59, COMPLIES), (60, DOES_NOT_COMPLY)):
        whole: Facts = {
            "deck.use": "exterior_balcony",
            "deck.area": Fraction(area * 144),
            "deck.reached_only_from_door": True,
        }
        found = under(catalogue, "2015", whole, doors=door).outcome("door_landing_size")
        assert found.status == wanted


def test_two_risers_at_a_side_door(catalogue: Catalogue) -> None:
    # Inspection News thread 10094 (2006); Building Code Forum thread 35179 (2015 to 2021)
    for edition in ("2006", "2021"):
        for risers, role, wanted in (
            (2, "other", NOT_APPLICABLE),
            (3, "other", DOES_NOT_COMPLY),
            (2, "required_egress", DOES_NOT_COMPLY),
        ):
            side: Facts = {
                "doors.opens_onto": "stair",
                "doors.exterior_risers": Fraction(risers),
                "doors.role": role,
                "doors.swings_over_landing": False,
            }
            assert status(catalogue, edition, "door_landing", side) == wanted


# --- numbers that moved -----------------------------------------------------------------------------


def test_2024_renumbers_chapter_3_and_keys_stay(catalogue: Catalogue) -> None:
    # Building Code Forum threads 38913 (stairs at R318.7) and 37025 (guards at R321.1.1)
    for key, before, after in (
        ("stair_riser_height", "R311.7.5.1", "R318.7.5.1"),
        ("guard_required", "R312.1.1", "R321.1.1"),
        ("door_step_down_egress", "R311.3.1", "R318.3.1"),
    ):
        old = catalogue.ruleset("irc-2021").clause(key)
        new = catalogue.ruleset("irc-2024").clause(key)
        assert old is not None
        assert new is not None
        assert (old.cites, new.cites) == (before, after)


# --- conflicts, named -------------------------------------------------------------------------------


def test_conflict_open_risers_of_2018_by_whole_rise_or_by_place(catalogue: Catalogue) -> None:
    """Everett's tip sheet for 2018 goes by the rise of the whole stair, as 2012 did.

    The model wording (New Mexico summary) goes by where the opening is. The rule holds the latter,
    from memory, and says so.
    """
    low_openings: Facts = {
        "stairs.risers": "open",
        "stairs.total_rise": Fraction(36),
        "stairs.highest_open_riser": Fraction(29),
        "stairs.riser_opening": Fraction(5),
    }
    assert status(catalogue, "2012", "stair_open_riser", low_openings) == DOES_NOT_COMPLY
    assert status(catalogue, "2018", "stair_open_riser", low_openings) == NOT_APPLICABLE
    clause = catalogue.ruleset("irc-2018").clause("stair_open_riser")
    assert clause is not None
    assert clause.standing == "memory"
    assert "rise of the whole stair" in clause.note


def test_conflict_direction_of_the_guard_load_of_2021(catalogue: Catalogue) -> None:
    """Two trade accounts say outward and downward, Washington's copy says not along the rail."""
    clause = catalogue.ruleset("irc-2021").clause("guard_load_direction")
    assert clause is not None
    assert "not along the rail" in clause.note
    for top, wanted in ((True, "any_direction"), (False, "outward_and_downward")):
        guard = {**GUARD, "guards.top_is_handrail": top}
        found = under(catalogue, "2021", guards=guard).outcome("guard_load_direction").governing
        assert found is not None
        assert found.value == wanted


def test_conflict_flight_rise_is_from_memory_and_says_so(catalogue: Catalogue) -> None:
    """147 in (2015) and 151 in (2018) were not seen; a training sheet's 20 x 7.55 in gives 151."""
    assert 20 * Fraction("7.55") == 151
    for edition in ("irc-2015", "irc-2018"):
        clause = catalogue.ruleset(edition).clause("stair_flight_rise")
        assert clause is not None
        assert clause.standing == "memory"
        assert "remembered" in clause.note
