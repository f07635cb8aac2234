"""The greatest drop and the greatest step down as rows, and the sets of clauses that drive them."""

from __future__ import annotations

from fractions import Fraction as F
from itertools import combinations

import pytest

from deckclause.compare.comparison import WORKED_OUT, Comparison, compare
from deckclause.compare.drivers import find_drivers
from deckclause.compare.placement_hybrid import PlacementHybrid
from deckclause.compare.placement_rows import PLACEMENT_TOPICS, PlacementRows
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
from deckclause.placement.place import place
from oracle.random_designs import random_facts
from support.designs import changed

EDITIONS = ("irc-2006", "irc-2009", "irc-2012", "irc-2015", "irc-2018", "irc-2021", "irc-2024")


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return Catalogue.open(cached=False)


def compared(catalogue: Catalogue, design: PreparedDesign, *names: str) -> Comparison:
    return compare(catalogue, design, names or EDITIONS, topics=PLACEMENT_TOPICS)


def random_design(catalogue: Catalogue, seed: int) -> PreparedDesign:
    quantities = catalogue.vocabulary.quantities
    facts = {
        k: v if isinstance(v, str | bool) else F(v) / (144 if quantities[k].kind == "load" else 1)
        for k, v in random_facts(seed).items()
    }
    joists = {k: v for k, v in facts.items() if k.startswith("joists.")}
    others = {k: v for k, v in facts.items() if not k.startswith("joists.")}
    return catalogue.prepare(Design("r", "", others, {"joists": (Part("", joists),)}, "r", "r"))


def test_the_topics_are_named_once() -> None:
    assert WORKED_OUT == PLACEMENT_TOPICS


@pytest.mark.parametrize("name", ["irc-2006", "irc-2009", "Dunmarrow@2011-01-01"])
def test_silence_on_the_band_joist_is_no_pass_at_the_door(catalogue: Catalogue, name: str) -> None:
    level = changed(catalogue, ledger__below_band_joist=F(0))
    statuses = {o.status for row in compared(catalogue, level, name).rows for o in row.outcomes}
    assert COMPLIES not in statuses


def test_three_clauses_together_drive_2009_to_2012(catalogue: Catalogue) -> None:
    row = compared(catalogue, changed(catalogue), "irc-2009", "irc-2012").rows[0]
    assert [o.governing.most for o in row.outcomes if o.governing] == [F(2), F(3, 4)]
    drivers = row.changes[0].drivers
    assert [set(d.keys) for d in drivers.drivers] == [
        {
            "ledger_bottom_edge_distance",
            "ledger_lower_row_below_ledger_top",
            "band_joist_bottom_edge_distance",
        }
    ]
    assert drivers.shares == (), "some exchanges leave no place at all, so there is no share"


def test_the_relief_drives_2012_to_2015(catalogue: Catalogue) -> None:
    for row in compared(catalogue, changed(catalogue), "irc-2012", "irc-2015").rows:
        drivers = row.changes[0].drivers
        assert [d.keys for d in drivers.drivers] == [("band_joist_bottom_edge_distance",)]
        assert [s.amount for s in drivers.shares] == [F(5, 4)]


def test_statuses(catalogue: Catalogue) -> None:
    def status(**facts: object) -> list[int]:
        row = compared(catalogue, changed(catalogue, **facts)).rows[0]
        return [o.status for o in row.outcomes]

    low = status(ledger__below_band_joist=F(1, 2))
    assert low == [NOT_REGULATED, NOT_REGULATED, *[COMPLIES] * 5]
    assert status(ledger__below_band_joist=1)[2:4] == [DOES_NOT_COMPLY, COMPLIES]
    assert status(ledger__below_band_joist=None)[1:] == [INFORMATION_MISSING] * 6
    assert status(deck__attachment="freestanding") == [NOT_APPLICABLE] * 7
    assert status(ledger__size=None)[2:] == [INFORMATION_MISSING] * 5
    rim = status(
        ledger__below_band_joist=0, band_joist__kind="engineered_rim_board", band_joist__depth=10
    )
    assert rim[2:] == [ENGINEERING_REQUIRED] * 5


def test_boards_that_never_fit_say_so(catalogue: Catalogue) -> None:
    row = compared(catalogue, changed(catalogue, ledger__size="2x12"), "irc-2012").rows[0]
    finding = row.outcomes[0].governing
    assert finding is not None
    assert (finding.status, finding.most) == (DOES_NOT_COMPLY, None)
    assert "1/4 in too much" in finding.says


@pytest.mark.parametrize("seed", range(40))
def test_rows_agree_with_the_placement_and_drivers_are_verified(
    catalogue: Catalogue, seed: int
) -> None:
    """The row's figure is the solver's; each driver turns one outcome into the other, none smaller."""
    design = random_design(catalogue, seed)
    comparison = compared(catalogue, design)
    for column, name in enumerate(EDITIONS):
        rules = PlacementRules(catalogue.evaluator(name), catalogue.vocabulary)
        placement = place(design, rules)
        finding = comparison.rows[0].outcomes[column].governing
        if finding is not None and finding.most is not None:
            assert placement.drop is not None
            assert finding.most == placement.drop.greatest.value
        if finding is not None and finding.status == COMPLIES:
            assert placement.at_drop.status == COMPLIES
        if placement.at_drop.status == DOES_NOT_COMPLY:
            assert finding is not None
            assert finding.status == DOES_NOT_COMPLY
    evaluators = [catalogue.evaluator(name) for name in EDITIONS]
    rows = PlacementRows(design, evaluators, catalogue.vocabulary)
    for row in comparison.rows:
        for change in row.changes:
            topic = row.topic.name
            hybrid = PlacementHybrid(rows, change.first, change.second, topic)
            swapped = PlacementHybrid(rows, change.second, change.first, topic)
            first, second = row.compared[change.first], row.compared[change.second]
            everything = frozenset(hybrid.keys)
            assert everything == frozenset(swapped.keys)
            assert hybrid.outcome() == swapped.outcome(everything) == first
            assert swapped.outcome() == hybrid.outcome(everything) == second
            assert change.drivers.drivers
            assert {d.keys for d in change.drivers.drivers} == {
                d.keys for d in find_drivers(swapped).drivers
            }
            for driver in change.drivers.drivers:
                keys = frozenset(driver.keys)
                assert hybrid.outcome(keys) == second
                assert swapped.outcome(keys) == first
                for size in range(len(driver.keys)):
                    for some in combinations(driver.keys, size):
                        fewer = frozenset(some)
                        works = hybrid.outcome(fewer) == second, swapped.outcome(fewer) == first
                        assert works != (True, True)
