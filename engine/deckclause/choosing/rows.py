"""Where the two rows of ledger fasteners go: as far as can be from every place that is barred."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from itertools import product
from math import lcm

from deckclause.choosing.facts import Values
from deckclause.choosing.members import ROWS, Choice, Variable

Allowed = Mapping[tuple[str, ...], frozenset[Values]]
"""By the choices that clauses depend on: the combinations that all of them allow."""


def with_most_room(chosen: Sequence[Variable], allowed: Allowed, best: Choice) -> Choice:
    """Return the choice with its open rows moved to where both keep farthest from what is barred.

    A carpenter marks rows with a tape, and a row that stands on its limit is soon past it. Rows
    cost nothing, so that any that are allowed are as cheap; of equals those named first.
    """
    rows = [v for v in chosen if v.quantity in ROWS]
    if not rows:
        return best
    places = list(product(*(v.options for v in rows)))
    parts = lcm(*(n.denominator for place in places for n in place if isinstance(n, Fraction)))
    in_parts = {p: tuple(int(n * parts) for n in p if isinstance(n, Fraction)) for p in places}
    good = [p for p in places if _may(allowed, {**best, **_at(rows, p)}, rows)]
    barred = [in_parts[p] for p in set(places).difference(good)]

    def room(place: Values) -> int:
        here = in_parts[place]
        return min(
            (max(abs(a - b) for a, b in zip(here, out, strict=True)) for out in barred), default=0
        )

    return {**best, **_at(rows, max(good, key=room))}


def _at(rows: Sequence[Variable], place: Values) -> dict[str, Fraction]:
    found = zip(rows, place, strict=True)
    return {v.quantity: value for v, value in found if isinstance(value, Fraction)}


def _may(allowed: Allowed, choice: Choice, rows: Sequence[Variable]) -> bool:
    return all(
        tuple(choice[n] for n in names) in good
        for names, good in allowed.items()
        if any(v.quantity in names for v in rows)
    )
