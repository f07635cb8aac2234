"""The fewest fasteners along a ledger, exactly.

The least count and its proof: `farthest`. The choice among layouts of that count: `tidy`.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from fractions import Fraction

from msgspec import Struct

from deckclause.placement.farthest import farthest_right, track_of
from deckclause.placement.layout_conflicts import LayoutConflict, layout_conflicts
from deckclause.placement.ledger_line import LedgerLine
from deckclause.placement.tidy import tidy


class Fastener(Struct, frozen=True):
    """One fastener: where along the wall, in which ledger piece (from 1), in which row."""

    number: int
    position: Fraction
    piece: int
    from_left_end: Fraction
    from_right_end: Fraction
    row: str


class Layout(Struct, frozen=True):
    """The fewest fasteners for a ledger, or why there is no layout.

    `farthest` is the proof that no fewer do: no permitted layout's k-th fastener stands farther
    right than the k-th of these. `grid` is the tape mark (inches) each distance from a piece's
    left end is a whole number of, None where no mark down to 1/16 in gives so few.
    """

    line: LedgerLine
    fasteners: tuple[Fastener, ...]
    conflicts: tuple[LayoutConflict, ...]
    farthest: tuple[Fraction, ...] = ()
    grid: Fraction | None = None
    cautions: tuple[str, ...] = ()

    @property
    def is_feasible(self) -> bool:
        """Whether a permitted layout exists."""
        return not self.conflicts

    @property
    def count(self) -> int:
        """How many fasteners the layout has."""
        return len(self.fasteners)


def lay_out(line: LedgerLine) -> Layout:
    """Return the fewest fasteners along the ledger, tidy where that costs none.

    >>> from deckclause.placement.ledger_line import EndLimit, Run, SpacingField
    >>> ends = EndLimit(Fraction(2), Fraction(5), "end distance")
    >>> line = LedgerLine(
    ...     Run(Fraction(0), Fraction(120)), Run(Fraction(-24), Fraction(240), name="band joist"),
    ...     ends, ends, (SpacingField(Fraction(0), Fraction(120), Fraction(18), "10 ft joists"),))
    >>> layout = lay_out(line)
    >>> layout.count, [str(f.position) for f in layout.fasteners]
    (8, ['4', '20', '36', '52', '68', '84', '100', '116'])
    """
    track = track_of(line)
    farthest = farthest_right(track)
    if farthest is None:
        conflicts = layout_conflicts(line)
        if not conflicts:
            raise AssertionError("no layout was found and no reason why; please report this line")
        return Layout(line, (), conflicts)
    chosen, grid = tidy(line, track, farthest)
    fasteners = _numbered(line, chosen)
    return Layout(line, fasteners, (), farthest, grid, _cautions(line, fasteners))


def _numbered(line: LedgerLine, positions: Sequence[Fraction]) -> tuple[Fastener, ...]:
    found: list[Fastener] = []
    for index, x in enumerate(positions):
        piece, (start, end) = next(
            (n, p) for n, p in enumerate(line.ledger.pieces, 1) if p[0] <= x <= p[1]
        )
        row = line.rows[index % len(line.rows)]
        found.append(Fastener(index + 1, x, piece, x - start, end - x, row))
    return tuple(found)


def _cautions(line: LedgerLine, fasteners: Sequence[Fastener]) -> tuple[str, ...]:
    held = Counter(f.piece for f in fasteners)
    single = [n for n in range(1, len(line.ledger.pieces) + 1) if held[n] == 1]
    cautions = [f"Ledger piece {n} is held by one fastener only; it can turn." for n in single]
    return (*line.notes, *cautions)
