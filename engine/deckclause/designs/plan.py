"""What the parts of a deck know from one another: which beam carries which joists, and so on.

A part's facts are completed in the order joists, beams, posts, footings, each from the parts
before it. A stated fact is never replaced; what cannot be known stays unknown.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction

from msgspec import Struct

from deckclause.designs.design import Design, Facts, Part
from deckclause.rulesets.clauses import Scalar


class Plan(Struct, frozen=True):
    """A design's facts and its parts as far as they are completed."""

    facts: Facts
    parts: Mapping[str, tuple[Part, ...]]

    def stated(self, group: str) -> tuple[Part, ...] | None:
        """Return the parts of a group, or None where the design does not state the group."""
        return self.parts.get(group)


class PlanDerivation(Struct, frozen=True):
    """A fact of a part known from other parts: its quantity, the function, the rule in words.

    `customary` is another measure people state for it, which contradicts nothing either.
    """

    quantity: str
    compute: Callable[[Plan, Part], Scalar | None]
    rule: str
    customary: Callable[[Plan, Part], Scalar | None] | None = None


def complete_parts(
    design: Design,
    order: tuple[str, ...],
    derivations: Mapping[str, tuple[PlanDerivation, ...]],
    within: Callable[[Facts], Facts],
) -> Plan:
    """Complete the parts of the groups in `order`; `within` completes one part's own facts."""
    plan = Plan(design.facts, design.parts)
    for group in order:
        if group in plan.parts:
            parts = tuple(
                _complete(plan, part, derivations.get(group, ()), within)
                for part in plan.parts[group]
            )
            plan = Plan(plan.facts, {**plan.parts, group: parts})
    return plan


def _complete(
    plan: Plan,
    part: Part,
    derivations: tuple[PlanDerivation, ...],
    within: Callable[[Facts], Facts],
) -> Part:
    facts = within(part.facts)
    for derivation in derivations:
        if derivation.quantity not in facts:
            value = derivation.compute(plan, Part(part.name, facts))
            if value is not None:
                facts[derivation.quantity] = value
    return Part(part.name, facts)


def length(part: Part, quantity: str) -> Fraction | None:
    """Return a measured fact of a part, or None where it is unknown."""
    value = part.facts.get(quantity)
    return value if isinstance(value, Fraction) else None


def greatest(values: list[Fraction | None]) -> Fraction | None:
    """Return the greatest, or None where one is unknown or there is none.

    >>> greatest([Fraction(2), Fraction(3)])
    Fraction(3, 1)
    >>> greatest([Fraction(2), None]) is None
    True
    """
    known = [value for value in values if value is not None]
    return max(known) if known and len(known) == len(values) else None
