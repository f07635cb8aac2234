"""Facts of the whole deck that follow from its parts; a stated fact is never replaced."""

from __future__ import annotations

from fractions import Fraction

from deckclause.designs.derive.plan import deck_area
from deckclause.designs.design import Design, Facts, Part
from deckclause.designs.plan import Plan

FROM_PARTS = ("deck.surface_below_ledger_top", "deck.serves_required_egress_door", "deck.area")
"""The facts of the whole that the parts may give."""


def facts_from_parts(design: Design) -> Facts:
    """Return the facts of the whole that the parts give, for those the design does not state."""
    found: Facts = {}
    surface = surface_below_ledger_top(design)
    if surface is not None:
        found["deck.surface_below_ledger_top"] = surface
    serves = serves_required_egress_door(design)
    if serves is not None:
        found["deck.serves_required_egress_door"] = serves
    area = deck_area(Plan(design.facts, design.parts))
    if area is not None:
        found["deck.area"] = area
    return {name: value for name, value in found.items() if name not in design.facts}


def surface_below_ledger_top(design: Design) -> Fraction | None:
    """Take the decking's thickness from the joists' drop below the ledger's top (in).

    None where a joist field does not state its drop, or two fields differ: then the deck has no
    one surface.
    """
    thickness = design.facts.get("decking.thickness")
    fields = design.parts.get("joists", ())
    drops = {field.facts.get("joists.below_ledger_top") for field in fields}
    if len(drops) != 1 or not isinstance(thickness, Fraction):
        return None
    drop = drops.pop()
    return drop - thickness if isinstance(drop, Fraction) else None


def serves_required_egress_door(design: Design) -> bool | None:
    """Tell whether a required exit door opens onto the deck; None where the doors leave it open."""
    doors = design.parts.get("doors")
    if doors is None:
        return None
    answers = [_required_door_onto_deck(door) for door in doors]
    if True in answers:
        return True
    return None if None in answers else False


def _required_door_onto_deck(door: Part) -> bool | None:
    role = door.facts.get("doors.role")
    onto = door.facts.get("doors.opens_onto")
    if role == "other" or onto == "stair":
        return False
    return True if role == "required_egress" and onto == "deck" else None
