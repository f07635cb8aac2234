"""Invent permits by the thousand: facts that hang together are drawn together.

A deck's joists are sized to about what their span needs, its ledger follows its joists, its beam
and footings follow the spans, its stair follows its height. Nothing here describes a real deck.
The same seed gives the same permits, whatever the size of the archive.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from typing import Any

import numpy as np

from deckclause.designs.invented.careful import drawn_with_care
from deckclause.designs.invented.columns import InventedColumn
from deckclause.designs.invented.recipes import FASTENER_SPACING, LATER_RECIPES, RECIPES, Shares
from deckclause.quantities import length_text

BATCH = 20_000
"""Permits drawn from one stream of random numbers."""
IDENTITY = "permit"
SIZES = ("2x6", "2x8", "2x10", "2x12")


def invented_batches(
    designs: int, seed: int, quantities: Sequence[str]
) -> Iterator[dict[str, InventedColumn]]:
    """Yield columns of invented permits, a batch at a time, of the quantities the rules know."""
    for number, start in enumerate(range(0, designs, BATCH)):
        random = np.random.default_rng([seed, number])
        columns = _batch(random, BATCH)
        count = min(BATCH, designs - start)
        names = tuple(f"INV-{start + row + 1:07d}" for row in range(count))
        yield {
            IDENTITY: InventedColumn(np.arange(count), names),
            **{
                name: InventedColumn(column.codes[:count], column.texts)
                for name, column in columns.items()
                if name in quantities
            },
        }


def _batch(random: Any, count: int) -> dict[str, InventedColumn]:
    columns = {name: _drawn(random, count, shares) for name, shares in RECIPES.items()}
    columns["fasteners.spacing"] = _drawn(random, count, FASTENER_SPACING)
    columns.update(_framing(random, count))
    columns.update(_band_joist(random, count))
    columns.update(_height(random, count, columns["stairs.risers_even"]))
    columns.update({n: _drawn(random, count, shares) for n, shares in LATER_RECIPES.items()})
    columns = drawn_with_care(random, columns)
    bare = _is(columns["wall.sheathing_kind"], "none")
    columns["wall.sheathing_thickness"] = _blank(columns["wall.sheathing_thickness"], bare)
    freestanding = _is(columns["deck.attachment"], "freestanding")
    on_ledger = ("ledger.", "fasteners.", "lateral.device")
    hung = {n: _blank(c, freestanding) for n, c in columns.items() if n.startswith(on_ledger)}
    return columns | hung


def _is(column: InventedColumn, text: str) -> Any:
    return np.array([text == other for other in column.texts])[column.codes]


def _blank(column: InventedColumn, rows: Any) -> InventedColumn:
    """Leave a fact open on some rows."""
    codes = np.where(rows, len(column.texts), column.codes).astype(np.int32)
    return InventedColumn(codes, (*column.texts, ""))


def _drawn(random: Any, count: int, shares: Shares) -> InventedColumn:
    weights = np.array([weight for _, weight in shares], float)
    codes = random.choice(len(shares), count, p=weights / weights.sum())
    return InventedColumn(codes.astype(np.int32), tuple(text for text, _ in shares))


def _figures(values: Any, write: Callable[[int], str]) -> InventedColumn:
    """Write whole numbers as texts; a negative one is unknown."""
    distinct, codes = np.unique(values, return_inverse=True)
    texts = tuple("" if value < 0 else write(value) for value in distinct.tolist())
    return InventedColumn(codes.astype(np.int32), texts)


def _sometimes_unknown(random: Any, values: Any, share: float) -> Any:
    return np.where(random.random(len(values)) < share, -1, values)


def feet_and_inches(inches: int) -> str:
    """Write whole inches as a carpenter does.

    >>> feet_and_inches(142), feet_and_inches(120), feet_and_inches(8)
    ('11 ft 10 in', '10 ft', '8 in')
    """
    feet, rest = divmod(inches, 12)
    words = [f"{feet} ft"] if feet else []
    words += [f"{rest} in"] if rest or not feet else []
    return " ".join(words)


def parts_of_inch(count: int, parts: int) -> str:
    """Write so many quarters or eighths of an inch as a carpenter does.

    >>> parts_of_inch(44, 8), parts_of_inch(28, 4)
    ('5-1/2 in', '7 in')
    """
    return length_text(Fraction(count, parts), "in")


def _framing(random: Any, count: int) -> dict[str, InventedColumn]:
    """Draw joists to suit the span, a ledger like the joists, a beam and posts to suit both."""
    span = random.choice(np.arange(72, 217, 2), count, p=_hump(73))
    # a span each size often carries at 16 in on centre, give or take what builders do
    reach = np.array([110, 140, 175, 400])
    fit = np.searchsorted(reach, span + random.integers(-18, 19, count))
    joist = np.clip(fit, 0, 3)
    ledger = np.clip(joist + random.choice([0, 0, 0, 0, 0, 1, -1], count), 0, 3)
    overhang = random.choice([0, 0, 12, 18, 24, 30, 36], count)
    lower = np.array([36, 44, 52, 60])[ledger] + random.choice([0, 0, 0, 4, -4, 8], count)
    lower = np.minimum(lower, np.array([40, 54, 70, 86])[ledger])  # eighths, on the ledger
    beam_span = random.choice(np.arange(60, 169, 6), count)
    # the load on a beam goes with the joists' span times its own
    beam = np.clip(span * beam_span // 4500 + random.choice([0, 0, 0, 1, -1], count), 0, 7)
    beams = ("2-2x6", "2-2x8", "2-2x10", "2-2x12", "3-2x8", "3-2x10", "3-2x12", "4x12")
    return {
        "joists.span": _figures(_sometimes_unknown(random, span, 0.01), feet_and_inches),
        "joists.size": InventedColumn(joist.astype(np.int32), SIZES),
        "ledger.size": InventedColumn(ledger.astype(np.int32), SIZES),
        "joists.cantilever": _figures(_sometimes_unknown(random, overhang, 0.02), feet_and_inches),
        "fasteners.lower_row_below_ledger_top": _figures(
            _sometimes_unknown(random, lower, 0.04), lambda eighths: parts_of_inch(eighths, 8)
        ),
        "beams.span": _figures(_sometimes_unknown(random, beam_span, 0.02), feet_and_inches),
        "beams.size": InventedColumn(beam.astype(np.int32), beams),
        "ledger.length": _figures(random.choice([120, 144, 192, 240, 288], count), feet_and_inches),
        "footings.depth": _figures(random.choice([12, 24, 30, 36, 42, 48], count), feet_and_inches),
        "doors.landing_depth": _figures(span, feet_and_inches),
    }


def _hump(count: int) -> Any:
    """Return shares that are greatest in the middle."""
    places = np.arange(count)
    weights = np.exp(-(((places - 0.4 * count) / (0.25 * count)) ** 2))
    return weights / weights.sum()


def _band_joist(random: Any, count: int) -> dict[str, InventedColumn]:
    """Draw a sawn band joist with its size, or an engineered one with its depth and thickness."""
    kind = random.choice(3, count, p=[0.72, 0.06, 0.22])
    size = np.where(kind == 0, random.choice(4, count, p=[0.02, 0.13, 0.6, 0.25]), 4)
    depth = np.where(kind == 0, 3, random.choice(3, count, p=[0.4, 0.45, 0.15]))
    thickness = np.where(kind == 0, 3, random.choice(3, count, p=[0.45, 0.4, 0.15]))
    kinds = ("sawn_lumber", "laminated_veneer_lumber", "engineered_rim_board")
    return {
        "band_joist.kind": InventedColumn(kind.astype(np.int32), kinds),
        "band_joist.size": InventedColumn(size.astype(np.int32), (*SIZES, "")),
        "band_joist.depth": InventedColumn(
            depth.astype(np.int32), ("9-1/2 in", "11-7/8 in", "14 in", "")
        ),
        "band_joist.thickness": InventedColumn(
            thickness.astype(np.int32), ("1 in", "1-1/8 in", "1-1/4 in", "")
        ),
    }


def _height(random: Any, count: int, even: InventedColumn) -> dict[str, InventedColumn]:
    """Draw how high the deck stands; guards and stairs follow."""
    height = random.choice(np.arange(8, 145), count, p=_hump(137))
    risers = np.maximum(1, -(-height // random.choice([7, 7, 8], count)))
    uneven = np.array([text != "yes" for text in even.texts])[even.codes]
    # in quarters of an inch; the tallest riser is at least the rise shared out
    stated = np.where(uneven, -(-4 * height // risers) + random.integers(0, 3, count), -1)
    return {
        "deck.greatest_height_above_grade": _figures(height, feet_and_inches),
        "guards.drop_straight_down": _figures(height, feet_and_inches),
        "stairs.total_rise": _figures(height, feet_and_inches),
        "stairs.riser_count": _figures(risers, str),
        "stairs.riser_height": _figures(stated, lambda quarters: parts_of_inch(quarters, 4)),
        "stairs.open_side_drop_within_36_in": _figures(
            _sometimes_unknown(random, np.maximum(height - 7, 0), 0.05), feet_and_inches
        ),
    }
