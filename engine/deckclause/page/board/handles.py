"""What can be moved, as the board's script is given it, whatever drawing it stands on.

Measures go over in eighths of an inch, the steps they are moved in: a limit that lies between two
steps becomes the nearest step inside it. The exact limit is told in words.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from fractions import Fraction
from math import ceil, floor
from typing import Any

from msgspec import Struct

from deckclause.answers.section_board import End, Reach
from deckclause.placement.constraints import exact_length_text

IN_FEET = 36
"""Inches from which on a length is told in feet."""
STEP = 8
"""Eighths an inch."""


class Held(Struct, frozen=True):
    """A measure to take hold of, on a drawing.

    `origin` is where, along its axis on the drawing, the measure is nothing; `across` where its
    handle stands the other way, `offset` how far along from its value. Measures are in inches;
    `value` is None where it is not stated, and `drawn` is where it stands then. `step` is in
    eighths of an inch.
    """

    name: str
    label: str
    keys: tuple[str, ...]
    axis: str
    origin: float
    across: float
    per_inch: float
    value: Fraction | None
    drawn: Fraction
    low: Fraction
    high: Fraction
    reaches: tuple[Reach, ...]
    step: int = 1
    offset: float = 0.0

    def data(self) -> dict[str, Any]:
        """Return what the board's script is given."""
        return {
            "name": self.name,
            "label": self.label,
            "keys": list(self.keys),
            "axis": self.axis,
            "origin": self.origin,
            "across": self.across,
            "offset": self.offset,
            "per_inch": self.per_inch,
            "step": self.step,
            "value": None if self.value is None else float(self.value * STEP),
            "drawn": float(self.drawn * STEP),
            "low": ceil(self.low * STEP),
            "high": floor(self.high * STEP),
            "reaches": [_reach(reach) for reach in self.reaches],
            "strictest": _strictest(self.reaches),
        }


def _reach(reach: Reach) -> dict[str, Any]:
    return {
        "rule_set": reach.rule_set,
        "title": reach.title,
        "least": _end(reach.least, ceil),
        "most": _end(reach.most, floor),
        "words": reach.words,
    }


def _end(end: End | None, inside: Callable[[Fraction], int]) -> dict[str, Any] | None:
    if end is None:
        return None
    return {
        "at": inside(end.value * STEP),
        "text": _told(end.value),
        "because": end.because,
        "wood": end.wood,
    }


def _told(value: Fraction) -> str:
    """Write a length as it is said: in inches, a long one in feet and what is over."""
    if value < IN_FEET:
        return exact_length_text(value)
    feet, over = divmod(value, 12)
    return f"{feet} ft {exact_length_text(over)}" if over else f"{feet} ft"


def _strictest(reaches: Iterable[Reach]) -> dict[str, Any]:
    """Return the ends no rule set lies inside of, each with the first rule set that sets it."""
    least = [(r.least.value, r) for r in reaches if r.least is not None]
    most = [(r.most.value, r) for r in reaches if r.most is not None]
    found: dict[str, Any] = {"least": None, "most": None}
    if least:
        _, reach = max(least, key=lambda pair: pair[0])
        found["least"] = {**(_end(reach.least, ceil) or {}), "title": reach.title}
    if most:
        _, reach = min(most, key=lambda pair: pair[0])
        found["most"] = {**(_end(reach.most, floor) or {}), "title": reach.title}
    return found
