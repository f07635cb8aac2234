"""Check a layout against the limits themselves, apart from the code that made it."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

from deckclause.placement.constraints import exact_length_text
from deckclause.placement.ledger_line import EndLimit, LedgerLine, Run


def check_layout(
    line: LedgerLine, positions: Sequence[Fraction], rows: Sequence[str] | None = None
) -> tuple[str, ...]:
    """Return every fault of fasteners at `positions` (inches, any order); empty if it complies.

    With `rows`, one name per fastener from left to right, also check that rows alternate.
    """
    places = sorted(positions)
    faults: list[str] = []
    for x in places:
        for run, limit in (
            (line.ledger, line.ledger_ends),
            (line.band_joist, line.band_joist_ends),
        ):
            faults += _end_faults(x, run, limit)
        faults += [
            f"the fastener at {exact_length_text(x)} is within the part kept clear of {c.label}"
            for c in line.clear
            if c.start < x < c.end
        ]
    faults += _first_faults(line, places, line.ledger, line.ledger_ends)
    faults += _first_faults(line, places, line.band_joist, line.band_joist_ends)
    faults += _spacing_faults(line, places)
    if rows is not None:
        faults += _row_faults(line, places, rows)
    return tuple(faults)


def _end_faults(x: Fraction, run: Run, limit: EndLimit) -> list[str]:
    pieces = [(a, b) for a, b in run.pieces if a <= x <= b]
    if not pieces:
        return [f"the fastener at {exact_length_text(x)} is off the {run.name}"]
    near = min(min(x - a, b - x) for a, b in pieces)
    if near >= limit.least:
        return []
    return [
        f"the fastener at {exact_length_text(x)} is {exact_length_text(near)} from an end of the "
        f"{run.name}; {limit.label} asks for {exact_length_text(limit.least)}"
    ]


def _first_faults(
    line: LedgerLine, places: Sequence[Fraction], run: Run, limit: EndLimit
) -> list[str]:
    """Check the first fastener from each end, where the ledger could carry one there."""
    if limit.most is None:
        return []
    faults: list[str] = []
    for number, (start, end) in enumerate(run.pieces, 1):
        within = [x for x in places if start <= x <= end]
        for side, distances in (
            ("left", [x - start for x in within]),
            ("right", [end - x for x in within]),
        ):
            if run is not line.ledger and not _carried(line, start, end, side):
                continue
            if not distances or min(distances) > limit.most:
                faults.append(
                    f"no fastener within {exact_length_text(limit.most)} of the {side} end of "
                    f"{run.name} piece {number}"
                )
    return faults


def _carried(line: LedgerLine, start: Fraction, end: Fraction, side: str) -> bool:
    """Whether the ledger, short of its own ends, backs any of the part where the first may be."""
    limit, keep = line.band_joist_ends, line.ledger_ends.least
    assert limit.most is not None
    if side == "left":
        near, far = start + limit.least, min(start + limit.most, end - limit.least)
    else:
        near, far = max(end - limit.most, start + limit.least), end - limit.least
    return near <= line.ledger.end - keep and line.ledger.start + keep <= far


def _spacing_faults(line: LedgerLine, places: Sequence[Fraction]) -> list[str]:
    faults: list[str] = []
    for left, right in pairwise(places):
        if left == right:
            faults.append(f"two fasteners stand at {exact_length_text(left)}")
        for part in line.fields:
            overlaps = part.start < right and left < part.end
            if overlaps and right - left > part.most:
                faults.append(
                    f"{exact_length_text(right - left)} between the fasteners at "
                    f"{exact_length_text(left)} and {exact_length_text(right)}; {part.label} "
                    f"allows {exact_length_text(part.most)}"
                )
    return faults


def _row_faults(line: LedgerLine, places: Sequence[Fraction], rows: Sequence[str]) -> list[str]:
    if len(rows) != len(places):
        return [f"{len(places)} fasteners but {len(rows)} rows named"]
    faults = [f"'{row}' is not one of the rows" for row in rows if row not in line.rows]
    if len(line.rows) > 1:
        faults += [
            f"the fasteners at {exact_length_text(a)} and {exact_length_text(b)} stand in one row"
            for a, b, r, s in zip(places, places[1:], rows, rows[1:], strict=False)
            if r == s
        ]
    return faults
