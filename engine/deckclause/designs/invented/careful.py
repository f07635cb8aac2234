"""Permits drawn with care: a share of an archive whose makers did what most do, and sized with room.

Without them hardly any invented permit complies on everything, and nothing can be said of those
that do. What a careful maker chooses is made up, as all of the archive is.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from deckclause.designs.invented.columns import InventedColumn
from deckclause.designs.invented.recipes import LATER_RECIPES, RECIPES, Shares

SHARE = 0.6
"""The share of permits drawn with care."""

CHOICES: dict[str, str] = {
    "band_joist.kind": "sawn_lumber",
    "band_joist.depth": "",
    "band_joist.thickness": "",
    "beams.size": "3-2x12",
    "beams.span": "6 ft",
    "beams.cantilever": "0 in",
    "fasteners.spacing": "10 in",
    "footings.depth": "4 ft",
    "footings.diameter": "24 in",
    "footings.side": "24 in",
    "footings.thickness": "12 in",
    "joists.cantilever": "0 in",
    "posts.height": "3 ft",
    "stairs.riser_height": "",
    "stairs.riser_slope": "0 deg",
}
"""What a careful maker chooses where it is not what most do; an empty text leaves a fact open."""
LEFT = frozenset(
    (
        "deck.attachment",
        "fasteners.finish",
        "guards.edge_joist_restrained",
        "guards.held_by_end_grain_withdrawal_only",
        "guards.load_path_to_joists",
        "guards.mount",
        "guards.post_notched",
        "joists.at_ledger",
        "lateral.device_capacity",
        "ledger.flashing_material",
        "materials.connector_coating",
        "materials.fastener_finish",
    )
)
"""What even a careful maker left to chance, as older editions asked nothing of it."""
LOWER_ROW = {"2x8": "5-1/2 in", "2x10": "6-1/2 in", "2x12": "6-1/2 in"}
"""By the ledger's size: the lower row below its top."""


def drawn_with_care(
    random: Any, columns: dict[str, InventedColumn], share: float = SHARE
) -> dict[str, InventedColumn]:
    """Return the columns with what a careful maker chooses, on a share of the rows."""
    count = len(next(iter(columns.values())).codes)
    rows = random.random(count) < share
    wanted = {name: most_said(s) for name, s in {**RECIPES, **LATER_RECIPES}.items()}
    wanted.update(CHOICES)
    changed = dict(columns)
    for name, text in wanted.items():
        if name not in LEFT:
            changed[name] = with_text(columns.get(name), rows, text)
    changed.update(_sized(columns, rows))
    return changed


def most_said(shares: Shares) -> str:
    """Return the text said most often, of those that say something.

    >>> most_said((("", 5), ("yes", 3), ("no", 1)))
    'yes'
    """
    return max((pair for pair in shares if pair[0]), key=lambda pair: pair[1])[0]


def with_text(column: InventedColumn | None, rows: Any, text: str) -> InventedColumn:
    """Return a column that says one text on some rows; a new one is open on the others."""
    if column is None:
        return InventedColumn(np.where(rows, 1, 0).astype(np.int32), ("", text))
    codes = np.where(rows, len(column.texts), column.codes).astype(np.int32)
    return InventedColumn(codes, (*column.texts, text))


def _sized(columns: dict[str, InventedColumn], rows: Any) -> dict[str, InventedColumn]:
    """Take joists a size larger than the span needs, and a ledger and a band joist to suit them."""
    sizes = ("2x6", "2x8", "2x10", "2x12")
    joists = columns["joists.size"]
    larger = np.clip(joists.codes + 1, 1, 3)
    size = np.where(rows, larger, joists.codes).astype(np.int32)
    ledger = np.where(rows, larger, columns["ledger.size"].codes).astype(np.int32)
    band = columns["band_joist.size"]
    lower = columns["fasteners.lower_row_below_ledger_top"]
    found = {
        "joists.size": InventedColumn(size, sizes),
        "ledger.size": InventedColumn(ledger, sizes),
        "band_joist.size": InventedColumn(
            np.where(rows, len(band.texts) + larger, band.codes).astype(np.int32),
            (*band.texts, *sizes),
        ),
    }
    for place, name in enumerate(sizes[1:], 1):
        lower = with_text(lower, rows & (larger == place), LOWER_ROW[name])
    found["fasteners.lower_row_below_ledger_top"] = lower
    return found
