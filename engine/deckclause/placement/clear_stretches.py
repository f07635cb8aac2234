"""Where fasteners may stand along the ledger, and where one must."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from msgspec import Struct

from deckclause.placement.ledger_line import EndLimit, LedgerLine, Run


class Closed(Struct, frozen=True):
    """An open interval where no fastener may stand, and why."""

    start: Fraction
    end: Fraction
    label: str


class Stretch(Struct, frozen=True):
    """A closed interval of one ledger piece where a fastener may stand; may be one point."""

    start: Fraction
    end: Fraction
    piece: int


class Window(Struct, frozen=True):
    """A closed interval in which at least one fastener must stand.

    It lies within its piece; where the piece is too short for any, it ends before it starts.
    """

    start: Fraction
    end: Fraction
    label: str


def closed_intervals(line: LedgerLine) -> tuple[Closed, ...]:
    """Return every interval closed to fasteners, with its reason, in inches."""
    found = [
        *_around_ends(line.ledger, line.ledger_ends),
        *_around_ends(line.band_joist, line.band_joist_ends),
        *_off_the_band_joist(line),
        *(Closed(c.start, c.end, _said(c.label, c.cites)) for c in line.clear),
    ]
    return tuple(sorted(found, key=lambda c: (c.start, c.end)))


def _around_ends(run: Run, limit: EndLimit) -> Iterator[Closed]:
    label = _said(limit.label, limit.cites)
    for at in (run.start, *run.splices, run.end):
        what = "splice" if at in run.splices else "end"
        yield Closed(at - limit.least, at + limit.least, f"{run.name} {what}: {label}")


def _off_the_band_joist(line: LedgerLine) -> Iterator[Closed]:
    ledger, band = line.ledger, line.band_joist
    if ledger.start < band.start:
        yield Closed(ledger.start - 1, band.start, "no band joist behind the ledger")
    if band.end < ledger.end:
        yield Closed(band.end, ledger.end + 1, "no band joist behind the ledger")


def _said(label: str, cites: str) -> str:
    return f"{label} ({cites})" if cites else label


def clear_stretches(line: LedgerLine) -> tuple[Stretch, ...]:
    """Return the stretches where a fastener may stand, left to right.

    The closed intervals are open sets, so each stretch holds its end points; end limits are more
    than nothing, so no stretch crosses a splice.
    """
    closed = closed_intervals(line)
    found: list[Stretch] = []
    for number, (start, end) in enumerate(line.ledger.pieces):
        at: Fraction | None = start
        for bar in closed:
            if at is None or bar.start >= end:
                break
            if bar.end <= at:
                continue
            if bar.start >= at:
                found.append(Stretch(at, min(bar.start, end), number))
            at = max(at, bar.end) if bar.end <= end else None
        if at is not None:
            found.append(Stretch(at, end, number))
    return tuple(found)


def required_windows(line: LedgerLine) -> tuple[Window, ...]:
    """Return the windows that need a fastener, by their right ends.

    Each end of each ledger piece has one. Each end of a band joist piece has one where its limit
    has a `most` and the ledger could carry a fastener in it.
    """
    found = list(_windows(line.ledger, line.ledger_ends))
    low = line.ledger.start + line.ledger_ends.least
    high = line.ledger.end - line.ledger_ends.least
    found += [
        w
        for w in _windows(line.band_joist, line.band_joist_ends)
        if w.start <= high and low <= w.end
    ]
    return tuple(sorted(found, key=lambda w: (w.end, w.start)))


def _windows(run: Run, limit: EndLimit) -> Iterator[Window]:
    if limit.most is None:
        return
    label = _said(limit.label, limit.cites)
    for number, (start, end) in enumerate(run.pieces, 1):
        name = f"{run.name} piece {number}"
        low, high = start + limit.least, end - limit.least
        yield Window(low, min(start + limit.most, high), f"left end of {name}: {label}")
        yield Window(max(end - limit.most, low), high, f"right end of {name}: {label}")
