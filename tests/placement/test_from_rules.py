"""The shipped rule sets as distances, and the answers for a design under each."""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from deckclause.designs.design import Design, Part
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.status import (
    COMPLIES,
    DOES_NOT_COMPLY,
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
    NOT_APPLICABLE,
    NOT_REGULATED,
)
from deckclause.placement.from_rules import PlacementRules
from deckclause.placement.place import Placement, place
from deckclause.placement.proof import check_conflict, check_extreme, check_solution
from oracle.random_designs import random_facts
from placement.trade_limits import clauses_2012
from support.designs import changed

EDITIONS = ("irc-2006", "irc-2009", "irc-2012", "irc-2015", "irc-2018", "irc-2021", "irc-2024")


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return Catalogue.open(cached=False)


def solved(catalogue: Catalogue, name: str, design: PreparedDesign) -> Placement:
    return place(design, PlacementRules(catalogue.evaluator(name), catalogue.vocabulary))


@pytest.mark.parametrize("size", ["2x8", "2x10", "2x12"])
def test_the_2012_limits_are_those_of_the_trade_article(catalogue: Catalogue, size: str) -> None:
    """Against the same limits typed by hand from the article and the Edmonds handout."""
    design = changed(catalogue, ledger__size=size)
    rules = PlacementRules(catalogue.evaluator("irc-2012"), catalogue.vocabulary)
    found = {
        (d.start, d.end, d.least, d.most)
        for item in rules.limits(design)
        if not item.is_at_door
        for d in item.strict
    }
    assert found == {(d.start, d.end, d.least, d.most) for d in clauses_2012(size)}


def test_each_limit_names_its_clause_and_standing(catalogue: Catalogue) -> None:
    placement = solved(catalogue, "irc-2015", changed(catalogue))
    for item in placement.limits:
        for distance in item.strict:
            assert distance.kind == "clause"
            assert distance.cites
            assert distance.standing in ("confirmed", "derived", "common practice", "memory")
    note_e = [d for i in placement.limits for d in i.strict if "note e" in d.cites]
    assert [d.least for d in note_e] == [F(3, 4)]


def test_an_unknown_support_leaves_two_inches_and_the_question(catalogue: Catalogue) -> None:
    design = changed(catalogue, band_joist__directly_supported_by=None, ledger__below_band_joist=1)
    placement = solved(catalogue, "irc-2015", design)
    assert placement.drop is not None
    assert placement.drop.greatest.value == F(3, 4)
    assert placement.at_drop.status == INFORMATION_MISSING
    assert "band_joist.directly_supported_by" in placement.at_drop.missing
    sure = changed(catalogue, band_joist__directly_supported_by=None, ledger__below_band_joist=3)
    assert solved(catalogue, "irc-2015", sure).at_drop.status == DOES_NOT_COMPLY


def test_an_unknown_that_changes_nothing_does_not_hold_the_answer_up(catalogue: Catalogue) -> None:
    design = changed(
        catalogue, band_joist__directly_supported_by=None, ledger__below_band_joist=F(1, 2)
    )
    assert solved(catalogue, "irc-2015", design).at_drop.status == COMPLIES


def test_an_engineered_rim_needs_engineering(catalogue: Catalogue) -> None:
    design = changed(
        catalogue,
        band_joist__kind="engineered_rim_board",
        band_joist__size=None,
        band_joist__depth=F(19, 2),
        band_joist__thickness=F(9, 8),
        ledger__below_band_joist=0,
    )
    found = solved(catalogue, "irc-2015", design).at_drop
    assert found.status == ENGINEERING_REQUIRED
    assert any("maker" in reason for reason in found.reasons)


def test_unknown_boards_are_asked_for_and_nothing_is_claimed(catalogue: Catalogue) -> None:
    placement = solved(catalogue, "irc-2012", changed(catalogue, ledger__size=None))
    assert placement.at_drop.status == INFORMATION_MISSING
    assert "ledger.size" in placement.at_drop.missing
    assert placement.drop is None


def test_a_small_ledger_has_no_figure(catalogue: Catalogue) -> None:
    placement = solved(catalogue, "irc-2012", changed(catalogue, ledger__size="2x6"))
    assert placement.any_drop.status in (ENGINEERING_REQUIRED, DOES_NOT_COMPLY)


def test_silence_is_not_regulated_and_the_wood_still_ends_it(catalogue: Catalogue) -> None:
    low = solved(catalogue, "irc-2006", changed(catalogue, ledger__below_band_joist=1))
    assert low.at_drop.status == NOT_REGULATED
    off = solved(catalogue, "irc-2006", changed(catalogue))
    assert off.asked.status == DOES_NOT_COMPLY
    assert not off.speaks_of_band_joist


def test_a_freestanding_deck_has_no_ledger_to_place(catalogue: Catalogue) -> None:
    placement = solved(catalogue, "irc-2015", changed(catalogue, deck__attachment="freestanding"))
    assert placement.at_drop.status == NOT_APPLICABLE
    assert placement.drop is None


def with_doors(catalogue: Catalogue, *doors: Part, **facts: object) -> PreparedDesign:
    design = changed(catalogue, **facts).design
    parts = {**design.parts, "doors": doors}
    return catalogue.prepare(
        Design(design.name, "", design.facts, parts, design.file, design.digest)
    )


def door(name: str, role: str, threshold: F | None, *, swings: bool = True) -> Part:
    facts = {"doors.role": role, "doors.opens_onto": "deck", "doors.swings_over_landing": swings}
    if threshold is not None:
        facts["doors.threshold_above_floor"] = threshold  # type: ignore[assignment]
    return Part(name, facts)  # type: ignore[arg-type]


def test_the_step_down_is_the_lesser_of_bolts_and_door(catalogue: Catalogue) -> None:
    """Bolts let 2-1/2 in from the floor; the exit door 1-1/2 in from a threshold 1/2 in above it."""
    exit_door = door("front", "required_egress", F(1, 2))
    placement = solved(catalogue, "irc-2015", with_doors(catalogue, exit_door))
    from_floor, at_door = placement.step_downs
    assert from_floor.by_bolts is not None
    assert from_floor.by_bolts.value == F(5, 2)
    assert from_floor.range is not None
    assert from_floor.range.greatest.value == 1
    assert at_door.range is not None
    assert at_door.range.greatest.value == F(3, 2)


def test_each_of_two_doors_keeps_its_own_threshold(catalogue: Catalogue) -> None:
    doors = (door("low", "other", F(0)), door("high", "other", F(6)))
    placement = solved(
        catalogue, "irc-2015", with_doors(catalogue, *doors, ledger__below_band_joist=0)
    )
    assert placement.step_downs[0].range is not None
    assert placement.step_downs[0].range.greatest.value == F(31, 4) - 6
    assert [s.name for s in placement.step_downs[1:]] == [
        "step down at low, from its threshold to the deck",
        "step down at high, from its threshold to the deck",
    ]


def test_an_unknown_threshold_is_asked_for(catalogue: Catalogue) -> None:
    placement = solved(catalogue, "irc-2015", with_doors(catalogue, door("side", "other", None)))
    assert placement.step_downs[0].missing == ("doors.threshold_above_floor",)


def test_an_unknown_floor_is_asked_for_and_the_plain_drops_still_stand(
    catalogue: Catalogue,
) -> None:
    design = changed(catalogue, floor__finish_thickness=None, decking__thickness=None)
    placement = solved(catalogue, "irc-2015", design)
    assert placement.step_downs[0].range is None
    assert set(placement.step_downs[0].missing) == {
        "floor.finish_thickness",
        "decking.thickness",
    }
    assert placement.drop is not None
    assert placement.joist_drop is not None
    assert placement.drop.greatest.value == placement.joist_drop.greatest.value == 2


@pytest.mark.parametrize("name", EDITIONS)
def test_every_answer_on_random_designs_is_proved(catalogue: Catalogue, name: str) -> None:
    quantities = catalogue.vocabulary.quantities
    rules = PlacementRules(catalogue.evaluator(name), catalogue.vocabulary)
    proved = 0
    for seed in range(120):
        facts = {
            k: v
            if isinstance(v, str | bool)
            else F(v) / (144 if quantities[k].kind == "load" else 1)
            for k, v in random_facts(seed).items()
        }
        joists = {k: v for k, v in facts.items() if k.startswith("joists.")}
        others = {k: v for k, v in facts.items() if not k.startswith("joists.")}
        parts = {"joists": (Part("", joists),)}
        placement = place(catalogue.prepare(Design("r", "", others, parts, "r", "r")), rules)
        for found in (placement.asked, placement.at_drop, placement.any_drop):
            if found.solution is not None:
                check_solution(found.distances, found.solution)
                proved += 1
            for conflict in found.conflicts.conflicts:
                check_conflict(found.distances, conflict)
        for one in (placement.drop, placement.joist_drop):
            if one is not None:
                check_extreme(placement.any_drop.distances, one.least)
                check_extreme(placement.any_drop.distances, one.greatest)
    assert proved > 100
