"""The deck in plan: ledger, joist fields, beams, posts and footings where the design puts them."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from functools import partial
from operator import add, sub

from msgspec import Struct

from deckclause.answers.outlines.limits import Limits
from deckclause.answers.outlines.model import (
    Dimension,
    Form,
    Grip,
    Outline,
    Shape,
    described,
    length_of,
)
from deckclause.answers.section_board import Reach
from deckclause.designs.design import Facts
from deckclause.designs.dressed_sizes import dressed_size
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.quantities import length_text

USUAL_WIDTH, USUAL_SPAN, USUAL_POST = Fraction(144), Fraction(120), Fraction(11, 2)
"""Where nobody stated them: 12 ft along the wall, joists of 10 ft, a 6x6, drawn as questions."""
THICK = Fraction(3, 2)
"""Dressed thickness of nominal 2x lumber (PS 20-20 Table 3)."""
ABOVE = Fraction(-22)
"""Where widths along the wall are written: above the house (in)."""
HOUSE = Fraction(16)
"""How deep of the house is drawn (in)."""
MOVES = "Limits are those of the deck as it stands: moving one member can move another's."
MOST_JOISTS = 120
ASKS = {
    "ledger": ("ledger.length", "ledger.size", "ledger.species", "ledger.grade"),
    "joists": ("joists.size", "joists.spacing", "joists.span", "joists.cantilever", "joists.field_width"),
    "beams": ("beams.size", "beams.species", "beams.length", "beams.position"),
    "posts": ("posts.size", "posts.height", "posts.beam", "posts.from_beam_end"),
    "footings": ("footings.shape", "footings.diameter", "footings.side", "footings.thickness", "footings.post"),
}  # fmt: skip


class _Field(Struct, frozen=True):
    """A joist field: `support` is how far out its inner support stands, `wide` whether stated."""

    index: int
    name: str
    facts: Facts
    left: Fraction
    width: Fraction
    wide: bool
    support: Fraction
    inner: Fraction
    span: Fraction
    past: Fraction
    outlying: bool

    @property
    def top(self) -> Fraction:
        return self.support - self.inner

    @property
    def beam(self) -> Fraction:
        return self.support + self.span

    @property
    def placed(self) -> bool:
        """Whether where it stands is stated: not so for one that hangs on another field's beam."""
        return self.wide and not self.outlying

    @property
    def edge(self) -> Fraction:
        return self.beam + self.past


class _Beam(Struct, frozen=True):
    index: int
    name: str
    facts: Facts
    left: Fraction
    long: Fraction
    y: Fraction
    thick: Fraction
    placed: bool


def plan_outline(design: PreparedDesign, limits: Limits) -> Outline:
    """Return the plan of a deck as stated; what nobody stated stands in it as a question."""
    return _Plan(design, limits).outline()


class _Plan:
    def __init__(self, design: PreparedDesign, limits: Limits) -> None:
        self.design, self.limits = design, limits
        self.facts = design.facts()
        self.ledger = length_of(self.facts, "ledger.length")
        self.fields = list(self._fields())
        self.wide = sum((f.width for f in self.fields if not f.outlying), Fraction(0))
        self.beams = list(self._beams())

    def outline(self) -> Outline:
        shapes = [*self._ledger(), *self._joists(), *self._footings(), *self._beam_shapes()]
        shapes += [*self._posts()]
        lead = f"Plan of the deck, the house above{self._measures()}."
        notes = (MOVES,) if self.limits.are_told else ()
        return Outline(
            "Plan", described(lead, shapes), tuple(shapes), tuple(self._dimensions()),
            tuple(self._grips()), ASKS, notes,
        )  # fmt: skip

    def _measures(self) -> str:
        """Say the deck's size, as far as it is stated."""
        said = ""
        if all(f.wide for f in self.fields):
            said += f", {length_text(self.wide, 'ft')} along the wall"
        if all({"joists.span", "joists.cantilever"} <= f.facts.keys() for f in self.fields):
            said += f", {length_text(max(f.edge for f in self.fields), 'ft')} out"
        return said

    # -- where things stand -----------------------------------------------------------------------

    def _fields(self) -> Iterator[_Field]:
        """Place the fields along the wall; one on another field's beam stands beyond that beam."""
        parts = self.design.named_parts("joists") or (("", {}),)
        beams = {str(facts.get("joists.beam")): name for name, facts in parts}
        placed: dict[str, _Field] = {}
        at = Fraction(0)
        for index, (name, facts) in enumerate(parts):
            width = length_of(facts, "joists.field_width")
            if width is None and len(parts) == 1:
                width = self.ledger
            inner = length_of(facts, "joists.inner_cantilever") or Fraction(0)
            before = placed.get(beams.get(str(facts.get("joists.inner_beam")), name))
            field = _Field(
                index, name, facts, before.left if before else at,
                width or USUAL_WIDTH, width is not None,
                before.beam if before else inner, inner,
                length_of(facts, "joists.span") or USUAL_SPAN,
                length_of(facts, "joists.cantilever") or Fraction(0),
                before is not None,
            )  # fmt: skip
            placed[name] = field
            yield field
            if before is None:
                at += field.width

    def _beams(self) -> Iterator[_Beam]:
        if self.design.design.parts.get("beams") == ():
            return
        for index, (name, facts) in enumerate(self.design.named_parts("beams") or (("", {}),)):
            carried = [f for f in self.fields if f.facts.get("joists.beam", name) == name]
            inner = [f for f in self.fields if f.facts.get("joists.inner_beam") == name]
            over = carried or inner or self.fields
            wide = sum((f.width for f in over), Fraction(0))
            long = length_of(facts, "beams.length")
            plies = length_of(facts, "beams.plies") or Fraction(2)
            y = over[0].beam if carried or not inner else over[0].support
            left = over[0].left + (wide - long) / 2 if long is not None else over[0].left
            known = all("joists.span" in f.facts and f.placed for f in over) and wide == long
            yield _Beam(
                index, name, facts, left, wide if long is None else long, y,
                plies * THICK, known,
            )  # fmt: skip

    def _beam_of(self, named: object) -> _Beam | None:
        if len(self.beams) == 1:
            return self.beams[0]
        return next((beam for beam in self.beams if beam.name == named), None)

    def _post_places(self) -> Iterator[tuple[int, str, Facts, _Beam, Fraction, bool]]:
        for index, (name, facts) in enumerate(self.design.named_parts("posts")):
            beam = self._beam_of(facts.get("posts.beam"))
            if beam is None:
                continue
            place = length_of(facts, "posts.from_beam_end")
            at = beam.left + (place if place is not None else beam.long / 2)
            yield index, name, facts, beam, at, place is not None and beam.placed

    # -- shapes -----------------------------------------------------------------------------------

    def _ledger(self) -> Iterator[Shape]:
        attached = self.facts.get("deck.attachment")
        wide = self.wide
        yield Shape("", "light", Fraction(-12), -HOUSE, wide + 24, HOUSE, True, "house")
        if attached == "freestanding":
            return
        known = attached == "ledger" and self.ledger is not None
        yield Shape(
            "ledger", "board", Fraction(0), Fraction(0), self.ledger or wide, THICK, known, "ledger"
        )

    def _joists(self) -> Iterator[Shape]:
        for field in self.fields:
            member = f"joists[{field.index}]"
            sure = field.placed and {"joists.span", "joists.cantilever"} <= field.facts.keys()
            name = f"joists {field.name}" if len(self.fields) > 1 else "joists"
            yield Shape(
                member,
                "edge",
                field.left,
                field.top,
                field.width,
                field.edge - field.top,
                sure,
                f"edges of the {name}",
            )
            spacing = length_of(field.facts, "joists.spacing")
            first = length_of(field.facts, "joists.first_from_field_end")
            step = spacing or Fraction(16)
            at = first if first is not None else THICK / 2
            known = sure and spacing is not None and first is not None
            for number in range(MOST_JOISTS):
                x = at + number * step
                if x > field.width:
                    break
                label = f"places of the {name}" if number == 0 else ""
                left = field.left + x - THICK / 2
                yield Shape(
                    member, "light", left, field.top, THICK, field.edge - field.top, known, label
                )

    def _beam_shapes(self) -> Iterator[Shape]:
        for beam in self.beams:
            label = beam.name or "beam"
            top = beam.y - beam.thick / 2
            yield Shape(
                f"beams[{beam.index}]",
                "board",
                beam.left,
                top,
                beam.long,
                beam.thick,
                beam.placed,
                label,
            )

    def _posts(self) -> Iterator[Shape]:
        for index, name, facts, beam, at, placed in self._post_places():
            size = facts.get("posts.size")
            side = dressed_size(size) if isinstance(size, str) else None
            across = side[0] if side else USUAL_POST
            half = across / 2
            sure = placed and side is not None
            yield Shape(
                f"posts[{index}]", "ground", at - half, beam.y - half, across, across, sure,
                "" if sure else name or "post",
            )  # fmt: skip

    def _footings(self) -> Iterator[Shape]:
        places = {name: (beam, at, placed) for _, name, _, beam, at, placed in self._post_places()}
        for index, (name, facts) in enumerate(self.design.named_parts("footings")):
            found = places.get(str(facts.get("footings.post", "")))
            if found is None:
                continue
            beam, at, placed = found
            size = length_of(facts, "footings.diameter") or length_of(facts, "footings.side")
            half = (size or Fraction(16)) / 2
            form: Form = "edge" if facts.get("footings.shape") == "square" else "round"
            sure = placed and size is not None
            yield Shape(
                f"footings[{index}]", form, at - half, beam.y - half, 2 * half, 2 * half, sure,
                "" if sure else name or "footing",
            )  # fmt: skip

    def _dimensions(self) -> Iterator[Dimension]:
        for field in self.fields:
            right = field.left + field.width
            if field.wide:
                words = length_text(field.width, "ft")
                across = field.edge + 14 if field.outlying else ABOVE
                yield Dimension("x", field.left, right, across, words)
            if field.index == len(self.fields) - 1:
                if "joists.span" in field.facts:
                    words = length_text(field.span, "ft")
                    yield Dimension("y", field.support, field.beam, right + 10, words)
                if "joists.cantilever" in field.facts and field.past:
                    words = length_text(field.past, "ft")
                    yield Dimension("y", field.beam, field.edge, right + 10, words)

    # -- what is moved ----------------------------------------------------------------------------

    def _grips(self) -> Iterator[Grip]:
        for field in self.fields:
            yield from self._field_grips(field)
        yield from self._post_grips()

    def _field_grips(self, field: _Field) -> Iterator[Grip]:
        at = f"joists[{field.index}]"
        quarter = field.left + field.width * Fraction(3, 10)
        named = f" of {field.name}" if len(self.fields) > 1 else ""
        span = length_of(field.facts, "joists.span")
        past = length_of(field.facts, "joists.cantilever")
        yield Grip(
            at, f"Beam: joist span{named}", (f"{at}.span",), "y", field.support, quarter, span, field.span,
            Fraction(24), Fraction(360), self.limits.reaches("joist_span", field.name),
        )  # fmt: skip
        yield Grip(
            at, f"Outer edge: cantilever{named}", (f"{at}.cantilever",), "y", field.beam,
            field.left + field.width * Fraction(7, 10), past, field.past, Fraction(0), field.span,
            self.limits.reaches("joist_cantilever", field.name),
        )  # fmt: skip
        width = length_of(field.facts, "joists.field_width")
        yield Grip(
            at, f"Right edge: width along the wall{named}", (f"{at}.field_width",), "x", field.left,
            (field.support + field.beam) / 2, width, field.width, Fraction(24), Fraction(720), (),
        )  # fmt: skip

    def _post_grips(self) -> Iterator[Grip]:
        places = list(self._post_places())
        for index, name, facts, beam, at, _ in places:
            value = length_of(facts, "posts.from_beam_end")
            others = [(f, x) for i, _, f, b, x, _ in places if b is beam and i != index]
            own = sorted(x for _, x in others)
            left, right = [x for x in own if x < at], [x for x in own if x > at]
            before = left[-1] - beam.left if left else None
            after = right[0] - beam.left if right else None
            reaches: tuple[Reach, ...] = ()
            if any(length_of(f, "posts.from_beam_end") is None for f, _ in others):
                reaches = self.limits.not_known("where the other posts stand")
            elif left or right:
                reaches = self.limits.reaches(
                    "beam_span",
                    beam.name,
                    least=None if after is None else partial(sub, after),
                    most=None if before is None else partial(add, before),
                )
            yield Grip(
                f"posts[{index}]", f"{(name or 'Post').capitalize()}: from the beam's left end",
                (f"posts[{index}].from_beam_end",), "x", beam.left, beam.y + 12, value, at - beam.left,
                Fraction(0), beam.long, reaches,
            )  # fmt: skip
