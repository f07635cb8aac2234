"""How far the next fastener may stand from one, over fields with limits of their own."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from deckclause.placement.ledger_line import LayoutError, SpacingField


def reach(fields: Sequence[SpacingField], position: Fraction) -> Fraction:
    """Return the farthest position within the spacing limit of `position`, in inches.

    The limit between two fasteners is the least of the fields their interval overlaps, so a
    tighter field ahead stops the reach at its edge or pulls it in. Fields come sorted by start.
    Raises LayoutError where no field lies right of `position`.

    >>> wide = SpacingField(Fraction(0), Fraction(100), Fraction(18), "10 ft joists")
    >>> tight = SpacingField(Fraction(100), Fraction(200), Fraction(11), "16 ft joists")
    >>> [str(reach((wide, tight), Fraction(x))) for x in (80, 85, 95)]
    ['98', '100', '106']
    """
    farthest: Fraction | None = None
    for part in fields:
        if farthest is not None and part.start >= farthest:
            break
        if part.end > position:
            own = max(position + part.most, part.start)
            farthest = own if farthest is None else min(farthest, own)
    if farthest is None:
        raise LayoutError("no spacing limit is given beyond the last fastener")
    return farthest


def sorted_fields(fields: Sequence[SpacingField]) -> tuple[SpacingField, ...]:
    """Return the fields by their start, as `reach` wants them."""
    return tuple(sorted(fields, key=lambda f: (f.start, f.end)))


def least_limit(
    fields: Sequence[SpacingField], start: Fraction, end: Fraction
) -> SpacingField | None:
    """Return the field with the least limit among those the open interval overlaps."""
    over = [f for f in fields if max(f.start, start) < min(f.end, end)]
    return min(over, key=lambda f: f.most) if over else None
