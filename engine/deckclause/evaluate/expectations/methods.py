"""The methods that may say what to expect of a cell, by the families of calculation they are."""

from __future__ import annotations

from msgspec import Struct

from deckclause.engineering.tables.groups import species_group
from deckclause.evaluate.tables.families import Calculation


class Method(Struct, frozen=True):
    """A method in words, what its figures are of, and whether they are the least allowed."""

    called: str
    of: str
    asks_least: bool = False


_STABILITY = "column stability by the timber design standard, concentric load, wet"
_JOISTS = "bending, shear and L/360 by the timber design standard, the weakest species of the group"
_TIP = "tip L/180 under 220 lb, at most a quarter of the span"
_FITTED_BEAMS = "bending, shear and L/360, fitted to the southern pine and all-species beam tables"
_GROUP_BEAMS = (
    "bending, shear and L/360, the weakest species, with the ply factors of southern pine"
)
_SOIL = "load over soil bearing, to the nearest inch"

METHODS: dict[str, Method] = {
    "joists": Method(_JOISTS, "joist spans"),
    "joists_with_cantilever": Method(f"{_JOISTS}; {_TIP}", "joist spans with a cantilever"),
    "joist_overhangs": Method(_TIP, "joist overhangs"),
    "guide_joist_overhangs": Method(f"{_TIP}, less 3 in", "guide's joist overhangs"),
    "joist_cantilevers": Method(_TIP, "joist cantilevers by back span"),
    "beams": Method(_FITTED_BEAMS, "beam spans"),
    "guide_beams": Method(f"{_FITTED_BEAMS}, less 3 in", "guide's beam spans"),
    "group_beams": Method(_GROUP_BEAMS, "beam spans by species group"),
    "posts": Method(_STABILITY, "post heights by tributary area"),
    "footings": Method(_SOIL, "footings", asks_least=True),
    "small_footings": Method(_SOIL, "footings", asks_least=True),
    "guide_footings": Method(f"{_SOIL}, rounded up", "guide's footings", asks_least=True),
    "ledger": Method("one capacity a row, implied by the table's own cells", "ledger fasteners"),
}


def kind_of(calculation: Calculation) -> str:
    """Name the figures a calculation's cell may be counted with: like part, like species group.

    >>> keys = (("species_group", "southern_pine"), ("size", "2x8"))
    >>> kind_of(Calculation("joists", keys, "joists"))
    'joist spans, southern pine'
    """
    keys = dict(calculation.keys)
    of = METHODS[calculation.family].of
    group = keys.get("species_group")
    parts = [of, *([species_group(group)] if group else [])]
    if keys.get("part") == "thickness":
        parts.append("thickness")
    return ", ".join(parts)
