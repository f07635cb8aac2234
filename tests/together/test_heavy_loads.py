"""What is heavier than the tables are made for is passed by no table, whatever book is read."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from typing import Any

import pytest

from deckclause.designs.derive.heavy import MOST_THAT_STAYS
from deckclause.evaluate.findings import evaluate
from deckclause.evaluate.status import COMPLIES, ENGINEERING_REQUIRED, INFORMATION_MISSING
from deckclause.rulesets.clauses import Fixed, Limit
from deckclause.rulesets.walk import clause_reads
from together.decks import as_design
from together.test_holds_together import catalogue, example

CARRY = (
    *("joist_span", "joist_cantilever", "beam_span", "beam_cantilever", "post_height"),
    *("footing_size", "footing_thickness", "ledger_fastener_spacing"),
)
"""The topics whose figures are made for an even load: each is of a member that may carry a tub."""
BOOKS = ("edition", "guide", "report")
PLAIN: dict[str, Any] = {
    "unusual.levels": "one",
    "unusual.wind_uplift": False,
    "unusual.corners": "square",
}
HEAVY: dict[str, dict[str, Any]] = {
    "a full tub": {"unusual.heavy_area": "hot_tub", "unusual.heavy_area_load": Fraction(100, 144)},
    "a roof": {"unusual.heavy_area": "roof"},
    "a level on a level": {"unusual.heavy_area": "none", "unusual.levels": "one_on_another"},
    "a tub not weighed": {"unusual.heavy_area": "hot_tub"},
    "something not named": {"unusual.parts": "some"},
}


@cache
def rule_sets() -> tuple[str, ...]:
    """Return every edition, guide and report, and every place on the first day of each adoption."""
    shared = catalogue()
    files = [name for name in shared.files.rulesets if shared.ruleset(name).kind in BOOKS]
    places = [
        way
        for place in shared.register.places.values()
        for adoption in place.adoptions
        for way in shared.register.ways(f"{place.name}@{adoption.begins}")
    ]
    return (*files, *places)


def statuses(facts: dict[str, Any], name: str) -> dict[str, int]:
    deck = example("whole-deck-12x16")
    del deck["facts"]["unusual.parts"]
    deck["facts"] |= {**PLAIN, **facts}
    shared = catalogue()
    found = evaluate(shared.prepare(as_design(deck)), shared.evaluator(name), shared.vocabulary)
    return {topic: found.outcome(topic).status for topic in CARRY}


@pytest.mark.parametrize("heavy", HEAVY)
def test_no_table_passes_a_member_that_may_carry_it(heavy: str) -> None:
    """A tub weighs 80 to 150 psf full, people in it; deck tables are made for 40 psf live (Table R301.5)."""
    told = 0
    for name in rule_sets():
        found = statuses(HEAVY[heavy], name)
        assert COMPLIES not in found.values(), (name, found)
        told += sum(s in (ENGINEERING_REQUIRED, INFORMATION_MISSING) for s in found.values())
    assert told > 4 * len(rule_sets())


def test_what_is_no_heavier_than_the_tables_leaves_them_as_they_were() -> None:
    planters = {"unusual.heavy_area": "planters", "unusual.heavy_area_load": Fraction(30, 144)}
    for name in ("irc-2018", "irc-2021", "awc-dca6-2012"):
        assert statuses(planters, name) == statuses({"unusual.heavy_area": "none"}, name)
    assert set(statuses(planters, "irc-2021").values()) == {COMPLIES}


def test_every_figure_for_such_a_member_reads_it() -> None:
    """A clause written later, or an amendment's, cannot leave it out."""
    shared = catalogue()
    for name in rule_sets():
        for clause in shared.ruleset(name).clauses:
            if clause.topic in CARRY and isinstance(clause.requirement, Limit):
                assert "unusual.heavier_than_tables" in clause_reads(clause), (name, clause.key)


def test_what_may_stay_is_one_figure() -> None:
    together = catalogue().coherence()
    assert together is not None
    clause = together.ruleset.clause("heavy_area_load")
    assert clause is not None
    assert isinstance(clause.requirement, Limit)
    assert isinstance(clause.requirement.most, Fixed)
    assert clause.requirement.most.value == MOST_THAT_STAYS
