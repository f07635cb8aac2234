"""Faults of a design as a whole: values that are fine one by one and cannot stand together.

Only what cannot be built is a fault here. What can be built and breaks a rule is left to the
rules, which say `does not comply`.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from msgspec import Struct

from deckclause.designs.consistency.doors import door_contradictions
from deckclause.designs.consistency.stairs import guard_contradictions, stair_contradictions
from deckclause.designs.derive.facts import derived_facts
from deckclause.designs.design import Design, Facts
from deckclause.designs.whole_deck import facts_from_parts
from deckclause.quantities import length_text

UPPER, LOWER = "fasteners.upper_row_below_ledger_top", "fasteners.lower_row_below_ledger_top"
DROP = "ledger.below_band_joist"
MORE_THAN_NOTHING = (
    "band_joist.depth",
    "band_joist.thickness",
    "decking.thickness",
    "fasteners.diameter",
    "fasteners.spacing",
    "floor.joist_spacing",
    "ledger.length",
)
PARTS_MORE_THAN_NOTHING = {
    "ledger_pieces": ("ledger_pieces.length",),
    "band_joist_pieces": ("band_joist_pieces.length",),
    "joists": ("joists.spacing", "joists.span", "joists.field_width"),
    "doors": (),
    "guards": (),
    "stairs": ("stairs.riser_height", "stairs.total_rise"),
}
CONTRADICTIONS = {
    "doors": door_contradictions,
    "guards": guard_contradictions,
    "stairs": stair_contradictions,
}


class Fault(Struct, frozen=True):
    """One fault: where the value stands in the design file, and what would be right."""

    path: tuple[str | int, ...]
    message: str


def consistency_faults(design: Design) -> tuple[Fault, ...]:
    """Return everything in a design that cannot stand together.

    >>> facts = {"fasteners.upper_row_below_ledger_top": Fraction(6),
    ...     "fasteners.lower_row_below_ledger_top": Fraction(2)}
    >>> [f.path for f in consistency_faults(Design("d", "", facts, {}, "d.yaml", ""))]
    [('fasteners', 'upper_row_below_ledger_top')]
    """
    found = [*whole_faults(derived_facts(design.facts)), *pieces_faults(design)]
    whole = {**design.facts, **facts_from_parts(design)}
    for group in PARTS_MORE_THAN_NOTHING:
        for number, part in enumerate(design.parts.get(group, ())):
            found += part_faults(group, number, derived_facts({**whole, **part.facts}))
    return tuple(found)


def whole_faults(facts: Facts) -> Iterator[Fault]:
    """Find the faults of the deck as a whole, from its facts with the derived ones."""
    for name in MORE_THAN_NOTHING:
        if _length(facts, name) == 0:
            yield _no_length(_at(name), name)
    yield from _rows(facts)
    yield from _drop(facts)
    yield from _sheathing(facts)


def part_faults(group: str, number: int, facts: Facts) -> Iterator[Fault]:
    """Find the faults of one part, from its facts with those of the whole and the derived ones."""
    for name in PARTS_MORE_THAN_NOTHING.get(group, ()):
        if _length(facts, name) == 0:
            yield _no_length((group, number, name.split(".", 1)[1]), name)
    if group == "joists":
        yield from _joists(number, facts)
    if group in CONTRADICTIONS:
        for name, message in CONTRADICTIONS[group](facts):
            yield Fault((group, number, name.split(".", 1)[1]), f"{name}: {message}")


def _no_length(path: tuple[str | int, ...], name: str) -> Fault:
    """Say that a length of nothing stands where a board or a bolt is meant."""
    return Fault(path, f"{name}: 0 in is no length; give more, or leave it out")


def _at(quantity: str) -> tuple[str, ...]:
    return tuple(quantity.split(".", 1))


def _length(facts: Facts, name: str) -> Fraction | None:
    value = facts.get(name)
    return value if isinstance(value, Fraction) else None


def _rows(facts: Facts) -> Iterator[Fault]:
    """Find rows in the wrong order, or off the ledger."""
    upper, lower, depth = (_length(facts, n) for n in (UPPER, LOWER, "ledger.depth"))
    if upper is not None and lower is not None and upper >= lower:
        yield Fault(
            _at(UPPER),
            f"{UPPER}: the upper row at {length_text(upper)} is not above the lower row at "
            f"{length_text(lower)}; exchange the two",
        )
    for name, row in ((UPPER, upper), (LOWER, lower)):
        if row is not None and depth is not None and not 0 < row < depth:
            yield Fault(
                _at(name),
                f"{name}: {length_text(row)} below the ledger's top is not on a ledger "
                f"{length_text(depth)} deep",
            )


def _drop(facts: Facts) -> Iterator[Fault]:
    """Find a ledger that does not meet the band joist."""
    drop, band, ledger = (_length(facts, n) for n in (DROP, "band_joist.depth", "ledger.depth"))
    if drop is not None and band is not None and drop >= band:
        yield Fault(
            _at(DROP),
            f"{DROP}: a drop of {length_text(drop)} puts the ledger below the band joist, which "
            f"is {length_text(band)} deep; give a smaller drop",
        )
    if drop is not None and ledger is not None and -drop >= ledger:
        yield Fault(
            _at(DROP),
            f"{DROP}: {length_text(drop)} puts the whole ledger above the band joist; give how far "
            "its top stands below the band joist's top",
        )


def _joists(number: int, facts: Facts) -> Iterator[Fault]:
    """Find joists that do not meet the ledger they hang on."""
    ledger, depth = _length(facts, "ledger.depth"), _length(facts, "joists.depth")
    below = _length(facts, "joists.below_ledger_top")
    path = ("joists", number, "below_ledger_top")
    if below is not None and ledger is not None and below >= ledger:
        yield Fault(
            path,
            f"joists.below_ledger_top: {length_text(below)} puts the joists below a ledger "
            f"{length_text(ledger)} deep",
        )
    on_top = facts.get("joists.at_ledger") == "bears_on_top"
    if below is not None and depth is not None and -below >= depth and not on_top:
        yield Fault(
            path,
            f"joists.below_ledger_top: {length_text(below)} puts joists {length_text(depth)} "
            "deep wholly above the ledger",
        )


def pieces_faults(design: Design) -> Iterator[Fault]:
    """Find pieces that do not add up to the ledger, and a band joist that is not behind it."""
    ledger = _total(design, "ledger_pieces")
    stated = _length(design.facts, "ledger.length")
    if ledger is not None and stated is not None and ledger != stated:
        yield Fault(
            ("ledger", "length"),
            f"ledger.length: {length_text(stated, 'ft')} is not the {length_text(ledger, 'ft')} "
            "its pieces make together",
        )
    length = ledger if ledger is not None else stated
    band = _total(design, "band_joist_pieces")
    left = _length(design.facts, "band_joist.begins_left_of_ledger")
    if band is None or left is None or length is None:
        return
    if left >= band or -left >= length:
        yield Fault(
            ("band_joist", "begins_left_of_ledger"),
            "band_joist.begins_left_of_ledger: no part of the band joist stands behind the ledger",
        )


def _total(design: Design, group: str) -> Fraction | None:
    parts = design.parts.get(group)
    if not parts:
        return None
    lengths = [_length(part.facts, f"{group}.length") for part in parts]
    known = [length for length in lengths if length is not None]
    return sum(known, Fraction(0)) if len(known) == len(lengths) else None


def _sheathing(facts: Facts) -> Iterator[Fault]:
    thickness = _length(facts, "wall.sheathing_thickness")
    if facts.get("wall.sheathing_kind") == "none" and thickness:
        yield Fault(
            _at("wall.sheathing_thickness"),
            f"wall.sheathing_thickness: {length_text(thickness)} of no sheathing; name its kind, or "
            "give 0 in",
        )
