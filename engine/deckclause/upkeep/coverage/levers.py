"""Set a distance between two edges or lines to a figure, by the one fact that moves it."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from deckclause.designs.derive.facts import derived_facts
from deckclause.designs.geometry import known_distances
from deckclause.rulesets.clauses import Distance, Scalar
from deckclause.rulesets.vocabulary import QuantityDefinition

LEVERS = (
    "fasteners.end_distance_on_ledger",
    "fasteners.first_from_ledger_end",
    "fasteners.end_distance_on_band_joist",
    "fasteners.first_from_band_joist_end",
    "fasteners.lower_row_below_ledger_top",
    "fasteners.upper_row_below_ledger_top",
    "deck.surface_below_ledger_top",
    "doors.threshold_above_floor",
    "joists.below_ledger_top",
    "ledger.below_band_joist",
)
"""Facts that move one edge or line against the others, tried in this order."""

ORDINARY: dict[str, Scalar] = {
    "ledger.size": "2x10",
    "band_joist.kind": "sawn_lumber",
    "band_joist.size": "2x10",
    "ledger.below_band_joist": Fraction(0),
    "fasteners.upper_row_below_ledger_top": Fraction(2),
    "fasteners.lower_row_below_ledger_top": Fraction(13, 2),
    "joists.size": "2x10",
    "joists.below_ledger_top": Fraction(0),
    "floor.subfloor_thickness": Fraction(3, 4),
    "floor.finish_thickness": Fraction(3, 4),
    "doors.threshold_above_floor": Fraction(0),
    "deck.surface_below_ledger_top": Fraction(-1),
}
"""What an ordinary deck has, where the boundary does not say."""


def facts_for_distance(
    distance: Distance,
    target: Fraction,
    facts: Mapping[str, Scalar],
    quantities: Mapping[str, QuantityDefinition],
) -> dict[str, Scalar] | None:
    """Return `facts` with as little more as makes the distance `target` inches; None if none does."""
    pair = (distance.start, distance.end)
    free = [name for name in LEVERS if name not in facts and name in quantities]
    needed = {n: v for n, v in ORDINARY.items() if n not in facts and n in quantities}
    for lever in free:
        base = {**needed, **facts}
        at_0, at_1 = (
            known_distances(derived_facts({**base, lever: Fraction(x)})).get(pair) for x in (0, 1)
        )
        if at_0 is None or at_1 is None or at_0 == at_1:
            continue
        value = (target - at_0) / (at_1 - at_0)
        if value < 0 and not quantities[lever].signed:
            continue
        return _fewest({**base, lever: value}, set(facts) | {lever}, pair)
    return None


def _fewest(facts: dict[str, Scalar], kept: set[str], pair: tuple[str, str]) -> dict[str, Scalar]:
    """Drop what the distance does not rest on."""
    target = known_distances(derived_facts(facts))[pair]
    for name in list(facts):
        if name in kept:
            continue
        fewer = {n: v for n, v in facts.items() if n != name}
        if known_distances(derived_facts(fewer)).get(pair) == target:
            facts = fewer
    return facts
