"""What a section drawing shows, worked out before any line is drawn."""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from deckclause.answers.sheet import TitleBlock
from deckclause.placement.answers import Ask, Conflict, Extreme
from deckclause.placement.boards import (
    BAND_BOTTOM,
    BAND_TOP,
    LEDGER_BOTTOM,
    LEDGER_TOP,
    LOWER_ROW,
    UPPER_ROW,
    Section,
    SectionError,
    board_distances,
)
from deckclause.placement.conflicts import all_conflicts
from deckclause.placement.constraints import Distance, exact_length_text, fixed
from deckclause.placement.solve import solve
from deckclause.placement.zones import PermittedZones, permitted_zones, tidy_rows

BAND, LEDGER, JOISTS, DECKING, FLOOR, SHEATHING, SILL, UPPER, LOWER = (
    "band joist", "ledger", "joists", "decking", "floor", "sheathing", "sill or plate",
    "upper row", "lower row",
)  # fmt: skip
"""The members of a section, by the names they are drawn with."""


class SectionDrawing(Struct, frozen=True):
    """A section to draw: the boards at one drop, the limits of one rule set, the rows if chosen.

    `rows` are the upper and the lower row's depth below the ledger's top in inches; None lets
    the drawing choose a place on a tape mark near the middle of what is permitted. `sheathing`
    is the gap between ledger and band joist. `undecided` tells that what is not known decides
    whether the limits hold, and that the stricter are drawn. `fasteners` is their kind, where it
    is known. `proposed` are the limits relief is asked from: the section is then drawn as
    proposed, with the value asked for beside each. `guessed` names the members nobody stated:
    they are drawn dashed, with a question mark. `limits_open` tells that what limits the rows is
    not all known, or is an engineer's to say: no place is then shown as open to them.
    """

    block: TitleBlock
    section: Section
    clauses: tuple[Distance, ...]
    rows: tuple[Fraction, Fraction] | None = None
    sheathing: Fraction = Fraction(1, 2)
    undecided: bool = False
    fasteners: str = ""
    proposed: tuple[Distance, ...] = ()
    guessed: frozenset[str] = frozenset()
    limits_open: bool = False


class Scene(Struct, frozen=True):
    """The answers a section drawing prints; positions are inches below the band joist's top.

    `rows` is None where no place for them exists; `conflicts` then says why. Rows that were
    asked for and break a limit are kept, with the conflicts they cause.
    """

    drawing: SectionDrawing
    drop: Fraction
    zones: PermittedZones
    rows: tuple[Fraction, Fraction] | None
    conflicts: tuple[Conflict, ...]
    conflicts_complete: bool
    greatest_drop: Extreme | None
    joist_top: Fraction
    deck_surface: Fraction | None
    step_down: Fraction | None

    @property
    def complies(self) -> bool:
        """Whether the section as drawn keeps every limit."""
        return not self.conflicts


class Deciding(Struct, frozen=True):
    """A limit held against the section as stated: what it comes to, and whether it is kept."""

    limit: Distance
    value: Fraction
    kept: bool


def heights(shown: Scene) -> dict[str, Fraction]:
    """Return where each datum of the section stands below the band joist's top."""
    section = shown.drawing.section
    found = {
        BAND_TOP: Fraction(0),
        BAND_BOTTOM: section.band_joist_depth,
        LEDGER_TOP: shown.drop,
        LEDGER_BOTTOM: shown.drop + section.ledger_depth,
    }
    if shown.rows is not None:
        upper, lower = shown.rows
        found |= {UPPER_ROW: shown.drop + upper, LOWER_ROW: shown.drop + lower}
    return found


def deciding(shown: Scene) -> tuple[Deciding, ...]:
    """Return the limits that decide the rows as stated: those broken, else the one with least to spare.

    None where nobody stated a row or a board, or where a limit is left open.
    """
    drawing = shown.drawing
    guessed = {UPPER, LOWER, BAND, LEDGER} & drawing.guessed
    if shown.rows is None or drawing.rows is None or guessed or drawing.limits_open:
        return ()
    at = heights(shown)
    found = [
        (_margin(item, at[item.end] - at[item.start]), item)
        for item in dict.fromkeys(drawing.clauses)
        if item.start in at and item.end in at
    ]
    told = [
        (margin, Deciding(item, at[item.end] - at[item.start], kept=margin >= 0))
        for margin, item in found
    ]
    broken = tuple(one for margin, one in told if margin < 0)
    if broken or not told or not shown.complies or drawing.undecided:
        return broken
    return (min(told, key=lambda pair: pair[0])[1],)


def _margin(item: Distance, value: Fraction) -> Fraction:
    """Return how far inside its bounds a distance lies; negative: how far outside."""
    inside = [value - item.least] if item.least is not None else []
    inside += [item.most - value] if item.most is not None else []
    return min(inside)


def scene(drawing: SectionDrawing) -> Scene:
    """Solve what the drawing shows.

    Raises SectionError where the drop is open (a drawing shows one), the boards cannot stand, or
    the rows are off the ledger or in the wrong order.
    """
    section = drawing.section
    if section.drop is None:
        raise SectionError("a drawing shows one drop; state the drop of the ledger to draw")
    _check(drawing)
    distances = (*board_distances(section), *drawing.clauses)
    zones = permitted_zones(distances)
    rows, asked = drawing.rows, list(distances)
    if rows is not None:
        asked.append(fixed(LEDGER_TOP, UPPER_ROW, rows[0], "upper row, as asked"))
        asked.append(fixed(LEDGER_TOP, LOWER_ROW, rows[1], "lower row, as asked"))
    elif zones.both_from_ledger.two_rows is not None:
        rows = tidy_rows(zones.both_from_ledger.two_rows)
    conflicts = all_conflicts(asked)
    joist_top = section.drop + joist_offset(section)
    surface = None if section.decking is None else joist_top - section.decking
    build_up = section.floor_build_up
    return Scene(
        drawing,
        section.drop,
        zones,
        rows,
        conflicts.conflicts,
        conflicts.complete,
        _greatest_drop(drawing),
        joist_top,
        surface,
        None if surface is None or build_up is None else surface + build_up,
    )


def _check(drawing: SectionDrawing) -> None:
    depth = drawing.section.ledger_depth
    if drawing.sheathing < 0:
        raise SectionError("the gap between ledger and band joist cannot be negative")
    if drawing.rows is None:
        return
    upper, lower = drawing.rows
    for row, word in ((upper, "upper"), (lower, "lower")):
        if not 0 <= row <= depth:
            raise SectionError(
                f"the {word} row at {exact_length_text(row)} below the ledger's top is not on a "
                f"ledger {exact_length_text(depth)} deep"
            )
    if upper >= lower:
        raise SectionError("the upper row must stand above the lower one; exchange the two")


def joist_offset(section: Section) -> Fraction:
    """Return how far the joists' top stands below the ledger's top, inches."""
    if section.joists == "at_ledger_top":
        return Fraction(0)
    if section.joists == "at_ledger_bottom":
        return section.ledger_depth - (section.joist_depth or section.ledger_depth)
    assert isinstance(section.joists, Fraction)
    return section.joists


def _greatest_drop(drawing: SectionDrawing) -> Extreme | None:
    """Return the greatest drop these boards allow, None where no drop does."""
    open_drop = replace(drawing.section, drop=None)
    answer = solve((*board_distances(open_drop), *drawing.clauses), [Ask(BAND_TOP, LEDGER_TOP)])
    return answer.extremes[0] if answer.is_feasible else None
