"""Change a design: new values for quantities it states, in the parts that need them."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct
from msgspec.structs import replace

from deckclause.designs.design import Design, Part
from deckclause.rulesets.clauses import Scalar
from deckclause.rulesets.files import digest
from deckclause.rulesets.relief import Move
from deckclause.rulesets.vocabulary import Vocabulary

Values = Mapping[str, Scalar]
"""New values by quantity."""


class Change(Struct, frozen=True):
    """One quantity changed: what it was and what it becomes, in inch-pound-degree units."""

    move: Move
    before: Scalar
    after: Scalar

    @property
    def quantity(self) -> str:
        """The quantity's name."""
        return self.move.quantity


def stated(design: Design, quantity: str, vocabulary: Vocabulary) -> Scalar | None:
    """Return a quantity's stated value; None where it is not stated, or parts state several."""
    group = vocabulary.quantities[quantity].of
    if not group:
        return design.facts.get(quantity)
    values = {part.facts[quantity] for part in design.values(group) if quantity in part.facts}
    return values.pop() if len(values) == 1 else None


def is_stated(design: Design, quantity: str, vocabulary: Vocabulary) -> bool:
    """Tell whether a quantity is stated: of the whole, or of every part of its group."""
    group = vocabulary.quantities[quantity].of
    if not group:
        return quantity in design.facts
    parts = design.values(group)
    return bool(parts) and all(quantity in part.facts for part in parts)


def changed(design: Design, values: Values, vocabulary: Vocabulary) -> Design:
    """Return the design with new values; every part that states the quantity takes the new one.

    Raises KeyError for a quantity that is not in the vocabulary.
    """
    facts = dict(design.facts)
    parts = dict(design.parts)
    for quantity, value in values.items():
        group = vocabulary.quantities[quantity].of
        if group:
            parts[group] = tuple(_part(part, quantity, value) for part in parts.get(group, ()))
        else:
            facts[quantity] = value
    trail = " ".join(f"{name}={value}" for name, value in sorted(values.items()))
    return replace(design, facts=facts, parts=parts, digest=digest(design.digest, trail))


def _part(part: Part, quantity: str, value: Scalar) -> Part:
    if quantity not in part.facts:
        return part
    return Part(part.name, {**part.facts, quantity: value})
