"""A design that lies at given facts: the facts of the whole, and one part of each group."""

from __future__ import annotations

from collections.abc import Mapping

from deckclause.designs.design import Design, Part
from deckclause.rulesets.clauses import Scalar
from deckclause.rulesets.vocabulary import QuantityDefinition


def design_at(
    facts: Mapping[str, Scalar], quantities: Mapping[str, QuantityDefinition], name: str = "sample"
) -> Design:
    """Return a design that states these facts and nothing else, derived ones included."""
    whole = {n: v for n, v in facts.items() if not quantities[n].of}
    parts: dict[str, tuple[Part, ...]] = {}
    for group in dict.fromkeys(quantities[n].of for n in facts if quantities[n].of):
        mine = {n: v for n, v in facts.items() if quantities[n].of == group}
        parts[group] = (Part("", mine),)
    return Design(name, "", whole, parts, "", "")
