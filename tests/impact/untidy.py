"""An untidy workbook of an invented office, as a clerk would keep it."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import openpyxl

ROWS = (
    ("Village of Harrow Mills - deck permits", None, None, None, None, None, None, None, None),
    (None,) * 9,
    (
        *("Record #", "Issued", "Site Address", "Joists", "Joist span (ft)", "Joist o.c."),
        *("Lumber", "Ledger fastener", "Bolt spacing (in)"),
    ),
    ("D-1", datetime(2021, 4, 2), "3 Weir St", "2x8", 11.5, 16, "SPF #2", '1/2" x 4" lag', 16),
    (
        "D-2",
        datetime(2021, 4, 9),
        "5 Weir St",
        "2 X 10",
        "13'-2\"",
        '16"',
        "SPF #2",
        "thru bolt",
        30,
    ),
    (None,) * 9,
    ("D-3", datetime(2021, 5, 1), "8 Weir St", "2x8 PT", 12, "16 o.c.", "SPF #2", "LAG", 20),
    ("D-4", "5/11/21", "1 Ford Rd", "2x10", "n/a", 24, "syp no 2", "nails", "TBD"),
    (
        "D-5",
        datetime(2021, 6, 3),
        "2 Ford Rd",
        "2x9",
        138,
        16,
        "SPF #2",
        "lag",
        datetime(2021, 6, 16),
    ),
    ("Total", None, None, None, None, None, None, None, None),
)
"""Five permits, a title, headings in the third row, a blank row, a total; a span in inches under a
heading that says feet, a size nobody mills, and a spacing the spreadsheet made a date of."""


def write_workbook(path: Path) -> Path:
    """Write it, on the second sheet: the first is empty, as many are."""
    book = openpyxl.Workbook()
    book.active.title = "Sheet1"
    sheet = book.create_sheet("Decks 2021")
    for row in ROWS:
        sheet.append(row)
    book.save(path)
    return path
