"""The farthest-right method: the fewest points on a line, and why it is the fewest.

The question. Choose points on a line, in given closed stretches, so that every required window
holds one and consecutive points are no farther apart than their limit, with as few points as can
be. The limit for two consecutive points x < y is the least limit of any joist field their open
interval overlaps.

The method. Place each fastener as far right as it may go: in a stretch, within reach of the one
before, and not beyond the right end of a window still without a fastener.

Why it is least. Let `reach(x)` be the farthest y within the limit of x. As y grows the limit can
only fall, so all points up to `reach(x)` are within the limit; and if x < x' < y and y is within
reach of x, it is within reach of x' (shorter, and overlapping no more fields): `reach` never
falls. Let z1 < z2 < ... be any permitted layout and y1 < y2 < ... ours. Claim: y_k >= z_k for
every k.
(1) A window [a, b] with a <= y_k holds one of y_1..y_k. For let y_i be the first of ours with
    y_i >= a; the window was then without a fastener, so y_i <= b by the method.
(2) Suppose y_k >= z_k and that some z lies right of y_k; let z_j be the first such, so
    z_(j-1) <= y_k. Then z_j is in a stretch; z_j <= reach(z_(j-1)) <= reach(y_k); and z_j is not
    beyond a window still without a fastener: such a window has a > y_k by (1), so it holds no z
    before z_j, and were its b < z_j it would hold none at all. So z_j was open to us, and
    y_(k+1) >= z_j >= z_(k+1). If no z lies right of y_k, every window has a <= y_k, and by (1)
    we are done.
For the first fastener the same holds with the windows alone. Hence ours stops no later than any
permitted layout, and stops without an answer only where there is none. The tests compare the
count with mixed-integer programming.
"""

from __future__ import annotations

from bisect import bisect_right
from fractions import Fraction

from msgspec import Struct

from deckclause.placement.clear_stretches import (
    Stretch,
    Window,
    clear_stretches,
    required_windows,
)
from deckclause.placement.ledger_line import LedgerLine, SpacingField
from deckclause.placement.reach import reach, sorted_fields


class Track(Struct, frozen=True):
    """A ledger made ready for the method: stretches, windows and fields, each sorted.

    `grid` (inches) keeps points to whole numbers of it from each piece's left end, whose
    positions are `origins`; the stretches then begin and end on such marks. `cap` bounds every
    spacing besides the fields.
    """

    stretches: tuple[Stretch, ...]
    windows: tuple[Window, ...]
    fields: tuple[SpacingField, ...]
    origins: tuple[Fraction, ...]
    grid: Fraction | None = None
    cap: Fraction | None = None


def track_of(line: LedgerLine) -> Track:
    """Return a ledger's stretches, windows and fields, ready for the method."""
    return Track(
        clear_stretches(line),
        required_windows(line),
        sorted_fields(line.fields),
        tuple(start for start, _ in line.ledger.pieces),
    )


def farthest_right(track: Track) -> tuple[Fraction, ...] | None:
    """Place each fastener as far right as it may go; None where no layout exists."""
    starts = [s.start for s in track.stretches]
    placed: list[Fraction] = []
    waiting = 0
    if any(w.start > w.end for w in track.windows):
        return None
    while waiting < len(track.windows):
        window = track.windows[waiting]
        if placed and window.start <= placed[-1]:
            waiting += 1
            continue
        limit = window.end
        if placed:
            limit = min(limit, reach(track.fields, placed[-1]))
            if track.cap is not None:
                limit = min(limit, placed[-1] + track.cap)
        index = bisect_right(starts, limit) - 1
        if index < 0:
            return None
        point = _on_mark(track, track.stretches[index], limit)
        if placed and point <= placed[-1]:
            return None
        placed.append(point)
    return tuple(placed)


def _on_mark(track: Track, stretch: Stretch, limit: Fraction) -> Fraction:
    point = min(limit, stretch.end)
    if track.grid is None:
        return point
    origin = track.origins[stretch.piece]
    return origin + (point - origin) // track.grid * track.grid
