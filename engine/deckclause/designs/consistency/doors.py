"""A step down measured at a door, and what floor, ledger and decking add up to."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from deckclause.designs.consistency.stairs import Contradiction
from deckclause.designs.design import Facts
from deckclause.designs.geometry import STEP_DOWN_PARTS
from deckclause.quantities import length_text


def door_contradictions(facts: Facts) -> Iterator[Contradiction]:
    """Find a stated step down that is not the sum of its parts, where all of them are stated.

    >>> facts = {"doors.step_down": Fraction(3), "doors.threshold_above_floor": Fraction(1, 2),
    ...     "floor.finish_thickness": Fraction(3, 4), "floor.subfloor_thickness": Fraction(3, 4),
    ...     "ledger.below_band_joist": Fraction(5, 2), "deck.surface_below_ledger_top": Fraction(-1)}
    >>> next(door_contradictions(facts))[1]
    '3 in, threshold to deck, is not the 3-1/2 in that threshold, floor, ledger and decking as stated add up to; leave step_down out, or mend what was measured wrong'
    """
    measured = facts.get("doors.step_down")
    parts = [facts.get(name) for name in STEP_DOWN_PARTS]
    if not isinstance(measured, Fraction) or facts.get("deck.attachment") == "freestanding":
        return
    total = Fraction(0)
    for part in parts:
        if not isinstance(part, Fraction):
            return
        total += part
    if total != measured:
        yield (
            "doors.step_down",
            f"{length_text(measured)}, threshold to deck, is not the {length_text(total)} that "
            "threshold, floor, ledger and decking as stated add up to; leave step_down out, or "
            "mend what was measured wrong",
        )
