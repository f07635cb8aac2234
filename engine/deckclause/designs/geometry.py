"""The vertical section and the lines along the ledger: which distances a design already fixes.

Every fixed distance is an equality between two datums, measured downward. Joined together they
give any distance between datums that hang together; the others are unknown, not zero.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from functools import lru_cache

from msgspec import Struct

from deckclause.designs.design import Facts
from deckclause.rulesets.clauses import Scalar


class FixedDistance(Struct, frozen=True):
    """`end` lies `length` inches below `start`, because of what the design states in `because`."""

    start: str
    end: str
    length: Fraction
    because: tuple[str, ...]


_VERTICAL: tuple[tuple[str, str, str, int], ...] = (
    ("band_joist.top_edge", "band_joist.bottom_edge", "band_joist.depth", 1),
    ("ledger.top_edge", "ledger.bottom_edge", "ledger.depth", 1),
    ("joists.top_edge", "joists.bottom_edge", "joists.depth", 1),
    ("band_joist.top_edge", "ledger.top_edge", "ledger.below_band_joist", 1),
    ("ledger.top_edge", "joists.top_edge", "joists.below_ledger_top", 1),
    ("ledger.top_edge", "fasteners.upper_row", "fasteners.upper_row_below_ledger_top", 1),
    ("ledger.top_edge", "fasteners.lower_row", "fasteners.lower_row_below_ledger_top", 1),
    ("deck.surface", "joists.top_edge", "decking.thickness", 1),
    ("ledger.top_edge", "deck.surface", "deck.surface_below_ledger_top", 1),
)
"""(start, end, quantity, sign): `end` lies `quantity` below `start`."""

_ALONG: tuple[tuple[str, str, str], ...] = (
    ("ledger.end", "fasteners.any", "fasteners.end_distance_on_ledger"),
    ("ledger.end", "fasteners.first", "fasteners.first_from_ledger_end"),
    ("band_joist.end", "fasteners.any", "fasteners.end_distance_on_band_joist"),
    ("band_joist.end", "fasteners.first", "fasteners.first_from_band_joist_end"),
)


_FLOOR = ("floor.subfloor_thickness", "floor.finish_thickness")
_THRESHOLD = "doors.threshold_above_floor"
_MEASURED = "doors.step_down"
READ: tuple[str, ...] = (
    *(quantity for _, _, quantity, _ in _VERTICAL),
    *_FLOOR,
    _THRESHOLD,
    *(quantity for _, _, quantity in _ALONG),
    _MEASURED,
)
"""Every quantity a known distance may rest on."""


def fixed_distances(facts: Facts) -> tuple[FixedDistance, ...]:
    """Return the vertical distances a design fixes, each with the quantities it rests on (inch)."""
    fixed = []
    for start, end, quantity, sign in _VERTICAL:
        value = facts.get(quantity)
        if isinstance(value, Fraction):
            fixed.append(FixedDistance(start, end, sign * value, (quantity,)))
    floor = [facts.get(q) for q in _FLOOR]
    if all(isinstance(v, Fraction) for v in floor):
        length = sum((v for v in floor if isinstance(v, Fraction)), Fraction(0))
        fixed.append(FixedDistance("floor.interior", "band_joist.top_edge", length, _FLOOR))
    threshold = facts.get(_THRESHOLD)
    if isinstance(threshold, Fraction):
        fixed.append(FixedDistance("door.threshold", "floor.interior", threshold, (_THRESHOLD,)))
    return tuple(fixed)


def known_distances(facts: Mapping[str, Scalar | None]) -> dict[tuple[str, str], Fraction]:
    """Return every distance the design fixes, by (start, end), in inches.

    >>> known = known_distances({"ledger.depth": Fraction(37, 4),
    ...     "fasteners.lower_row_below_ledger_top": Fraction(13, 2)})
    >>> known["fasteners.lower_row", "ledger.bottom_edge"]
    Fraction(11, 4)
    """
    stated = (facts.get(name) for name in READ)
    values = tuple(v if isinstance(v, Fraction) else None for v in stated)
    if any(type(v) is not Fraction for v in values if v is not None):
        # a number that writes down what becomes of it (columns) equals a plain one and is not one:
        # neither may be given what was kept for the other
        return _known.__wrapped__(values)
    return dict(_known(values))


@lru_cache(maxsize=4096)
def _known(values: tuple[Fraction | None, ...]) -> dict[tuple[str, str], Fraction]:
    """Work the distances out once for the values they rest on: most parts of a deck share them."""
    facts: Facts = {name: v for name, v in zip(READ, values, strict=True) if v is not None}
    offsets: dict[str, tuple[str, Fraction]] = {}
    for fixed in fixed_distances(facts):
        _join(offsets, fixed)
    known: dict[tuple[str, str], Fraction] = {}
    for one, (root, place) in offsets.items():
        for two, (other_root, other_place) in offsets.items():
            if one != two and root == other_root:
                known[one, two] = other_place - place
    for start, end, quantity in _ALONG:
        value = facts.get(quantity)
        if isinstance(value, Fraction):
            known[start, end] = value
    _measured_step_down(facts, known)
    return known


def _measured_step_down(facts: Facts, known: dict[tuple[str, str], Fraction]) -> None:
    """Add a step-down measured at the door; where the parts add up otherwise, neither is known."""
    measured = facts.get(_MEASURED)
    if not isinstance(measured, Fraction):
        return
    start, end = STEP_DOWN
    if known.get(STEP_DOWN, measured) == measured:
        known[start, end], known[end, start] = measured, -measured
    else:
        del known[start, end], known[end, start]


def _join(offsets: dict[str, tuple[str, Fraction]], fixed: FixedDistance) -> None:
    for datum in (fixed.start, fixed.end):
        offsets.setdefault(datum, (datum, Fraction(0)))
    root, place = offsets[fixed.start]
    other, other_place = offsets[fixed.end]
    if root == other:
        return
    shift = place + fixed.length - other_place
    for datum, (its_root, its_place) in list(offsets.items()):
        if its_root == other:
            offsets[datum] = (root, its_place + shift)


STEP_DOWN = ("door.threshold", "deck.surface")
"""The pair of datums of a step down at a door."""

STEP_DOWN_PARTS = (
    "doors.threshold_above_floor",
    "floor.finish_thickness",
    "floor.subfloor_thickness",
    "ledger.below_band_joist",
    "deck.surface_below_ledger_top",
)
"""What a step down adds up from, where the deck hangs on a ledger."""

QUESTIONS: dict[str, str] = {
    "band_joist.top_edge": "band_joist.depth",
    "band_joist.bottom_edge": "band_joist.depth",
    "ledger.bottom_edge": "ledger.size",
    "fasteners.upper_row": "fasteners.upper_row_below_ledger_top",
    "fasteners.lower_row": "fasteners.lower_row_below_ledger_top",
    "joists.top_edge": "joists.below_ledger_top",
    "deck.surface": "decking.thickness",
    "floor.interior": "floor.finish_thickness",
    "door.threshold": "doors.threshold_above_floor",
}


def missing_for(start: str, end: str, facts: Facts) -> tuple[str, ...]:
    """Name the quantities to ask for before the distance from `start` to `end` is known."""
    for a, b, quantity in _ALONG:
        if (a, b) == (start, end):
            return (quantity,)
    if (start, end) == STEP_DOWN:
        return _missing_for_step_down(facts)
    names: list[str] = []
    ends = (start, end)
    if any(d.startswith("band_joist") for d in ends) and any(
        not d.startswith(("band_joist", "floor", "door")) for d in ends
    ):
        names.append("ledger.below_band_joist")
    for datum in ends:
        if datum in QUESTIONS:
            names.append(QUESTIONS[datum])
    if "band_joist.top_edge" in ends:
        names = [n for n in names if n != "band_joist.depth"]
    return tuple(dict.fromkeys(n for n in names if n not in facts)) or (f"{start} to {end}",)


def _missing_for_step_down(facts: Facts) -> tuple[str, ...]:
    missing = tuple(name for name in STEP_DOWN_PARTS if name not in facts)
    if facts.get("deck.attachment") == "freestanding" or not missing:
        return ("doors.step_down",)
    return missing


def distance_rests_on(start: str, end: str, facts: Facts) -> tuple[str, ...]:
    """Name the quantities a known distance is worked out from, in order along its chain.

    >>> distance_rests_on("fasteners.lower_row", "ledger.bottom_edge", {
    ...     "ledger.depth": Fraction(37, 4), "fasteners.lower_row_below_ledger_top": Fraction(13, 2)})
    ('fasteners.lower_row_below_ledger_top', 'ledger.depth')
    """
    for a, b, quantity in _ALONG:
        if (a, b) == (start, end):
            return (quantity,) if quantity in facts else ()
    fixed = fixed_distances(facts)
    chains: dict[str, tuple[str, ...]] = {start: ()}
    waiting = [start]
    while waiting:
        here = waiting.pop(0)
        for link in fixed:
            for one, other in ((link.start, link.end), (link.end, link.start)):
                if one == here and other not in chains:
                    chains[other] = (*chains[here], *link.because)
                    waiting.append(other)
    return tuple(dict.fromkeys(chains.get(end, ())))
