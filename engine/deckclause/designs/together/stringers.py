"""How far the stringers of a stair reach, from its rise and run."""

from __future__ import annotations

from fractions import Fraction
from math import ceil

from deckclause.designs.design import Part
from deckclause.designs.plan import Plan, length


def stringer_run(plan: Plan, stair: Part) -> Fraction | None:
    """Give the level reach of the stringers of one flight (inch): as many of the deepest tread as risers.

    A stair whose top tread lies level with the deck has a tread for every riser, any other one less:
    the longer is taken. None where it is stated, where the stair has several flights, and where its
    risers or its deepest tread are not known: the shallowest tread says nothing of the reach.
    """
    if "stairs.stringer_run" in stair.facts or stair.facts.get("stairs.flights") != 1:
        return None
    count, deepest = _risers(stair), _deepest_tread(stair)
    return None if count is None or deepest is None else count * deepest


def stringer_run_agrees(plan: Plan, stair: Part) -> bool | None:
    """Tell whether a reach stated is no shorter than rise and run make it, or something stands between.

    Rise and run make it at least a tread less than risers, of the shallowest. None where a reach is
    shorter and it is not said whether anything carries the stringers between their ends.
    """
    stated, count = length(stair, "stairs.stringer_run"), _risers(stair)
    shallowest = length(stair, "stairs.tread_depth")
    if stated is None or count is None or shallowest is None:
        return True
    if stair.facts.get("stairs.flights") != 1 or stated >= (count - 1) * shallowest:
        return True
    between = stair.facts.get("stairs.stringers_held_between")
    return between if isinstance(between, bool) else None


def _risers(stair: Part) -> Fraction | None:
    """Return the number of risers: stated, or the total rise by the height of even ones, rounded up."""
    count = length(stair, "stairs.riser_count")
    if count is not None:
        return count if count >= 1 else None
    rise, height = length(stair, "stairs.total_rise"), length(stair, "stairs.riser_height")
    if rise is None or not height or stair.facts.get("stairs.risers_even") is not True:
        return None
    return Fraction(ceil(rise / height))


def _deepest_tread(stair: Part) -> Fraction | None:
    """Return the depth of the deepest tread: stated, or the shallowest and how much they differ."""
    deepest, shallowest, differ = (
        length(stair, f"stairs.{name}")
        for name in ("deepest_tread", "tread_depth", "tread_variation")
    )
    if deepest is not None:
        return deepest
    return None if shallowest is None or differ is None else shallowest + differ
