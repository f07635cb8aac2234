"""The ledger and the band joist along the wall: pieces, ends, joist fields, what to keep clear.

Positions run from left to right along the wall in inches, seen from outside.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from itertools import pairwise

from msgspec import Struct, field
from msgspec.structs import force_setattr, replace

from deckclause.placement.constraints import Exact, exact, exact_length_text


class LayoutError(ValueError):
    """A ledger that cannot be laid out as described; the message says what would be right."""


class Run(Struct, frozen=True):
    """A line of boards end to end from `start` to `end`, butting at each splice.

    Raises LayoutError for an end before the start or a splice outside the boards.

    >>> Run(Fraction(0), Fraction(240), (Fraction(120),)).pieces
    ((Fraction(0, 1), Fraction(120, 1)), (Fraction(120, 1), Fraction(240, 1)))
    """

    start: Fraction
    end: Fraction
    splices: tuple[Fraction, ...] = ()
    name: str = "ledger"

    def __post_init__(self) -> None:
        start, end = exact(self.start, f"{self.name} start"), exact(self.end, f"{self.name} end")
        splices = tuple(sorted({exact(s, f"{self.name} splice") for s in self.splices}))
        force_setattr(self, "start", start)
        force_setattr(self, "end", end)
        force_setattr(self, "splices", splices)
        if end <= start:
            raise LayoutError(
                f"the {self.name} ends at {exact_length_text(end)}, not beyond its start at "
                f"{exact_length_text(start)}; give a length of more than 0 in"
            )
        outside = [s for s in splices if not start < s < end]
        if outside:
            raise LayoutError(
                f"a splice at {exact_length_text(outside[0])} is not within the {self.name}, which "
                f"runs from {exact_length_text(start)} to {exact_length_text(end)}"
            )

    @property
    def pieces(self) -> tuple[tuple[Fraction, Fraction], ...]:
        """The pieces, left to right, as (start, end) in inches."""
        cuts = (self.start, *self.splices, self.end)
        return tuple(pairwise(cuts))


class EndLimit(Struct, frozen=True):
    """How near the end of a piece a fastener may stand, and how far the first one may.

    `least` must be more than nothing: no fastener stands on a splice. `most` is None where
    nothing bounds the first fastener.
    """

    least: Fraction
    most: Fraction | None
    label: str
    cites: str = ""

    def __post_init__(self) -> None:
        force_setattr(self, "least", exact(self.least, self.label))
        if self.least <= 0:
            raise LayoutError(f"'{self.label}' must keep fasteners more than 0 in from an end")
        if self.most is not None:
            force_setattr(self, "most", exact(self.most, self.label))
            if self.most < self.least:
                raise LayoutError(
                    f"'{self.label}' wants the first fastener within "
                    f"{exact_length_text(self.most)} of an end but not within "
                    f"{exact_length_text(self.least)}"
                )


class SpacingField(Struct, frozen=True):
    """A part of the ledger whose joist span sets one limit on the spacing of fasteners."""

    start: Fraction
    end: Fraction
    most: Fraction
    label: str
    cites: str = ""

    def __post_init__(self) -> None:
        for name in ("start", "end", "most"):
            force_setattr(self, name, exact(getattr(self, name), f"{self.label} {name}"))
        if self.end <= self.start:
            raise LayoutError(f"the field '{self.label}' ends before it starts")
        if self.most <= 0:
            raise LayoutError(f"'{self.label}': a spacing limit is more than 0 in")


class ClearBand(Struct, frozen=True):
    """A part of the ledger kept free of fasteners: the edges may be used, the inside not."""

    start: Fraction
    end: Fraction
    label: str
    cites: str = ""

    def __post_init__(self) -> None:
        for name in ("start", "end"):
            force_setattr(self, name, exact(getattr(self, name), f"{self.label} {name}"))
        if self.end <= self.start:
            raise LayoutError(f"'{self.label}' has no width")


class LedgerLine(Struct, frozen=True):
    """Everything that decides where fasteners may stand along one ledger.

    The fields together must cover the ledger. `rows` names the rows in the order they
    alternate; one name means a single row. Raises LayoutError for a ledger with no limit for
    its first fastener, a stretch with no spacing limit, or boards that do not overlap.
    """

    ledger: Run
    band_joist: Run
    ledger_ends: EndLimit
    band_joist_ends: EndLimit
    fields: tuple[SpacingField, ...]
    clear: tuple[ClearBand, ...] = ()
    rows: tuple[str, ...] = ("lower", "upper")
    notes: tuple[str, ...] = field(default=())

    def __post_init__(self) -> None:
        if self.ledger_ends.most is None:
            raise LayoutError(
                "not known: no rule says how near the end of a ledger piece its first "
                "fastener must stand; state one to lay the ledger out"
            )
        if not self.rows or len(set(self.rows)) != len(self.rows):
            raise LayoutError("name each row once, such as lower and upper")
        if self.band_joist.end <= self.ledger.start or self.ledger.end <= self.band_joist.start:
            raise LayoutError("the ledger and the band joist do not overlap along the wall")
        reached = self.ledger.start
        for part in sorted(self.fields, key=lambda f: f.start):
            if part.start > reached:
                break
            reached = max(reached, part.end)
        if reached < self.ledger.end:
            raise LayoutError(
                f"no spacing limit is given for the ledger beyond {exact_length_text(reached)}"
            )


def joist_lines(first: Exact, spacing: Exact, end: Exact) -> tuple[Fraction, ...]:
    """Return the centre lines of joists from `first` at `spacing` up to `end`, in inches.

    >>> [str(x) for x in joist_lines(16, 16, 50)]
    ['16', '32', '48']
    """
    at, step = exact(first, "first joist"), exact(spacing, "joist spacing")
    stop = exact(end, "end of the joists")
    if step <= 0:
        raise LayoutError(f"joist spacing is {exact_length_text(step)}; it must be more than 0 in")
    return tuple(at + k * step for k in range(max(0, int((stop - at) // step) + 1)))


def clear_of_joists(
    lines: Iterable[Fraction], thickness: Exact, clearance: Exact, label: str = "joist"
) -> tuple[ClearBand, ...]:
    """Return the bands that keep fasteners `clearance` inches from each joist's faces."""
    half = exact(thickness, "joist thickness") / 2 + exact(clearance, "clearance")
    return tuple(
        ClearBand(x - half, x + half, f"{label} {number}") for number, x in enumerate(lines, 1)
    )


UNKNOWN_SPLICES_ADVICE = (
    "Band joist splices not known. Find them from inside; look for a change of grain, or a mark on "
    "both faces of a joist; or treat every joist line as a possible end."
)


def with_every_joist_line_an_end(line: LedgerLine, lines: Sequence[Fraction]) -> LedgerLine:
    """Return the line with a band joist splice at every joist line inside the band joist.

    A layout of that line holds wherever the splices turn out to be among those lines: fewer
    splices only lift limits.
    """
    band = line.band_joist
    possible = tuple(x for x in lines if band.start < x < band.end)
    worst = Run(band.start, band.end, (*band.splices, *possible), band.name)
    note = "Band joist splices not known: every joist line is taken as a possible end."
    return replace(line, band_joist=worst, notes=(*line.notes, note))
