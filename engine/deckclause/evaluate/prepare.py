"""A design made ready: derived facts, known distances, and both in ticks, once for each scale."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from msgspec import Struct

from deckclause.designs.derive.facts import derived_facts, derived_of_part
from deckclause.designs.derive.plan import FRAMING, FRAMING_ORDER
from deckclause.designs.design import Design, Facts
from deckclause.designs.geometry import known_distances
from deckclause.designs.plan import complete_parts
from deckclause.designs.whole_deck import facts_from_parts
from deckclause.evaluate.scale import Scale
from deckclause.rulesets.clauses import Scalar
from deckclause.rulesets.vocabulary import QuantityDefinition


class TickDistances(dict[tuple[str, str], Any]):
    """Distances by (start, end) in ticks, worked out when first asked for: most parts ask none."""

    def __init__(self, facts: Mapping[str, Scalar | None], scale: Scale) -> None:
        super().__init__()
        self._facts = facts
        self._scale = scale
        self._lengths: dict[tuple[str, str], Fraction] | None = None

    def __missing__(self, pair: tuple[str, str]) -> Any:
        """Work out the distance of a pair of datums; None where it is not fixed."""
        if self._lengths is None:
            self._lengths = known_distances(self._facts)
        length = self._lengths.get(pair)
        found = None if length is None else self._scale.length_ticks(length)
        self[pair] = found
        return found


class TickFacts(Struct, frozen=True):
    """Facts by quantity and distances by (start, end), in ticks."""

    facts: dict[str, Any]
    distances: dict[tuple[str, str], Any]


class PreparedDesign:
    """A design with its derived facts, ready for any rule set."""

    __slots__ = ("_once", "_parts", "_plan", "_ticks", "_whole", "design", "quantities")

    def __init__(self, design: Design, quantities: dict[str, QuantityDefinition]) -> None:
        self.design = design
        self.quantities = quantities
        self._whole = {**design.facts, **facts_from_parts(design)}
        self._once = derived_facts(self._whole)
        self._plan = complete_parts(design, FRAMING_ORDER, FRAMING, derived_of_part)
        self._parts: dict[str, tuple[tuple[str, Facts], ...]] = {}
        self._ticks: dict[tuple[str, int, int], Any] = {}

    def facts(self, group: str = "", part: str = "") -> Facts:
        """Return the facts, derived ones included, of the whole or of one part with the whole."""
        if not group:
            return self._once
        for name, facts in self._part_facts(group):
            if name == part:
                return facts
        return self._once

    def named_parts(self, group: str) -> tuple[tuple[str, Facts], ...]:
        """Return name and facts, derived ones included, of each part of a group."""
        return self._part_facts(group)

    def _part_facts(self, group: str) -> tuple[tuple[str, Facts], ...]:
        if group not in self._parts:
            self._parts[group] = tuple(
                (part.name, derived_facts({**self._whole, **part.facts}))
                for part in self._plan.parts.get(group, self.design.values(group))
            )
        return self._parts[group]

    def once(self, scale: Scale) -> TickFacts:
        """Return the facts of the deck as a whole in ticks."""
        key = ("", scale.length, scale.load)
        found: TickFacts | None = self._ticks.get(key)
        if found is None:
            found = self._ticks[key] = self._tick_facts(self._once, scale)
        return found

    def parts(self, group: str, scale: Scale) -> tuple[tuple[str, TickFacts], ...]:
        """Return name and facts in ticks of each part of a group."""
        key = (group, scale.length, scale.load)
        found: tuple[tuple[str, TickFacts], ...] | None = self._ticks.get(key)
        if found is None:
            found = self._ticks[key] = tuple(
                (name, self._tick_facts(facts, scale, self.once(scale)))
                for name, facts in self._part_facts(group)
            )
        return found

    def _tick_facts(self, facts: Facts, scale: Scale, whole: TickFacts | None = None) -> TickFacts:
        """Turn facts into ticks; those the whole deck has already are not turned again."""
        ticks = dict(whole.facts) if whole else {}
        once = self._once if whole else {}
        for name, value in facts.items():
            if not isinstance(value, Fraction):
                ticks[name] = value
            elif once.get(name) is not value:
                ticks[name] = scale.ticks(value, self.quantities[name])
        return TickFacts(ticks, TickDistances(facts, scale))
