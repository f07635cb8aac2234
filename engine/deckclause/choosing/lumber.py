"""What a choice takes: pieces, lengths and counts; board feet, or the user's own prices.

Stock comes in even feet from 8 ft to 20 ft (trade practice). Board feet are nominal inches by
nominal inches by feet over 12 (American Softwood Lumber Standard, PS 20).
"""

from __future__ import annotations

from fractions import Fraction
from math import ceil

from msgspec import Struct

from deckclause.choosing.members import Choice, with_choice
from deckclause.choosing.search import Cost
from deckclause.designs.derive.facts import derived_facts
from deckclause.designs.design import Design, Part
from deckclause.placement.layout_answer import least_length

SHORTEST_STOCK, LONGEST_STOCK, STOCK_STEP = Fraction(96), Fraction(240), Fraction(24)
CUBIC_INCHES_A_CUBIC_FOOT = 1728
PI = Fraction(355, 113)
"""Near enough for a volume of concrete to order (within 1 in 10 million)."""


class Piece(Struct, frozen=True):
    """Like pieces to cut: what for, the size, how many, how long, and the stock they are cut from."""

    member: str
    size: str
    count: int
    cut: Fraction
    stock: Fraction
    bought: int

    @property
    def board_feet(self) -> Fraction:
        """Board feet of the stock for all of them."""
        thickness, width = nominal(self.size)
        return self.bought * thickness * width * self.stock / 12 / 12


class Fasteners(Struct, frozen=True):
    """Ledger fasteners: how many at least, and how long they must be."""

    kind: str
    diameter: Fraction | None
    count: int
    least_length: Fraction | None


class TakeOff(Struct, frozen=True):
    """Everything a choice takes, as far as the design says how long and how many.

    `unknown` names what could not be counted, and why.
    """

    pieces: tuple[Piece, ...]
    concrete: Fraction
    fasteners: Fasteners | None
    unknown: tuple[str, ...]

    @property
    def board_feet(self) -> Fraction:
        """Board feet of all pieces."""
        return sum((piece.board_feet for piece in self.pieces), Fraction(0))


def nominal(size: str) -> tuple[Fraction, Fraction]:
    """Return nominal thickness and width, inches, of `2x8`, or of one ply of `2-2x10`.

    >>> nominal("2x8"), nominal("3-2x10")
    ((Fraction(2, 1), Fraction(8, 1)), (Fraction(2, 1), Fraction(10, 1)))
    """
    thickness, _, width = size.rpartition("-")[2].partition("x")
    return Fraction(thickness), Fraction(width)


def plies(size: str) -> int:
    """Return how many plies a beam's size names; 1 where it names none."""
    head, dash, _ = size.rpartition("-")
    return int(head) if dash else 1


def stock_for(cut: Fraction, count: int) -> tuple[Fraction, int]:
    """Return the stock length that like pieces are cut from with the least bought, and how many.

    Saw cuts are not counted. Pieces longer than the longest stock are made of equal lengths.

    >>> stock_for(Fraction(146), 13), stock_for(Fraction(36), 3), stock_for(Fraction(300), 1)
    ((Fraction(168, 1), 13), (Fraction(120, 1), 1), (Fraction(168, 1), 2))
    """
    lengths = max(1, ceil(cut / LONGEST_STOCK))
    each, pieces = cut / lengths, lengths * count
    choices = []
    stock = SHORTEST_STOCK
    while stock <= LONGEST_STOCK:
        if stock >= each:
            bought = ceil(Fraction(pieces, stock // each))
            choices.append((bought * stock, stock, bought))
        stock += STOCK_STEP
    _, best, bought = min(choices)
    return best, bought


MEMBERS = ("joists", "ledger", "beams", "posts", "footings", "fasteners")


def take_off(design: Design, choice: Choice, member: str = "") -> TakeOff:
    """Return what a choice takes; with `member` (one of MEMBERS), what that member takes of it."""
    counted = _Count(with_choice(design, choice))
    for name in MEMBERS:
        if member in ("", name):
            counted.count(name)
    return TakeOff(
        counted.pieces,
        counted.concrete,
        counted.fasteners,
        tuple(dict.fromkeys(counted.unknown)),
    )


class _Count:
    def __init__(self, deck: Design) -> None:
        self.deck = deck
        self.counts: dict[tuple[str, str, Fraction], int] = {}
        self.unknown: list[str] = []
        self.concrete = Fraction(0)
        self.fasteners: Fasteners | None = None

    def count(self, member: str) -> None:
        """Count what one member takes."""
        if member == "ledger":
            self._ledger()
        elif member == "fasteners":
            self.fasteners = self._fasteners()
        elif member == "joists":
            for part in self.deck.values("joists"):
                self._joists(part)
        else:
            counted = {"beams": self._beam, "posts": self._post, "footings": self._footing}[member]
            for part in self.deck.parts.get(member, ()):
                counted(part)

    def _post(self, part: Part) -> None:
        self._add("posts", part, "posts.size", _length(part, "posts.height"), 1)

    def _add(
        self, member: str, part: Part, size_of: str, length: Fraction | None, count: int | None
    ) -> None:
        size = part.facts.get(size_of)
        if not isinstance(size, str) or length is None or count is None:
            self.unknown.append(f"{member}: size, length or number not stated")
            return
        key = (member, size, length)
        self.counts[key] = self.counts.get(key, 0) + count

    @property
    def pieces(self) -> tuple[Piece, ...]:
        """Return what is cut, like pieces together."""
        return tuple(
            Piece(member, size, count, cut, *stock_for(cut, count))
            for (member, size, cut), count in self.counts.items()
        )

    def _joists(self, part: Part) -> None:
        span, cantilever = (_length(part, f"joists.{n}") for n in ("span", "cantilever"))
        width, spacing = (_length(part, f"joists.{n}") for n in ("field_width", "spacing"))
        length = None if span is None else span + (cantilever or 0)
        count = ceil(width / spacing) + 1 if width and spacing else None
        self._add("joists", part, "joists.size", length, count)
        self._add("rim joist", part, "joists.size", width, 1)

    def _ledger(self) -> None:
        facts = self.deck.facts
        if facts.get("deck.attachment") != "ledger":
            return
        part = Part("", facts)
        self._add("ledger", part, "ledger.size", self.ledger_length(), 1)

    def ledger_length(self) -> Fraction | None:
        stated = self.deck.facts.get("ledger.length")
        if isinstance(stated, Fraction):
            return stated
        widths = [_length(p, "joists.field_width") for p in self.deck.values("joists")]
        return widths[0] if len(widths) == 1 else None

    def _beam(self, part: Part) -> None:
        size = part.facts.get("beams.size")
        length = _length(part, "beams.length")
        self._add(
            "beams", part, "beams.size", length, plies(size) if isinstance(size, str) else None
        )

    def _footing(self, part: Part) -> None:
        thickness = _length(part, "footings.thickness")
        across = _length(part, "footings.diameter") or _length(part, "footings.side")
        if thickness is None or across is None:
            self.unknown.append("footings: size or thickness not stated")
            return
        area = across**2 * (PI / 4 if part.facts.get("footings.shape") == "round" else 1)
        self.concrete += area * thickness / CUBIC_INCHES_A_CUBIC_FOOT

    def _fasteners(self) -> Fasteners | None:
        facts = self.deck.facts
        kind, spacing = facts.get("fasteners.kind"), facts.get("fasteners.spacing")
        length = self.ledger_length()
        if not isinstance(kind, str) or not isinstance(spacing, Fraction) or length is None:
            return None
        first = facts.get("fasteners.first_from_ledger_end")
        ends = 2 * first if isinstance(first, Fraction) else Fraction(0)
        diameter = facts.get("fasteners.diameter")
        return Fasteners(
            kind,
            diameter if isinstance(diameter, Fraction) else None,
            ceil(max(length - ends, Fraction(0)) / spacing) + 1,
            least_length(derived_facts(dict(facts))),
        )


def _length(part: Part, quantity: str) -> Fraction | None:
    value = part.facts.get(quantity)
    return value if isinstance(value, Fraction) else None


def least_lumber(taken: TakeOff) -> Cost:
    """Cost a take-off by board feet, then concrete, then fasteners."""
    return (
        taken.board_feet,
        taken.concrete,
        Fraction(taken.fasteners.count if taken.fasteners else 0),
    )
