"""Why a ledger cannot be laid out: a window with no place in it, or a gap too long to span.

These two are all there can be. The farthest-right method stops without an answer only at the
right end u of a stretch (anywhere else a little more of the same stretch is open) with the next
stretch beginning at v: either v is beyond reach of u, so that no two fasteners span the gap; or
v is beyond the right end of a window that begins after u, so that the window has no place.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from typing import Literal

from msgspec import Struct

from deckclause.placement.clear_stretches import (
    clear_stretches,
    closed_intervals,
    required_windows,
)
from deckclause.placement.constraints import exact_length_text
from deckclause.placement.ledger_line import LedgerLine
from deckclause.placement.reach import least_limit, reach, sorted_fields


class LayoutConflict(Struct, frozen=True):
    """Part of the ledger (inches) where no fastener can stand though one must.

    `kind` is `no place` (a required window is all closed) or `gap` (a closed part longer than
    the spacing limit). `limit` says which requirement fails, `causes` what closes the part;
    `shortfall` is how far the gap goes over the spacing limit, None for a window.
    """

    kind: Literal["no place", "gap"]
    start: Fraction
    end: Fraction
    limit: str
    causes: tuple[str, ...]
    shortfall: Fraction | None = None

    def text(self) -> str:
        """Say the conflict in one sentence."""
        start, end = exact_length_text(self.start), exact_length_text(self.end)
        because = "; ".join(self.causes) or "the ledger ends there"
        if self.start > self.end:
            return f"the piece is too short for any fastener: {self.limit}"
        if self.kind == "no place":
            where = f"between {start} and {end}" if self.start < self.end else f"at {start}"
            return f"no fastener can stand {where} for the {self.limit}, closed by: {because}"
        assert self.shortfall is not None
        return (
            f"nothing can stand between {start} and {end}, "
            f"{exact_length_text(self.end - self.start)}, which is "
            f"{exact_length_text(self.shortfall)} over the spacing of {self.limit}; "
            f"closed by: {because}"
        )


def layout_conflicts(line: LedgerLine) -> tuple[LayoutConflict, ...]:
    """Return every reason why no layout exists, left to right; empty where one does."""
    found = [*_windows_without_place(line), *_gaps_too_long(line)]
    return tuple(sorted(found, key=lambda c: (c.start, c.end)))


def _windows_without_place(line: LedgerLine) -> list[LayoutConflict]:
    stretches = clear_stretches(line)
    return [
        LayoutConflict("no place", w.start, w.end, w.label, _causes(line, w.start, w.end))
        for w in required_windows(line)
        if not any(max(s.start, w.start) <= min(s.end, w.end) for s in stretches)
    ]


def _gaps_too_long(line: LedgerLine) -> list[LayoutConflict]:
    """Return the gaps with a window wholly before and one wholly after that nothing can span."""
    stretches, windows = clear_stretches(line), required_windows(line)
    fields = sorted_fields(line.fields)
    found: list[LayoutConflict] = []
    for before, after in pairwise(stretches):
        start, end = before.end, after.start
        needed = any(w.end < end for w in windows) and any(w.start > start for w in windows)
        if not needed or end <= reach(fields, start):
            continue
        tightest = least_limit(fields, start, end)
        assert tightest is not None
        limit = f"{exact_length_text(tightest.most)} for {tightest.label}"
        limit += f" ({tightest.cites})" if tightest.cites else ""
        over = end - start - tightest.most
        found.append(LayoutConflict("gap", start, end, limit, _causes(line, start, end), over))
    return found


def _causes(line: LedgerLine, start: Fraction, end: Fraction) -> tuple[str, ...]:
    touching = [
        c.label
        for c in closed_intervals(line)
        if (c.start < end and start < c.end) or (start == end and c.start < start < c.end)
    ]
    return tuple(dict.fromkeys(touching))
