"""Ledgers to lay out: invented houses, limits of the 2012 placement table."""

from __future__ import annotations

import itertools
import random
from fractions import Fraction as F

from deckclause.placement.ledger_line import (
    ClearBand,
    EndLimit,
    LedgerLine,
    Run,
    SpacingField,
)

ENDS = EndLimit(F(2), F(5), "end distance", "Table R507.2.1")
BAND_ENDS = EndLimit(F(2), None, "band joist end distance", "Table R507.2.1")


def ledger_line(
    length: int,
    spacing: int,
    splices: tuple[int, ...] = (),
    band_splices: tuple[int, ...] = (),
    **changes: object,
) -> LedgerLine:
    given: dict[str, object] = {
        "ledger": Run(F(0), F(length), tuple(F(s) for s in splices)),
        "band_joist": Run(F(-60), F(length + 60), tuple(F(s) for s in band_splices), "band joist"),
        "ledger_ends": ENDS,
        "band_joist_ends": BAND_ENDS,
        "fields": (SpacingField(F(0), F(length), F(spacing), f"spacing of {spacing} in"),),
    }
    return LedgerLine(**{**given, **changes})  # type: ignore[arg-type]


def random_line(rng: random.Random) -> LedgerLine:
    """A small ledger in whole inches with splices, fields and clear bands at random."""
    length = rng.randint(8, 56)
    ledger = Run(F(0), F(length), _some(rng, 1, length - 1, 1 + length // 40))
    band = Run(F(rng.randint(-6, 2)), F(length + rng.randint(-2, 6)), (), "band joist")
    band = Run(band.start, band.end, _some(rng, 1, length - 3, 3, band), "band joist")
    cuts = sorted({0, length, *(rng.randint(1, length - 1) for _ in range(rng.randint(0, 2)))})
    fields = tuple(
        SpacingField(F(a), F(b), F(rng.randint(4, 16)), f"field {a}")
        for a, b in itertools.pairwise(cuts)
    )
    clear = tuple(
        ClearBand(F(at), F(at + rng.randint(1, 4)), f"joist at {at}")
        for at in (rng.randint(0, length) for _ in range(rng.randint(0, 2)))
    )
    least = rng.randint(1, 2)
    ends = EndLimit(F(least), F(least + rng.randint(1, 4)), "end")
    band_most = None if rng.random() < 0.8 else F(rng.randint(3, 6))
    return LedgerLine(
        ledger, band, ends, EndLimit(F(rng.randint(1, 2)), band_most, "band end"), fields, clear
    )


def _some(
    rng: random.Random, low: int, high: int, most: int, run: Run | None = None
) -> tuple[F, ...]:
    picked = {F(rng.randint(low, max(low, high))) for _ in range(rng.randint(0, most))}
    return tuple(x for x in picked if run is None or run.start < x < run.end)
