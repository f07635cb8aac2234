"""What a person typed of a clause or a row, understood: the readings it comes to."""

from __future__ import annotations

import re

from deckclause.answers.witness.sheet import ClauseLine, SheetRow, TableSheet
from deckclause.quantities import QuantityError, parse_quantity
from deckclause.rulesets.witness import (
    AS_SHOWN,
    NOT_FOUND,
    OTHERWISE,
    BookReading,
    cell_text,
    typed_figure,
)

CLAUSE_HELP = (
    "Enter: the book says so. A figure (42 in), or words of your own, where it says otherwise; "
    "end with @ and the section where it stands elsewhere (42 in @ R312.2). ? not found."
)
ROW_HELP = (
    "Enter: all figures of the row are so. 2=9-10 where the 2nd reads otherwise (several: "
    "2=9-10; 4=NP; @ and the section where it stands elsewhere). 3? the 3rd is not found, ? none "
    "of the row is."
)
_CHANGE = re.compile(r"^(\d+)\s*(?:=\s*([^@]+?)|(\?))\s*(?:@\s*(.+))?$")


def clause_readings(line: ClauseLine, text: str, day: str) -> tuple[BookReading, ...]:
    """Return the reading of a clause. Raises ValueError for words that say nothing."""
    if not text:
        return (BookReading(line.item, AS_SHOWN, day, fingerprint=line.fingerprint),)
    if text == "?":
        return (BookReading(line.item, NOT_FOUND, day),)
    said, _, where = (part.strip() for part in text.partition("@"))
    if not said and not where:
        raise ValueError("say what the book has instead")
    figure = said if _is_figure(said) else ""
    what = "" if figure else said or "stands elsewhere"
    if what and len(what) < 3:
        raise ValueError(f"'{what}' is too short; a figure needs its unit, as 42 in")
    return (BookReading(line.item, OTHERWISE, day, figure, what, where, line.fingerprint),)


def row_readings(table: TableSheet, row: SheetRow, text: str, day: str) -> tuple[BookReading, ...]:
    """Return the readings of a row's cells.

    Raises ValueError for what names no column, QuantityError for a figure that is none.
    """
    if text == "?":
        return tuple(BookReading(c.item, NOT_FOUND, day) for c in row.cells)
    changes: dict[int, tuple[str, str]] = {}
    for entry in filter(None, (part.strip() for part in text.split(";"))):
        match = _CHANGE.match(entry)
        if match is None or not 1 <= int(match[1]) <= len(row.cells):
            raise ValueError(f"'{entry}': write 2=9-10 or 2?, columns 1 to {len(row.cells)}")
        changes[int(match[1])] = (match[2] or "?", match[4] or "")
    readings = []
    for number, cell in enumerate(row.cells, 1):
        told, where = changes.get(number, ("", ""))
        if told == "?":
            readings.append(BookReading(cell.item, NOT_FOUND, day, where=where))
            continue
        if not told and cell.printed == "?":
            continue  # nothing was shown, so nothing was seen to be so
        figure = cell_text(table.table, typed_figure(table.table, told)) if told else cell.exact
        seen = AS_SHOWN if figure == cell.exact else OTHERWISE
        readings.append(BookReading(cell.item, seen, day, figure, where=where))
    return tuple(readings)


def _is_figure(text: str) -> bool:
    try:
        parse_quantity(text)
    except QuantityError:
        return False
    return True
