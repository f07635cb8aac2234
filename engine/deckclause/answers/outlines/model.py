"""What an outline holds: shapes in inches, each stated or asked, and the measures that move them.

x runs along the wall from the deck's left, y away from it (plan) or down (elevation, stairs).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from typing import Literal

from msgspec import Struct

from deckclause.answers.section_board import Reach
from deckclause.rulesets.clauses import Scalar

Form = Literal["board", "light", "round", "ground", "edge"]
WHOLE_INCH, EIGHTH = 8, 1
"""Steps a measure is moved in, eighths of an inch."""


class Shape(Struct, frozen=True):
    """One thing drawn: a rectangle, or the circle within it. `member` names what is asked of it.

    Not `stated`, it is drawn dashed and its label is a question.
    """

    member: str
    form: Form
    x: Fraction
    y: Fraction
    width: Fraction
    height: Fraction
    stated: bool
    label: str = ""


class Dimension(Struct, frozen=True):
    """A length written on the outline, along x or y, from `start` to `end` at `across`."""

    axis: Literal["x", "y"]
    start: Fraction
    end: Fraction
    across: Fraction
    words: str


class Grip(Struct, frozen=True):
    """A measure that can be moved: where it counts from, where it stands, its limits (inch).

    `keys` are the fields it is written to; `value` is None where it is not stated, `drawn` is
    where it is drawn then.
    """

    member: str
    label: str
    keys: tuple[str, ...]
    axis: Literal["x", "y"]
    origin: Fraction
    across: Fraction
    value: Fraction | None
    drawn: Fraction
    low: Fraction
    high: Fraction
    reaches: tuple[Reach, ...]
    step: int = WHOLE_INCH


class Outline(Struct, frozen=True):
    """A drawing of the deck as stated. `asks` are the few questions on each member."""

    title: str
    words: str
    shapes: tuple[Shape, ...]
    dimensions: tuple[Dimension, ...]
    grips: tuple[Grip, ...]
    asks: Mapping[str, tuple[str, ...]]
    notes: tuple[str, ...] = ()


def length_of(facts: Mapping[str, Scalar], name: str) -> Fraction | None:
    """Return a length a design states; None where it does not."""
    value = facts.get(name)
    return value if isinstance(value, Fraction) else None


def described(lead: str, shapes: Iterable[Shape]) -> str:
    """Say an outline in words: what it shows, and what in it nobody stated."""
    asked = dict.fromkeys(s.label for s in shapes if not s.stated and s.label)
    if not asked:
        return lead
    return f"{lead} Dashed with a question mark, as nobody stated it: {', '.join(asked)}."
