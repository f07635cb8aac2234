"""Derived facts of guards, stairs and the whole deck; stated facts are never replaced."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from deckclause.designs.derive.facts import derived_facts
from deckclause.designs.design import Design, Facts, Part
from deckclause.designs.geometry import known_distances, missing_for
from deckclause.designs.whole_deck import facts_from_parts

LENGTHS = st.fractions(min_value=Fraction(1, 64), max_value=200, max_denominator=64)
STEP_DOWN = ("door.threshold", "deck.surface")


@given(LENGTHS, st.integers(1, 30))
def test_even_risers_and_their_rise_give_each_other_back(rise: Fraction, count: int) -> None:
    stated: Facts = {"stairs.risers_even": True, "stairs.riser_count": Fraction(count)}
    height = derived_facts({**stated, "stairs.total_rise": rise})["stairs.riser_height"]
    assert isinstance(height, Fraction)
    again = derived_facts({**stated, "stairs.riser_height": height})["stairs.total_rise"]
    assert again == rise


@given(LENGTHS, LENGTHS)
def test_the_drop_within_36_in_is_never_less_than_straight_down(
    down: Fraction, fall: Fraction
) -> None:
    facts = derived_facts(
        {"guards.drop_straight_down": down, "guards.ground_fall_within_36_in": fall}
    )
    assert facts["guards.drop_within_36_in"] == down + fall


def test_risers_not_known_to_be_even_give_nothing() -> None:
    facts = derived_facts({"stairs.total_rise": Fraction(28), "stairs.riser_count": Fraction(4)})
    assert "stairs.riser_height" not in facts
    assert "stairs.riser_variation" not in facts


def test_no_risers_is_no_division() -> None:
    stated: Facts = {
        "stairs.risers_even": True,
        "stairs.total_rise": Fraction(28),
        "stairs.riser_count": Fraction(0),
    }
    assert "stairs.riser_height" not in derived_facts(stated)


def test_even_risers_do_not_vary() -> None:
    stated: Facts = {"stairs.risers_even": True, "stairs.riser_height": Fraction(7)}
    assert derived_facts(stated)["stairs.riser_variation"] == 0


def test_only_a_stair_of_one_flight_tells_its_flight() -> None:
    stated: Facts = {"stairs.total_rise": Fraction(100), "stairs.riser_count": Fraction(14)}
    one = derived_facts({**stated, "stairs.flights": Fraction(1)})
    assert (one["stairs.tallest_flight_rise"], one["stairs.most_risers_in_flight"]) == (100, 14)
    assert "stairs.tallest_flight_rise" not in derived_facts(
        {**stated, "stairs.flights": Fraction(2)}
    )


def deck(facts: Facts | None = None, **groups: list[Facts]) -> Design:
    parts = {
        group: tuple(Part(str(i), f) for i, f in enumerate(members))
        for group, members in groups.items()
    }
    return Design("deck", "", facts or {}, parts, "", "")


def test_the_surface_follows_from_joists_that_agree() -> None:
    thickness: Facts = {"decking.thickness": Fraction(1)}
    level: Facts = {"joists.below_ledger_top": Fraction(1, 2)}
    lower: Facts = {"joists.below_ledger_top": Fraction(6)}
    name = "deck.surface_below_ledger_top"
    assert facts_from_parts(deck(thickness, joists=[level, level]))[name] == Fraction(-1, 2)
    assert name not in facts_from_parts(deck(thickness, joists=[level, lower]))
    assert name not in facts_from_parts(deck(thickness, joists=[level, {}]))
    assert name not in facts_from_parts(deck({**thickness, name: Fraction(0)}, joists=[level]))


def test_whether_the_required_exit_opens_onto_the_deck() -> None:
    name = "deck.serves_required_egress_door"
    exit_: Facts = {"doors.role": "required_egress", "doors.opens_onto": "deck"}
    side: Facts = {"doors.role": "other"}
    assert facts_from_parts(deck(doors=[side, exit_]))[name] is True
    assert facts_from_parts(deck(doors=[side]))[name] is False
    assert facts_from_parts(deck(doors=[]))[name] is False
    assert name not in facts_from_parts(deck(doors=[side, {}]))
    assert name not in facts_from_parts(deck())


def test_the_step_down_asks_for_what_it_lacks() -> None:
    stated: Facts = {"deck.attachment": "ledger", "floor.finish_thickness": Fraction(1)}
    assert missing_for(*STEP_DOWN, stated) == (
        "doors.threshold_above_floor",
        "floor.subfloor_thickness",
        "ledger.below_band_joist",
        "deck.surface_below_ledger_top",
    )
    assert missing_for(*STEP_DOWN, {"deck.attachment": "freestanding"}) == ("doors.step_down",)


@given(LENGTHS, LENGTHS, LENGTHS, LENGTHS)
def test_a_measured_step_down_must_agree_with_the_parts(
    floor: Fraction, drop: Fraction, surface: Fraction, off: Fraction
) -> None:
    parts: Facts = {
        "doors.threshold_above_floor": Fraction(1, 2),
        "floor.finish_thickness": floor,
        "floor.subfloor_thickness": Fraction(3, 4),
        "ledger.below_band_joist": drop,
        "deck.surface_below_ledger_top": surface,
    }
    adds_up = floor + drop + surface + Fraction(5, 4)
    assert known_distances(parts)[STEP_DOWN] == adds_up
    assert known_distances({**parts, "doors.step_down": adds_up})[STEP_DOWN] == adds_up
    assert STEP_DOWN not in known_distances({**parts, "doors.step_down": adds_up + off})
