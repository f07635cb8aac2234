"""What a deck is said to have, or not to have, that no table was made for.

One answer, `none`, settles every question about heavy and unusual parts. A fact stated of such a
part by itself is never overruled by it: then the two contradict each other, and that is told.
"""

from __future__ import annotations

from collections.abc import Mapping

from deckclause.designs.design import Design, Facts, Part
from deckclause.rulesets.clauses import Scalar

NONE, SOME = "none", "some"
PARTS = "unusual.parts"

PLAIN: Mapping[str, Scalar] = {
    "unusual.heavy_area": NONE,
    "unusual.snow_from_roof": False,
    "unusual.ledger": "one_unbroken",
    "unusual.framing_opening": False,
    "unusual.members": "sawn_lumber",
    "unusual.wind_uplift": False,
    "unusual.levels": "one",
    "unusual.corners": "square",
}
"""What `none` says of the whole deck."""
PLAIN_PARTS: Mapping[str, Mapping[str, Scalar]] = {
    "footings": {"footings.ground": "undisturbed_soil"},
    "guards": {"guards.infill": "balusters_or_boards", "guards.gate": False},
}
"""What `none` says of parts that may stand several times."""
MEASURES = ("unusual.heavy_area_load", "unusual.heavy_area_length", "unusual.heavy_area_width")


def unusual_facts(design: Design) -> Facts:
    """Return what follows for the whole deck: from `none` all that it rules out, from a part `some`.

    >>> plain = Design("d", "", {"unusual.parts": "none"}, {}, "d.yaml", "")
    >>> unusual_facts(plain)["unusual.levels"]
    'one'
    >>> tub = Design("d", "", {"unusual.heavy_area": "hot_tub"}, {}, "d.yaml", "")
    >>> unusual_facts(tub)["unusual.parts"]
    'some'
    """
    said, stated = design.facts.get(PARTS), _states_one(design)
    found: Facts = {"unusual.parts_agree": not (said == NONE and stated)}
    if said == NONE:
        found |= PLAIN
    elif said is None and stated:
        found[PARTS] = SOME
    return {name: value for name, value in found.items() if name not in design.facts}


def _states_one(design: Design) -> bool:
    facts = design.facts
    heavy_measured = facts.get("unusual.heavy_area") != NONE and any(m in facts for m in MEASURES)
    return (
        heavy_measured
        or any(facts.get(name, plain) != plain for name, plain in PLAIN.items())
        or any(
            part.facts.get(name, plain) != plain
            for group, facts_of in PLAIN_PARTS.items()
            for part in design.parts.get(group, ())
            for name, plain in facts_of.items()
        )
    )


def plain_facts(group: str, whole: Facts, part: Part) -> Facts:
    """Return what `none` says of one part, as far as the part does not say it itself."""
    if whole.get(PARTS) != NONE:
        return {}
    return {n: v for n, v in PLAIN_PARTS.get(group, {}).items() if n not in part.facts}
