"""The ledger from outside as stated: boards and splices, joists, each fastener the spacing puts there."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import accumulate, count, pairwise

from deckclause.answers.outlines.limits import Limits
from deckclause.answers.outlines.model import (
    EIGHTH,
    WHOLE_INCH,
    Dimension,
    Grip,
    Outline,
    Shape,
    described,
    length_of,
)
from deckclause.designs.dressed_sizes import dressed_size
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.placement.from_design import fields_on_ledger
from deckclause.quantities import length_text

USUAL_LENGTH, USUAL_DEPTH, USUAL_SPACING = Fraction(144), Fraction(37, 4), Fraction(16)
"""Where nobody stated them: 12 ft of 2x10, fasteners and joists at 16 in, drawn as questions."""
THICK = Fraction(3, 2)
"""Dressed thickness of nominal 2x lumber (PS 20-20 Table 3)."""
HEAD = Fraction(5, 4)
"""A fastener's washer, as large as it is drawn (in)."""
ABOVE, UNDER = Fraction(8), Fraction(9)
"""How far above and under the ledger its handles stand (in)."""
MOST = 200
ASKS = {
    "ledger": ("ledger.length", "ledger.size", "ledger.species", "ledger.below_band_joist"),
    "ledger_pieces": ("ledger_pieces.length",),
    "band joist": ("band_joist.size", "band_joist.begins_left_of_ledger", "band_joist_pieces.length"),
    "joists": ("joists.size", "joists.spacing", "joists.first_from_field_end", "joists.field_width"),
    "fasteners": (
        "fasteners.kind", "fasteners.diameter", "fasteners.spacing", "fasteners.staggered",
        "fasteners.first_from_ledger_end",
    ),
}  # fmt: skip
AS_SPACED = (
    "Fasteners stand where the stated spacing puts them, counted from the left end of each piece; "
    "what each rule set would have, the layout of the fasteners tells."
)


def elevation_outline(design: PreparedDesign, limits: Limits) -> Outline | None:
    """Return the ledger's elevation as stated; None for a deck that does not hang on a ledger."""
    if design.facts().get("deck.attachment") != "ledger":
        return None
    return _Elevation(design, limits).outline()


class _Elevation:
    def __init__(self, design: PreparedDesign, limits: Limits) -> None:
        self.design, self.limits, self.facts = design, limits, design.facts()
        self.depth = length_of(self.facts, "ledger.depth")
        self.high = self.depth or USUAL_DEPTH
        self.pieces, self.known = self._pieces()
        self.end = self.pieces[-1][1]
        self.spacing = length_of(self.facts, "fasteners.spacing")
        self.first = length_of(self.facts, "fasteners.first_from_ledger_end")

    def _pieces(self) -> tuple[tuple[tuple[Fraction, Fraction], ...], bool]:
        parts = self.design.design.parts.get("ledger_pieces") or ()
        lengths = [length_of(part.facts, "ledger_pieces.length") for part in parts]
        whole = length_of(self.facts, "ledger.length")
        if lengths and all(lengths):
            ends = accumulate([x for x in lengths if x is not None], initial=Fraction(0))
            return tuple(pairwise(ends)), True
        widths = [
            length_of(self.design.facts("joists", n), "joists.field_width")
            for n in fields_on_ledger(self.design)
        ]
        hung = (
            sum((w for w in widths if w is not None), Fraction(0)) if all(widths) else Fraction(0)
        )
        return ((Fraction(0), whole or hung or USUAL_LENGTH),), whole is not None

    def outline(self) -> Outline:
        shapes = [*self._band(), *self._ledger(), *self._joists(), *self._fasteners()]
        long = f", {length_text(self.end, 'ft')} long" if self.known else ""
        lead = f"The ledger from outside{long}."
        return Outline(
            "Ledger elevation", described(lead, shapes), tuple(shapes), tuple(self._dimensions()),
            tuple(self._grips()), ASKS, () if self.spacing is None else (AS_SPACED,),
        )  # fmt: skip

    # -- shapes -----------------------------------------------------------------------------------

    def _band(self) -> Iterator[Shape]:
        """Draw the band joist behind the ledger, its ends and splices where they are stated."""
        depth, drop = (
            length_of(self.facts, "band_joist.depth"),
            length_of(self.facts, "ledger.below_band_joist"),
        )
        left = length_of(self.facts, "band_joist.begins_left_of_ledger")
        parts = self.design.design.parts.get("band_joist_pieces") or ()
        lengths = [length_of(part.facts, "band_joist_pieces.length") for part in parts]
        top, high = -(drop or Fraction(0)), depth or USUAL_DEPTH
        if left is not None and lengths and all(lengths):
            ends = list(accumulate([x for x in lengths if x is not None], initial=-left))
            for a, b in pairwise(ends):
                yield Shape("band joist", "light", a, top, b - a, high, drop is not None, "")
            return
        yield Shape(
            "band joist",
            "light",
            Fraction(-12),
            top,
            self.end + 24,
            high,
            False,
            "ends of the band joist",
        )

    def _ledger(self) -> Iterator[Shape]:
        for index, (a, b) in enumerate(self.pieces):
            member = f"ledger_pieces[{index}]" if len(self.pieces) > 1 else "ledger"
            sure = self.known and self.depth is not None
            label = "" if sure else "ledger"
            yield Shape(member, "board", a, Fraction(0), b - a, self.high, sure, label)

    def _fields(self) -> Iterator[tuple[int, str, Fraction, Fraction, bool]]:
        names = fields_on_ledger(self.design)
        every = [name for name, _ in self.design.named_parts("joists")]
        at = Fraction(0)
        for name in names:
            facts = self.design.facts("joists", name)
            width = length_of(facts, "joists.field_width")
            end = self.end if len(names) == 1 or width is None else at + width
            sure = len(names) == 1 or width is not None
            yield every.index(name), name, at, end, sure
            at = end

    def _joists(self) -> Iterator[Shape]:
        for index, name, at, end, sure in self._fields():
            facts = self.design.facts("joists", name)
            spacing, first = (
                length_of(facts, f"joists.{key}") for key in ("spacing", "first_from_field_end")
            )
            size = facts.get("joists.size")
            dressed = dressed_size(size) if isinstance(size, str) else None
            below = length_of(facts, "joists.below_ledger_top")
            known = sure and None not in (spacing, first, dressed, below)
            thick, deep = dressed or (THICK, self.high)
            for number in range(MOST):
                x = (
                    at
                    + (first if first is not None else THICK / 2)
                    + number * (spacing or USUAL_SPACING)
                )
                if x > end:
                    break
                label = "places of the joists" if number == 0 and not known else ""
                yield Shape(
                    f"joists[{index}]",
                    "light",
                    x - thick / 2,
                    below or Fraction(0),
                    thick,
                    deep,
                    known,
                    label,
                )

    def _places(self) -> Iterator[Fraction]:
        """Give each fastener's place: the stated spacing from each piece's left end to its right one."""
        first, spacing = self.first or Fraction(3), self.spacing or USUAL_SPACING
        for a, b in self.pieces:
            for number in count():
                x = a + first + number * spacing
                if x >= b - first or number > MOST:
                    break
                yield x
            if b - first > a:
                yield b - first

    def _fasteners(self) -> Iterator[Shape]:
        rows = [
            length_of(self.facts, f"fasteners.{row}_row_below_ledger_top")
            for row in ("lower", "upper")
        ]
        staggered = self.facts.get("fasteners.staggered")
        # not staggered, it is not stated in which row they stand, or in how many
        known = staggered is True and None not in (self.first, self.spacing, *rows) and self.known
        depths = [rows[0] if rows[0] is not None else self.high - 2]
        if staggered is not False:
            depths.append(rows[1] if rows[1] is not None else Fraction(2))
        for number, x in enumerate(self._places()):
            y = depths[number % len(depths)]
            label = "places of the fasteners" if number == 0 and not known else ""
            yield Shape("fasteners", "round", x - HEAD / 2, y - HEAD / 2, HEAD, HEAD, known, label)

    def _dimensions(self) -> Iterator[Dimension]:
        low = self.high + UNDER + 10
        if not self.known:
            return
        for a, b in self.pieces:
            yield Dimension("x", a, b, low + 18, length_text(b - a, "ft"))
        if self.spacing is None or self.first is None:
            return
        places = list(self._places())
        a, b = self.pieces[0]
        own = [a, *(x for x in places if a < x < b), b]
        yield Dimension("x", a, own[1], low + 9, length_text(own[1] - a))
        if len(own) > 3:
            yield Dimension("x", own[1], own[2], low, length_text(own[2] - own[1]))
            yield Dimension("x", own[-2], b, low + 9, length_text(b - own[-2]))

    # -- what is moved ----------------------------------------------------------------------------

    def _grips(self) -> Iterator[Grip]:
        first, spacing = self.first or Fraction(3), self.spacing or USUAL_SPACING
        yield Grip(
            "fasteners", "First fastener: from the end of a ledger piece", ("fasteners.first_from_ledger_end",),
            "x", Fraction(0), -ABOVE, self.first, first, Fraction(0), Fraction(24),
            self.limits.reaches("ledger_first_fastener"), EIGHTH,
        )  # fmt: skip
        yield Grip(
            "fasteners", "Spacing of the fasteners", ("fasteners.spacing",), "x", first, -ABOVE,
            self.spacing, spacing, Fraction(1), Fraction(60),
            self.limits.reaches("ledger_fastener_spacing"), EIGHTH,
        )  # fmt: skip
        for index, (a, b) in enumerate(self.pieces[:-1]):
            yield Grip(
                f"ledger_pieces[{index}]", f"Splice: length of piece {index + 1}",
                (f"ledger_pieces[{index}].length",), "x", a, self.high + UNDER, b - a, b - a, Fraction(12),
                Fraction(480), (), WHOLE_INCH,
            )  # fmt: skip
        for index, name, at, _, _ in self._fields():
            yield from self._joist_grips(index, name, at)

    def _joist_grips(self, index: int, name: str, at: Fraction) -> Iterator[Grip]:
        facts = self.design.facts("joists", name)
        first, spacing = (
            length_of(facts, f"joists.{key}") for key in ("first_from_field_end", "spacing")
        )
        begins = first if first is not None else THICK / 2
        named = f" of {name}" if name else ""
        yield Grip(
            f"joists[{index}]", f"First joist{named}: from the field's left end",
            (f"joists[{index}].first_from_field_end",), "x", at, self.high + UNDER, first, begins, Fraction(0),
            Fraction(48), (), EIGHTH,
        )  # fmt: skip
        yield Grip(
            f"joists[{index}]", f"Spacing of the joists{named}", (f"joists[{index}].spacing",), "x",
            at + begins, self.high + UNDER, spacing, spacing or USUAL_SPACING, Fraction(4), Fraction(48),
            self.limits.reaches("decking_joist_spacing"), EIGHTH,
        )  # fmt: skip
