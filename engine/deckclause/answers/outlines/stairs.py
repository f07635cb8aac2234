"""Stairs from the side: risers and treads as stated, one flight after another in the design's order."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from functools import partial
from operator import mul

from deckclause.answers.outlines.limits import Limits
from deckclause.answers.outlines.model import (
    EIGHTH,
    Dimension,
    Grip,
    Outline,
    Shape,
    described,
    length_of,
)
from deckclause.designs.design import Facts
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.quantities import length_text

USUAL_RISE, USUAL_TREAD, USUAL_COUNT = Fraction(7), Fraction(10), Fraction(4)
"""Where nobody stated them: four risers of 7 in, treads of 10 in, drawn as questions."""
TREAD_THICK = Fraction(1)
APART = Fraction(48)
MOST_RISERS = 60
ASKS = {
    "stairs": (
        "stairs.form", "stairs.width", "stairs.total_rise", "stairs.riser_count", "stairs.tread_depth",
        "stairs.nosing_projection", "stairs.risers",
    ),
}  # fmt: skip


def stairs_outline(design: PreparedDesign, limits: Limits) -> Outline | None:
    """Return the stairs as stated; None where a design states that it has none."""
    if design.design.parts.get("stairs") == ():
        return None
    return _Stairs(design, limits).outline()


class _Stairs:
    def __init__(self, design: PreparedDesign, limits: Limits) -> None:
        self.design, self.limits = design, limits
        self.flights = list(self._flights())

    def _flights(self) -> Iterator[tuple[int, str, Facts, Fraction]]:
        at = Fraction(0)
        for index, (name, facts) in enumerate(self.design.named_parts("stairs") or (("", {}),)):
            yield index, name, facts, at
            count, _, tread = _measures(facts)
            at += count * tread + APART

    def outline(self) -> Outline:
        shapes = [shape for flight in self.flights for shape in self._shapes(*flight)]
        stated = "stairs" in self.design.design.parts
        names = [name for _, name, _, _ in self.flights if name]
        lead = f"Stairs from the side{': ' if names else ''}{', '.join(names)}."
        return Outline(
            "Stairs", described(lead, shapes), tuple(shapes),
            tuple(d for flight in self.flights for d in self._dimensions(*flight)),
            tuple(g for flight in self.flights for g in self._grips(*flight)) if stated else (), ASKS,
        )  # fmt: skip

    def _shapes(self, index: int, name: str, facts: Facts, at: Fraction) -> Iterator[Shape]:
        count, riser, tread = _measures(facts)
        rise, run = count * riser, (count - 1) * tread
        nosing = length_of(facts, "stairs.nosing_projection") or Fraction(0)
        sure = {"stairs.total_rise", "stairs.riser_count", "stairs.tread_depth"} <= facts.keys()
        member, label = f"stairs[{index}]", name or "stair"
        yield Shape(
            member,
            "board",
            at - 36,
            Fraction(0),
            Fraction(36),
            TREAD_THICK,
            sure,
            "deck or upper landing",
        )
        for number in range(1, min(int(count), MOST_RISERS)):
            y, x = number * riser, at + (number - 1) * tread
            wide = tread + nosing
            said = label if number == 1 and not sure else ""
            yield Shape(member, "board", x, y, wide, TREAD_THICK, sure, said)
        for number in range(min(int(count), MOST_RISERS)):
            high = riser - TREAD_THICK
            top = number * riser + TREAD_THICK
            if facts.get("stairs.risers") == "closed":
                yield Shape(
                    member, "light", at + number * tread, top, Fraction(3, 4), high, sure, ""
                )
        yield Shape(
            member, "ground", at + run, rise, Fraction(36), Fraction(3), sure, "lower landing"
        )

    def _dimensions(self, index: int, name: str, facts: Facts, at: Fraction) -> Iterator[Dimension]:
        del index, name
        count, riser, tread = _measures(facts)
        if {"stairs.total_rise", "stairs.riser_count"} <= facts.keys():
            words = length_text(riser)
            yield Dimension(
                "y", riser * (count - 1), riser * count, at + (count - 1) * tread + 44, words
            )
        if "stairs.total_rise" in facts:
            yield Dimension("y", Fraction(0), count * riser, at - 44, length_text(count * riser))
        if "stairs.tread_depth" in facts:
            on = (
                min(int(count) - 1, 2) or 1
            )  # under the second tread, where nothing else is lettered
            left = at + (on - 1) * tread
            yield Dimension("x", left, left + tread, (on + 1) * riser + 6, length_text(tread))

    def _grips(self, index: int, name: str, facts: Facts, at: Fraction) -> Iterator[Grip]:
        count, riser, tread = _measures(facts)
        named = f" of {name}" if name else ""
        member = f"stairs[{index}]"
        counted = length_of(facts, "stairs.riser_count") is not None
        rises = (
            self.limits.reaches("stair_riser_height", name, most=partial(mul, count))
            if counted
            else self.limits.not_known("how many risers there are")
        )
        yield Grip(
            member, f"Tread depth{named}", (f"{member}.tread_depth",), "x", at, riser + 3,
            length_of(facts, "stairs.tread_depth"), tread, Fraction(4), Fraction(24),
            self.limits.reaches("stair_tread_depth", name), EIGHTH,
        )  # fmt: skip
        yield Grip(
            member, f"Total rise{named}", (f"{member}.total_rise",), "y", Fraction(0), at - 44,
            length_of(facts, "stairs.total_rise"), count * riser, Fraction(4), Fraction(240),
            rises, EIGHTH,
        )  # fmt: skip


def _measures(facts: Facts) -> tuple[Fraction, Fraction, Fraction]:
    """Return how many risers, how high each, how deep each tread; the usual where not stated."""
    count = length_of(facts, "stairs.riser_count") or USUAL_COUNT
    rise = length_of(facts, "stairs.total_rise")
    tread = length_of(facts, "stairs.tread_depth") or USUAL_TREAD
    if count < 1:
        count = Fraction(1)
    return count, (rise / count if rise is not None else USUAL_RISE), tread
