"""A design made ready: derived facts, known distances, and both in ticks, once for each scale."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from deckclause.designs.derive import derived_facts
from deckclause.designs.derive_plan import FRAMING, FRAMING_ORDER
from deckclause.designs.design import Design, Facts
from deckclause.designs.geometry import known_distances
from deckclause.designs.plan import complete_parts
from deckclause.designs.whole_deck import facts_from_parts
from deckclause.evaluate.scale import Scale
from deckclause.rulesets.vocabulary import QuantityDefinition


@dataclass(frozen=True, slots=True)
class TickFacts:
    """Facts by quantity and distances by (start, end), in ticks."""

    facts: dict[str, Any]
    distances: dict[tuple[str, str], Any]


class PreparedDesign:
    """A design with its derived facts, ready for any rule set."""

    __slots__ = ("_once", "_parts", "_plan", "_quantities", "_ticks", "_whole", "design")

    def __init__(self, design: Design, quantities: dict[str, QuantityDefinition]) -> None:
        self.design = design
        self._quantities = quantities
        self._whole = {**design.facts, **facts_from_parts(design)}
        self._once = derived_facts(self._whole)
        self._plan = complete_parts(design, FRAMING_ORDER, FRAMING, derived_facts)
        self._parts: dict[str, tuple[tuple[str, Facts], ...]] = {}
        self._ticks: dict[tuple[str, Scale], Any] = {}

    def facts(self, group: str = "", part: str = "") -> Facts:
        """Return the facts, derived ones included, of the whole or of one part with the whole."""
        if not group:
            return self._once
        for name, facts in self._part_facts(group):
            if name == part:
                return facts
        return self._once

    def _part_facts(self, group: str) -> tuple[tuple[str, Facts], ...]:
        if group not in self._parts:
            self._parts[group] = tuple(
                (part.name, derived_facts({**self._whole, **part.facts}))
                for part in self._plan.parts.get(group, self.design.values(group))
            )
        return self._parts[group]

    def once(self, scale: Scale) -> TickFacts:
        """Return the facts of the deck as a whole in ticks."""
        key = ("", scale)
        if key not in self._ticks:
            self._ticks[key] = self._tick_facts(self._once, scale)
        ticks: TickFacts = self._ticks[key]
        return ticks

    def parts(self, group: str, scale: Scale) -> tuple[tuple[str, TickFacts], ...]:
        """Return name and facts in ticks of each part of a group."""
        key = (group, scale)
        if key not in self._ticks:
            self._ticks[key] = tuple(
                (name, self._tick_facts(facts, scale)) for name, facts in self._part_facts(group)
            )
        parts: tuple[tuple[str, TickFacts], ...] = self._ticks[key]
        return parts

    def _tick_facts(self, facts: Facts, scale: Scale) -> TickFacts:
        ticks = {
            name: scale.ticks(value, self._quantities[name])
            if isinstance(value, Fraction)
            else value
            for name, value in facts.items()
        }
        distances = {
            pair: scale.length_ticks(length) for pair, length in known_distances(facts).items()
        }
        return TickFacts(ticks, distances)
