"""The step down at each door, always with the datum it is measured from."""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct

from deckclause.designs.geometry import STEP_DOWN, known_distances
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.placement.boards import DECK_SURFACE, FLOOR
from deckclause.quantities import length_text


class StepDown(Struct, frozen=True):
    """One door's step down to the deck, inches: from its threshold, and from the floor if known."""

    door: str
    from_threshold: Fraction
    from_floor: Fraction | None

    @property
    def told(self) -> str:
        """Both lengths with their datums."""
        words = f"{length_text(self.from_threshold)} from the threshold"
        if self.from_floor is None:
            return words
        return f"{words}, {length_text(self.from_floor)} from the floor"


def steps_down(design: PreparedDesign) -> tuple[StepDown, ...]:
    """Return the step down at each door whose threshold is known."""
    found = []
    for door in design.design.parts.get("doors", ()):
        known = known_distances(design.facts("doors", door.name))
        step = known.get(STEP_DOWN)
        if step is not None:
            floor = known.get((FLOOR, DECK_SURFACE))
            found.append(StepDown(door.name or "the door", step, floor))
    return tuple(found)


def steps_text(design: PreparedDesign) -> str:
    """Say the step down at each door, from which datum; nothing where no door's is known."""
    return "; ".join(f"{step.door}: {step.told}" for step in steps_down(design))
