"""The boards of a design as distances: what its lumber and its builder have settled.

Equalities come from `designs.geometry`; here each gets the words of a board or of a wish. What a
caller leaves open (the drop, the rows) is kept within the wood and no more. Every vertical figure
of a design is read here, for placement, for relief and for the drawings alike.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from msgspec import Struct

from deckclause.designs.design import Facts
from deckclause.designs.geometry import FixedDistance, fixed_distances, known_distances
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.words import name_text
from deckclause.placement.boards import (
    BAND_TOP,
    DECK_SURFACE,
    FLOOR,
    JOISTS_BOTTOM,
    JOISTS_TOP,
    LEDGER_BOTTOM,
    LEDGER_TOP,
    LOWER_ROW,
    THRESHOLD,
    UPPER_ROW,
    against_band_joist,
    through_boards,
)
from deckclause.placement.constraints import Distance, fixed
from deckclause.placement.from_rules import datum_of

DROP = "ledger.below_band_joist"
ROWS = ("fasteners.upper_row_below_ledger_top", "fasteners.lower_row_below_ledger_top")
JOISTS = "joists.below_ledger_top"
MEASURES: dict[str, tuple[str, str]] = {
    ROWS[0]: (LEDGER_TOP, UPPER_ROW),
    ROWS[1]: (LEDGER_TOP, LOWER_ROW),
    JOISTS: (LEDGER_TOP, JOISTS_TOP),
    DROP: (BAND_TOP, LEDGER_TOP),
}
"""The measures a builder sets, each with the datums it lies between."""
SURFACE = "deck.surface_below_ledger_top"
JOIST_GEOMETRY = ("joists.size", "joists.depth", JOISTS)
THRESHOLD_HEIGHT = "doors.threshold_above_floor"

WORDS: dict[str, str] = {
    "band_joist.depth": "band joist's depth",
    "ledger.depth": "ledger's depth",
    "joists.depth": "joists' depth",
    DROP: "drop of the ledger, as asked",
    JOISTS: "joist tops below the ledger's top, as asked",
    ROWS[0]: "upper row, as asked",
    ROWS[1]: "lower row, as asked",
    "decking.thickness": "decking",
    SURFACE: "deck's surface below the ledger's top",
    "floor.subfloor_thickness": "subfloor and finish floor",
    THRESHOLD_HEIGHT: "threshold above the floor",
}
SIZES = {
    "band_joist.depth": "band_joist.size",
    "ledger.depth": "ledger.size",
    "joists.depth": "joists.size",
}


class Door(Struct, frozen=True):
    """One door: its name, its threshold's datum, and how it was measured, if it was."""

    name: str
    datum: str
    threshold: Fraction | None
    measured: Fraction | None


class DesignBoards(Struct, frozen=True):
    """What a design settles of its section.

    `facts` are the whole's with the joists' where every field agrees. `missing` names what must
    be known before anything can be solved.
    """

    facts: Facts
    doors: tuple[Door, ...]
    missing: tuple[str, ...]

    @property
    def drop(self) -> Fraction | None:
        """The drop asked for, inches; None where it is left open."""
        return self._length(DROP)

    @property
    def rows(self) -> tuple[Fraction, Fraction] | None:
        """The rows asked for, inches below the ledger's top; None unless both are stated."""
        upper, lower = (self._length(name) for name in ROWS)
        return None if upper is None or lower is None else (upper, lower)

    def _length(self, name: str) -> Fraction | None:
        value = self.facts.get(name)
        return value if isinstance(value, Fraction) else None

    def distances(self, *, open_drop: bool = False, open_rows: bool = False) -> list[Distance]:
        """Return the boards as distances, the drop or the rows left open where asked or unknown."""
        left_out = {DROP} if open_drop else set()
        left_out |= set(ROWS) if open_rows else set()
        facts = {n: v for n, v in self.facts.items() if n not in left_out}
        found = [
            fixed(f.start, f.end, f.length, words_for(f, facts))
            for f in fixed_distances(facts)
            if f.start != THRESHOLD and not _told_in_parts(f, facts)
        ]
        for door in self.doors:
            if door.threshold is not None:
                found.append(fixed(door.datum, FLOOR, door.threshold, WORDS[THRESHOLD_HEIGHT]))
            if door.measured is not None and not open_drop:
                label = "step down at the door, as measured"
                found.append(fixed(door.datum, DECK_SURFACE, door.measured, label))
        depth = facts.get("band_joist.depth")
        if DROP not in facts and isinstance(depth, Fraction):
            found.append(against_band_joist(depth))
        return [*found, *through_boards()]


def boards_of(design: PreparedDesign) -> DesignBoards:
    """Return what a design settles of its section."""
    on_ledger = _alike(design, fields_on_ledger(design), JOIST_GEOMETRY)
    facts = {**design.facts(), **on_ledger}
    doors = tuple(
        _door(design, part.name, design.facts("doors", part.name))
        for part in design.design.values("doors")
    )
    missing = [
        SIZES[name] if facts.get("band_joist.kind") == "sawn_lumber" or "ledger" in name else name
        for name in ("band_joist.depth", "ledger.depth")
        if name not in facts
    ]
    return DesignBoards(facts, doors, tuple(missing))


def section_facts(design: PreparedDesign) -> Facts:
    """Return what a design states of its section; a joist's figure counts where all fields agree.

    All fields, on a ledger or not: so the height of the deck is told for a deck that stands free.
    """
    every = [part.name for part in design.design.parts.get("joists", ())]
    return {**design.facts(), **_alike(design, every, (JOISTS, "joists.depth"))}


def surface_height(design: PreparedDesign) -> Fraction | None:
    """Return how far the deck's surface lies below the band joist's top, inches."""
    return known_distances(section_facts(design)).get((BAND_TOP, DECK_SURFACE))


def held_surface(height: Fraction) -> Distance:
    """Hold the deck's surface where it is: the step down at every door stays as designed."""
    return fixed(BAND_TOP, DECK_SURFACE, height, "deck surface as designed")


def stated_distances(
    facts: Facts, free: Iterable[str] = (), *, hung: bool = False
) -> tuple[Distance, ...]:
    """Return what boards and design fix, each by the names of its measures, some set free.

    Rows pass through both boards, the upper above the lower; the deck's surface follows from what
    it rests on. `hung` keeps the joists within the ledger's depth, so that hangers have wood
    behind them (common practice).
    """
    loose = {*free, SURFACE}
    kept = {name: value for name, value in facts.items() if name not in loose}
    found = [
        fixed(item.start, item.end, item.length, " and ".join(map(name_text, item.because)))
        for item in fixed_distances(kept)
    ]
    found += through_boards()
    if hung:
        found += hung_within_ledger()
    return tuple(found)


def hung_within_ledger() -> tuple[Distance, ...]:
    """Return what keeps the joists within the ledger's depth, so that hangers have wood behind them."""
    return _within(LEDGER_TOP, JOISTS_TOP), _within(JOISTS_BOTTOM, LEDGER_BOTTOM)


def _within(start: str, end: str) -> Distance:
    label = "joists hang within the ledger's depth"
    return Distance(start, end, Fraction(0), None, label, "", "common practice", "boards")


def fields_on_ledger(design: PreparedDesign) -> tuple[str, ...]:
    """Name the joist fields, left to right, whose inner end does not hang on a beam."""
    return tuple(
        part.name
        for part in design.design.values("joists")
        if design.facts("joists", part.name).get("joists.inner_support") != "beam"
    )


def _alike(design: PreparedDesign, fields: Iterable[str], quantities: Iterable[str]) -> Facts:
    """Return the joists' figures on which these fields agree."""
    stated = [design.facts("joists", name) for name in fields]
    found: Facts = {}
    for name in quantities:
        values = {field.get(name) for field in stated}
        if len(values) == 1 and (value := values.pop()) is not None:
            found[name] = value
    return found


def _door(design: PreparedDesign, name: str, facts: Facts) -> Door:
    threshold, measured = facts.get(THRESHOLD_HEIGHT), facts.get("doors.step_down")
    return Door(
        name,
        datum_of(THRESHOLD, name, design),
        threshold if isinstance(threshold, Fraction) else None,
        measured if isinstance(measured, Fraction) else None,
    )


def _told_in_parts(item: FixedDistance, facts: Facts) -> bool:
    """Whether joists and decking, both known, say the same as the surface's own height."""
    parts = (JOISTS, "decking.thickness")
    return (item.start, item.end) == (LEDGER_TOP, DECK_SURFACE) and all(p in facts for p in parts)


def words_for(item: FixedDistance, facts: Facts) -> str:
    """Name a board or a wish as a carpenter would.

    >>> words_for(FixedDistance("a", "b", Fraction(37, 4), ("ledger.depth",)),
    ...     {"ledger.size": "2x10"})
    "2x10 ledger's depth"
    """
    quantity = item.because[0]
    words = WORDS.get(quantity, quantity.replace(".", " ").replace("_", " "))
    size = facts.get(SIZES.get(quantity, ""))
    return f"{size} {words}" if size else words


def missing_for_step_down(boards: DesignBoards) -> tuple[str, ...]:
    """Name the quantities without which no step down from the floor can be told."""
    known = {(d.start, d.end) for d in boards.distances()}
    missing: list[str] = []
    if (FLOOR, BAND_TOP) not in known:
        floor = ("floor.subfloor_thickness", "floor.finish_thickness")
        missing += [name for name in floor if name not in boards.facts]
    if (LEDGER_TOP, DECK_SURFACE) not in known:
        if (LEDGER_TOP, JOISTS_TOP) not in known:
            missing.append(JOISTS)
        if (DECK_SURFACE, JOISTS_TOP) not in known:
            missing.append("decking.thickness")
    return tuple(missing)
