"""Dressed (actual) sizes of dry lumber, by nominal size.

Source: American Softwood Lumber Standard, NIST Voluntary Product Standard PS 20, dry dressed
sizes of dimension lumber, posts and timbers (inch).
"""

from __future__ import annotations

from fractions import Fraction

_HALF = Fraction(1, 2)
_QUARTER = Fraction(1, 4)

THICKNESS: dict[int, Fraction] = {
    1: Fraction(3, 4),
    2: 1 + _HALF,
    3: 2 + _HALF,
    4: 3 + _HALF,
    6: 5 + _HALF,
    8: 7 + _HALF,
}
DEPTH: dict[int, Fraction] = {
    3: 2 + _HALF,
    4: 3 + _HALF,
    6: 5 + _HALF,
    8: 7 + _QUARTER,
    10: 9 + _QUARTER,
    12: 11 + _QUARTER,
}
_TIMBER_DEPTH = 5
"""From this nominal thickness on (inch), a member is a timber and dresses 1/2 in under nominal."""


def dressed_size(nominal: str) -> tuple[Fraction, Fraction] | None:
    """Return (thickness, depth) in inches of a nominal size such as `2x10`; None if not a size.

    >>> dressed_size("2x10")
    (Fraction(3, 2), Fraction(37, 4))
    >>> dressed_size("2x9") is None
    True
    """
    first, cross, second = nominal.partition("x")
    if not (cross and first.isdigit() and second.isdigit()):
        return None
    thickness = THICKNESS.get(int(first))
    if int(first) >= _TIMBER_DEPTH:
        depth: Fraction | None = int(second) - _HALF
    else:
        depth = DEPTH.get(int(second))
    if thickness is None or depth is None:
        return None
    return thickness, depth
