"""The list a carpenter works from: each fastener's piece, distance from its end, row, height."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from fractions import Fraction

from msgspec import Struct

from deckclause.placement.constraints import exact_length_text
from deckclause.placement.layout import Layout
from deckclause.placement.ledger_line import LayoutError

COLUMNS = (
    "fastener",
    "ledger piece",
    "number in piece",
    "from left end of piece",
    "from the one before",
    "row",
    "height above ledger bottom",
)


class ScheduleRow(Struct, frozen=True):
    """One fastener of the schedule, lengths in inches; `spacing` is None for the first."""

    fastener: int
    piece: int
    number_in_piece: int
    from_left_end: Fraction
    spacing: Fraction | None
    row: str
    height: Fraction

    def cells(self) -> tuple[str, ...]:
        """Return the row as printed, in the order of COLUMNS."""
        return (
            str(self.fastener),
            str(self.piece),
            str(self.number_in_piece),
            exact_length_text(self.from_left_end),
            "" if self.spacing is None else exact_length_text(self.spacing),
            self.row,
            exact_length_text(self.height),
        )


def schedule(
    layout: Layout, ledger_depth: Fraction, row_depths: Mapping[str, Fraction]
) -> tuple[ScheduleRow, ...]:
    """Return the schedule of a layout.

    `row_depths` gives each row's distance below the ledger's top, inches. Raises LayoutError
    where a row has no depth, a depth lies outside the ledger, or the lower row is not below the
    upper one.
    """
    _check_rows(layout, ledger_depth, row_depths)
    found: list[ScheduleRow] = []
    seen: dict[int, int] = {}
    before: Fraction | None = None
    for item in layout.fasteners:
        seen[item.piece] = seen.get(item.piece, 0) + 1
        spacing = None if before is None else item.position - before
        height = ledger_depth - row_depths[item.row]
        found.append(
            ScheduleRow(
                item.number,
                item.piece,
                seen[item.piece],
                item.from_left_end,
                spacing,
                item.row,
                height,
            )
        )
        before = item.position
    return tuple(found)


def _check_rows(layout: Layout, ledger_depth: Fraction, row_depths: Mapping[str, Fraction]) -> None:
    for row in layout.line.rows:
        if row not in row_depths:
            raise LayoutError(f"give how far the {row} row stands below the ledger's top")
        if not 0 < row_depths[row] < ledger_depth:
            raise LayoutError(
                f"the {row} row at {exact_length_text(row_depths[row])} below the ledger's top is "
                f"not within a ledger {exact_length_text(ledger_depth)} deep"
            )
    if {"lower", "upper"} <= set(layout.line.rows) and row_depths["lower"] <= row_depths["upper"]:
        raise LayoutError("the lower row must stand below the upper one; exchange the two")


def schedule_csv(rows: tuple[ScheduleRow, ...]) -> str:
    """Return the schedule as comma-separated text with a heading line."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    writer.writerows(row.cells() for row in rows)
    return out.getvalue()


def schedule_data(rows: tuple[ScheduleRow, ...]) -> list[dict[str, object]]:
    """Return the schedule as plain data for JSON; lengths as exact text in inches."""
    return [
        {
            "fastener": row.fastener,
            "ledger_piece": row.piece,
            "number_in_piece": row.number_in_piece,
            "from_left_end_in": str(row.from_left_end),
            "spacing_in": None if row.spacing is None else str(row.spacing),
            "row": row.row,
            "height_above_ledger_bottom_in": str(row.height),
        }
        for row in rows
    ]
