"""The boards of a section as distances: depths, drop, joists, decking, floor.

Positions are measured downward, so a board's top edge comes before its bottom edge. Everything
here is geometry of the lumber and the design, never a rule: kind `boards`.
"""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from typing import Literal

from msgspec import Struct

from deckclause.placement.constraints import Distance, Exact, exact, exact_length_text, fixed

BAND_TOP = "band_joist.top_edge"
BAND_BOTTOM = "band_joist.bottom_edge"
LEDGER_TOP = "ledger.top_edge"
LEDGER_BOTTOM = "ledger.bottom_edge"
JOISTS_TOP = "joists.top_edge"
JOISTS_BOTTOM = "joists.bottom_edge"
UPPER_ROW = "fasteners.upper_row"
LOWER_ROW = "fasteners.lower_row"
DECK_SURFACE = "deck.surface"
FLOOR = "floor.interior"
THRESHOLD = "door.threshold"

Joists = Literal["at_ledger_top", "at_ledger_bottom"]


class SectionError(ValueError):
    """Boards that cannot stand as described; the message says what would be right."""


class Section(Struct, frozen=True):
    """The boards of one vertical section, lengths in inches; None where not known or left open.

    `drop` is how far the ledger's top stands below the band joist's top. `joists` says how the
    deck joists meet the ledger: tops level, bottoms level, or a length: how far their top stands
    below the ledger's top (negative: above it). `floor_build_up` is everything above the band
    joist's top inside: subfloor, underlayment, finish. `threshold` is the height of the door's
    threshold above that floor. The names say
    the sizes in words, such as `2x10 band joist`.
    """

    band_joist_depth: Fraction
    ledger_depth: Fraction
    drop: Fraction | None = None
    joist_depth: Fraction | None = None
    joists: Joists | Fraction = "at_ledger_top"
    decking: Fraction | None = None
    floor_build_up: Fraction | None = None
    threshold: Fraction | None = None
    band_joist_name: str = "band joist"
    ledger_name: str = "ledger"
    joist_name: str = "joist"


def board_distances(section: Section) -> tuple[Distance, ...]:
    """Return the section's boards as distances.

    A fastener must go through both boards, so each row is kept within both, and the upper row
    above the lower one. The ledger is kept against the band joist: not above its top, and at
    least touching it. Raises SectionError for a depth or thickness that is not more than
    nothing, or a drop that leaves no overlap.

    >>> boards = board_distances(Section(Fraction(37, 4), Fraction(37, 4), drop=Fraction(0)))
    >>> boards[0]
    Distance(band_joist.top_edge -> band_joist.bottom_edge, 9-1/4 in, 'band joist depth')
    """
    _check(section)
    return (
        fixed(BAND_TOP, BAND_BOTTOM, section.band_joist_depth, f"{section.band_joist_name} depth"),
        fixed(LEDGER_TOP, LEDGER_BOTTOM, section.ledger_depth, f"{section.ledger_name} depth"),
        *_drop(section),
        *_joists(section),
        *_floor(section),
        *through_boards(),
    )


@cache
def through_boards() -> tuple[Distance, ...]:
    """Return what keeps each row within both boards, and the upper row above the lower one."""
    found: list[Distance] = []
    for row, word in ((UPPER_ROW, "upper row"), (LOWER_ROW, "lower row")):
        for board, top, bottom in (
            ("ledger", LEDGER_TOP, LEDGER_BOTTOM),
            ("band joist", BAND_TOP, BAND_BOTTOM),
        ):
            label = f"{word} passes through the {board}"
            found.append(_at_least(top, row, Fraction(0), label))
            found.append(_at_least(row, bottom, Fraction(0), label))
    found.append(_at_least(UPPER_ROW, LOWER_ROW, Fraction(0), "upper row above the lower"))
    return tuple(found)


def against_band_joist(band_joist_depth: Fraction) -> Distance:
    """Return what an open drop is free within: the ledger's top on the band joist, edges included."""
    label = "ledger stands against the band joist"
    return Distance(
        BAND_TOP, LEDGER_TOP, Fraction(0), band_joist_depth, label, "", "derived", "boards"
    )


def _at_least(start: str, end: str, length: Fraction, label: str) -> Distance:
    return Distance(start, end, length, None, label, "", "derived", "boards")


def _drop(section: Section) -> list[Distance]:
    if section.drop is not None:
        return [fixed(BAND_TOP, LEDGER_TOP, section.drop, "drop of the ledger, as asked")]
    return [against_band_joist(section.band_joist_depth)]


def _joists(section: Section) -> list[Distance]:
    found: list[Distance] = []
    if section.joist_depth is not None:
        name = f"{section.joist_name} depth"
        found.append(fixed(JOISTS_TOP, JOISTS_BOTTOM, section.joist_depth, name))
    if section.joists == "at_ledger_top":
        found.append(fixed(LEDGER_TOP, JOISTS_TOP, 0, "joist tops level with the ledger's top"))
    elif section.joists == "at_ledger_bottom":
        if section.joist_depth is not None:
            label = "joist bottoms level with the ledger's bottom"
            found.append(fixed(LEDGER_BOTTOM, JOISTS_BOTTOM, 0, label))
    else:
        found.append(fixed(LEDGER_TOP, JOISTS_TOP, section.joists, "joist tops below ledger's top"))
    return found


def _floor(section: Section) -> list[Distance]:
    found: list[Distance] = []
    if section.decking is not None:
        found.append(fixed(DECK_SURFACE, JOISTS_TOP, section.decking, "decking thickness"))
    if section.floor_build_up is not None:
        label = "floor above the band joist"
        found.append(fixed(FLOOR, BAND_TOP, section.floor_build_up, label))
        if section.threshold is not None:
            found.append(fixed(THRESHOLD, FLOOR, section.threshold, "door threshold"))
    return found


def missing_for_step_down(section: Section) -> tuple[str, ...]:
    """Name what must be known before a step-down at the door can be told.

    >>> missing_for_step_down(Section(Fraction(37, 4), Fraction(37, 4), decking=Fraction(1)))
    ('the floor build-up above the band joist (subfloor and finish floor)',)
    """
    missing: list[str] = []
    if section.decking is None:
        missing.append("the decking thickness")
    if section.floor_build_up is None:
        missing.append("the floor build-up above the band joist (subfloor and finish floor)")
    if section.joists == "at_ledger_bottom" and section.joist_depth is None:
        missing.append("the joist depth (joists stand level with the ledger's bottom)")
    return tuple(missing)


def _check(section: Section) -> None:
    _positive(section.band_joist_depth, "band joist depth")
    _positive(section.ledger_depth, "ledger depth")
    for value, what in (
        (section.joist_depth, "joist depth"),
        (section.decking, "decking thickness"),
    ):
        if value is not None:
            _positive(value, what)
    for value, what in (
        (section.floor_build_up, "floor build-up"),
        (section.threshold, "threshold"),
    ):
        if value is not None and exact(value, what) < 0:
            raise SectionError(f"{what} is {exact_length_text(value)}; it cannot be negative")
    if section.drop is not None:
        _check_drop(section, exact(section.drop, "drop"))


def _check_drop(section: Section, drop: Fraction) -> None:
    if drop >= section.band_joist_depth:
        raise SectionError(
            f"a drop of {exact_length_text(drop)} puts the ledger's top below the band joist, which "
            f"is {exact_length_text(section.band_joist_depth)} deep; give a smaller drop"
        )
    if drop <= -section.ledger_depth:
        raise SectionError(
            f"a drop of {exact_length_text(drop)} puts the whole ledger above the band joist; "
            "give how far its top stands below the band joist's top"
        )


def _positive(value: Exact, what: str) -> None:
    if exact(value, what) <= 0:
        raise SectionError(f"{what} is {exact_length_text(value)}; it must be more than 0 in")
