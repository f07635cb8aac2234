"""Choose, among layouts of the fewest fasteners, one a carpenter would mark.

The coarsest tape mark on which the fewest still suffice; on that mark, the least greatest spacing;
of the layouts left, one midway between the farthest right and the farthest left where that
complies. Each is found by the farthest-right method itself, with the stretches cut down to marks
or the limit cut down, so that the count is seen not to rise.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from itertools import pairwise
from math import ceil, floor

from msgspec.structs import replace

from deckclause.placement.clear_stretches import Stretch, Window
from deckclause.placement.farthest import Track, farthest_right
from deckclause.placement.layout_check import check_layout
from deckclause.placement.ledger_line import LedgerLine, SpacingField
from deckclause.placement.zones import GRIDS

Positions = tuple[Fraction, ...]


def tidy(line: LedgerLine, track: Track, farthest: Positions) -> tuple[Positions, Fraction | None]:
    """Return positions as few as `farthest`, and the mark they stand on (None if on none)."""
    for grid in GRIDS:
        marked = on_marks(track, grid)
        placed = farthest_right(marked)
        if placed is not None and len(placed) == len(farthest):
            evened, track_used = _evened(marked, grid, placed)
            return _midway(line, track_used, grid, evened), grid
    return farthest, None


def on_marks(track: Track, grid: Fraction) -> Track:
    """Cut the stretches down to whole numbers of `grid` inches from each piece's left end."""
    kept: list[Stretch] = []
    for stretch in track.stretches:
        origin = track.origins[stretch.piece]
        start = origin + ceil((stretch.start - origin) / grid) * grid
        end = origin + floor((stretch.end - origin) / grid) * grid
        if start <= end:
            kept.append(Stretch(start, end, stretch.piece))
    return replace(track, stretches=tuple(kept), grid=grid)


def _evened(track: Track, grid: Fraction, placed: Positions) -> tuple[Positions, Track]:
    """Lower the greatest spacing as far as the count allows, by halving the range of caps."""
    widest = max((b - a for a, b in pairwise(placed)), default=grid)
    low, high, best, used = 0, ceil(widest / grid), placed, track
    while high - low > 1:
        middle = (low + high) // 2
        capped = replace(track, cap=middle * grid)
        found = farthest_right(capped)
        if found is not None and len(found) == len(placed):
            high, best, used = middle, found, capped
        else:
            low = middle
    return best, used


def _midway(line: LedgerLine, track: Track, grid: Fraction, right: Positions) -> Positions:
    """Stand each fastener midway between its farthest right and farthest left, if that complies."""
    turned = farthest_right(_turned(track))
    if turned is None or len(turned) != len(right):
        return right
    left = tuple(-x for x in reversed(turned))
    middle = tuple(_near_mark(line, (a + b) / 2, grid) for a, b in zip(left, right, strict=True))
    widest = max((b - a for a, b in pairwise(right)), default=grid)
    even = all(b - a <= widest for a, b in pairwise(middle))
    return middle if even and not check_layout(line, middle) else right


def _near_mark(line: LedgerLine, x: Fraction, grid: Fraction) -> Fraction:
    origin = max(start for start, _ in line.ledger.pieces if start <= x)
    return origin + (x - origin) // grid * grid


def _turned(track: Track) -> Track:
    """Return the track seen from behind: right becomes left."""
    return replace(
        track,
        stretches=tuple(Stretch(-s.end, -s.start, s.piece) for s in reversed(track.stretches)),
        windows=_by_end(Window(-w.end, -w.start, w.label) for w in track.windows),
        fields=tuple(
            sorted(
                (SpacingField(-f.end, -f.start, f.most, f.label, f.cites) for f in track.fields),
                key=lambda f: (f.start, f.end),
            )
        ),
        origins=tuple(-x for x in track.origins),
    )


def _by_end(windows: Iterable[Window]) -> tuple[Window, ...]:
    return tuple(sorted(windows, key=lambda w: (w.end, w.start)))
