"""Convex polygons over rationals, cut by half-planes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction

from msgspec import Struct

Point = tuple[Fraction, Fraction]


class HalfPlane(Struct, frozen=True):
    """The points with `a * x + b * y <= c`."""

    a: Fraction
    b: Fraction
    c: Fraction

    def excess(self, point: Point) -> Fraction:
        """Return how far outside the point is (zero on the line, negative inside)."""
        return self.a * point[0] + self.b * point[1] - self.c


def clip(vertices: Sequence[Point], half_plane: HalfPlane) -> tuple[Point, ...]:
    """Return the part of a convex polygon (or segment, or point) inside a half-plane.

    Sutherland and Hodgman's method (1974), exact over rationals. Vertices keep their order;
    equal neighbours are merged.

    >>> square = [(Fraction(x), Fraction(y)) for x, y in ((0, 0), (2, 0), (2, 2), (0, 2))]
    >>> len(clip(square, HalfPlane(Fraction(1), Fraction(1), Fraction(1))))
    3
    """
    kept: list[Point] = []
    for index, here in enumerate(vertices):
        after = vertices[(index + 1) % len(vertices)]
        out_here, out_after = half_plane.excess(here), half_plane.excess(after)
        if out_here <= 0:
            kept.append(here)
        if out_here * out_after < 0:
            share = out_here / (out_here - out_after)
            kept.append(
                (
                    here[0] + share * (after[0] - here[0]),
                    here[1] + share * (after[1] - here[1]),
                )
            )
    return _without_repeats(kept)


def intersect(vertices: Sequence[Point], half_planes: Iterable[HalfPlane]) -> tuple[Point, ...]:
    """Return the part of a convex polygon inside every half-plane; empty where none is."""
    left = tuple(vertices)
    for half_plane in half_planes:
        left = clip(left, half_plane)
    return left


def area(vertices: Sequence[Point]) -> Fraction:
    """Return the area of a polygon by the shoelace formula.

    >>> area([(Fraction(0), Fraction(0)), (Fraction(1), Fraction(0)), (Fraction(0), Fraction(1))])
    Fraction(1, 2)
    """
    doubled = sum(
        (
            x0 * y1 - x1 * y0
            for (x0, y0), (x1, y1) in zip(vertices, [*vertices[1:], *vertices[:1]], strict=True)
        ),
        Fraction(0),
    )
    return abs(doubled) / 2


def _without_repeats(points: Sequence[Point]) -> tuple[Point, ...]:
    kept: list[Point] = []
    for point in points:
        if not kept or point != kept[-1]:
            kept.append(point)
    if len(kept) > 1 and kept[0] == kept[-1]:
        kept.pop()
    return tuple(kept)
