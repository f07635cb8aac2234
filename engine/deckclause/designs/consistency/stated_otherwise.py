"""Facts a design states that its own other parts make otherwise: told, never corrected."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct
from msgspec.structs import replace

from deckclause.designs.derive.facts import derived_of_part
from deckclause.designs.derive.plan import FRAMING, FRAMING_ORDER
from deckclause.designs.design import Design, Part
from deckclause.designs.plan import Plan, complete_parts
from deckclause.designs.whole_deck import FROM_PARTS, facts_from_parts
from deckclause.rulesets.clauses import Scalar


class StatedOtherwise(Struct, frozen=True):
    """A stated fact, the part it is of ("" for the whole), and what the other parts make it.

    `customary` is what a measure the trade uses in its place makes it, where there is one.
    """

    quantity: str
    part: str
    stated: Scalar
    worked_out: Scalar
    customary: Scalar | None = None


def stated_otherwise(design: Design) -> tuple[StatedOtherwise, ...]:
    """Return every stated fact that would be worked out otherwise were it left out."""
    return (*_of_whole(design), *_of_parts(design))


def _of_whole(design: Design) -> Iterator[StatedOtherwise]:
    for quantity in FROM_PARTS:
        if quantity in design.facts:
            facts = {name: value for name, value in design.facts.items() if name != quantity}
            found = facts_from_parts(replace(design, facts=facts)).get(quantity)
            if found is not None and found != design.facts[quantity]:
                yield StatedOtherwise(quantity, "", design.facts[quantity], found)


def _of_parts(design: Design) -> Iterator[StatedOtherwise]:
    for group in FRAMING_ORDER:
        for place, part in enumerate(design.parts.get(group, ())):
            for derivation in FRAMING.get(group, ()):
                quantity = derivation.quantity
                if quantity in part.facts:
                    plan = _without(design, group, place, quantity)
                    whole = plan.parts[group][place]
                    found = whole.facts.get(quantity)
                    if found is not None and found != part.facts[quantity]:
                        customary = derivation.customary and derivation.customary(plan, whole)
                        stated = part.facts[quantity]
                        yield StatedOtherwise(quantity, part.name, stated, found, customary)


def _without(design: Design, group: str, place: int, quantity: str) -> Plan:
    parts = list(design.parts[group])
    facts = {name: value for name, value in parts[place].facts.items() if name != quantity}
    parts[place] = Part(parts[place].name, facts)
    without = replace(design, parts={**design.parts, group: tuple(parts)})
    return complete_parts(without, FRAMING_ORDER, FRAMING, derived_of_part)
