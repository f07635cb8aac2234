"""What a level member lays on its supports under a load of one on each inch of it, exactly.

Source: statics of beams of one section on supports that do not yield; the moments over the supports
are those of the theorem of three moments (Clapeyron). Lengths in any one unit; a reaction is then the
length of member whose load comes to the support.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

HALF = Fraction(1, 2)


def under_cantilever(span: Fraction, cantilever: Fraction) -> Fraction:
    """Return what a member on two supports lays on the one it reaches past: (L + c)^2 / 2L.

    The far end counts as ending at its support: a reach past it would only relieve this one.

    >>> under_cantilever(Fraction(10), Fraction(2))
    Fraction(36, 5)
    """
    if span <= 0:
        return span + cantilever
    return _square(span + cantilever) / (2 * span)


def halves(places: Sequence[Fraction], whole: Fraction) -> list[Fraction]:
    """Return half of each span beside a support and the whole of a cantilever, as the trade does.

    >>> [int(part) for part in halves((Fraction(2), Fraction(10)), Fraction(12))]
    [6, 6]
    """
    ends = [Fraction(0), *((left + right) * HALF for left, right in pairwise(places)), whole]
    return [right - left for left, right in pairwise(ends)]


def in_one_piece(places: Sequence[Fraction], whole: Fraction) -> list[Fraction]:
    """Return the reactions of a member that runs through over all its supports.

    `places` are from its left end, in order, no two alike, none past `whole`. A reaction below zero
    would lift.

    >>> [str(part) for part in in_one_piece((Fraction(0), Fraction(8), Fraction(16)), Fraction(16))]
    ['3', '10', '3']
    """
    if len(places) == 1:
        return [whole]
    spans = [right - left for left, right in pairwise(places)]
    left, right = places[0], whole - places[-1]
    ends = (-_square(left) * HALF, -_square(right) * HALF)
    moments = [ends[0], *_inner_moments(spans, left, right), ends[1]]
    found = [left, *[Fraction(0)] * (len(places) - 2), right]
    for i, span in enumerate(spans):
        turn = (moments[i + 1] - moments[i]) / span
        found[i] += span * HALF + turn
        found[i + 1] += span * HALF - turn
    return found


def _square(length: Fraction) -> Fraction:
    """Multiply out: a power is no formula that columns of designs could follow."""
    return length * length


def _inner_moments(spans: Sequence[Fraction], left: Fraction, right: Fraction) -> list[Fraction]:
    """Solve the three-moment equations from left to right, and back (a tridiagonal system)."""
    count = len(spans) - 1
    across: list[Fraction] = []
    given: list[Fraction] = []
    for i in range(count):
        before, after = spans[i], spans[i + 1]
        known = -(before * _square(before) + after * _square(after)) / 4
        if i == 0:
            known += before * _square(left) * HALF
        if i == count - 1:
            known += after * _square(right) * HALF
        middle = 2 * (before + after) - (before * across[-1] if across else 0)
        given.append((known - (before * given[-1] if given else 0)) / middle)
        across.append(after / middle)
    moments = given[-1:]
    for i in range(count - 2, -1, -1):
        moments.insert(0, given[i] - across[i] * moments[0])
    return moments


def parted_over_supports(places: Sequence[Fraction], whole: Fraction) -> list[Fraction]:
    """Return the reactions of a member parted over every inner support: each span by itself.

    >>> places = (Fraction(0), Fraction(8), Fraction(16))
    >>> [int(part) for part in parted_over_supports(places, Fraction(16))]
    [4, 8, 4]
    """
    if len(places) < 3:
        return in_one_piece(places, whole)
    found = [Fraction(0)] * len(places)
    last = len(places) - 2
    for i, (start, end) in enumerate(pairwise(places)):
        reach = places[0] if i == 0 else Fraction(0)
        past = whole - end if i == last else Fraction(0)
        piece = in_one_piece((reach, reach + end - start), reach + end - start + past)
        found[i] += piece[0]
        found[i + 1] += piece[1]
    return found
