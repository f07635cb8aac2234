"""Read a table as an office keeps it: CSV with any separator and encoding, or a workbook.

Every cell comes as text; dates and numbers of a workbook as they would be typed.
"""

from __future__ import annotations

import codecs
import csv
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date, datetime, time
from importlib import import_module
from itertools import islice
from pathlib import Path
from typing import Any

from msgspec import Struct

from deckclause.impact.cells import cell_text
from deckclause.rulesets.problems import InputError

UTF8, UTF16, WESTERN = "utf-8-sig", "utf-16", "cp1252"
SEPARATORS = (",", ";", "\t", "|")
SHEETS = (".xlsx", ".xlsm")
TEXTS = (".csv", ".txt", ".tsv")
PIECE = 1 << 20
LOOKED_AT = 40
"""Rows looked at for the separator and for the row of headings."""
DIGITS = 12
"""A workbook keeps binary numbers; so many digits of one were typed or worked out."""


class Form(Struct, frozen=True):
    """How a table is written: encoding and separator of text, or the sheet; the row of headings.

    What is empty, or 0, is not told.
    """

    encoding: str = ""
    separator: str = ""
    sheet: str = ""
    header_row: int = 0


def form_of(path: Path, told: Form | None = None) -> Form:
    """Tell how a file's table is written, where `told` leaves it open. Raises InputError."""
    told = told or Form()
    if path.suffix.lower() in SHEETS:
        return told if told.sheet and told.header_row else _sheet_form(path, told)
    if told.encoding and told.separator and told.header_row:
        return told
    encoding = told.encoding or _encoding(path)
    separator = told.separator or _separator(path, encoding)
    with _text_lines(path, Form(encoding, separator)) as lines:
        looked_at = list(islice(_reading(path, lines), LOOKED_AT))
    return Form(encoding, separator, "", told.header_row or header_row(looked_at))


def _sheet_form(path: Path, told: Form) -> Form:
    """Find the sheet, the first that has rows where none is told, and its row of headings."""
    with _workbook(path) as book:
        for sheet in book.worksheets:
            if told.sheet in ("", sheet.title):
                rows = list(islice(_sheet_rows(path, sheet), LOOKED_AT))
                if told.sheet or any(any(row) for row in rows):
                    row = told.header_row or header_row(rows)
                    return Form(sheet=sheet.title, header_row=row)
        if told.sheet:
            raise _no_sheet(path, told.sheet, book)
    raise InputError.single(str(path), "holds no rows")


@contextmanager
def table_rows(path: Path, form: Form) -> Iterator[Iterator[list[str]]]:
    """Give the rows from that of the headings on, all of one width but where a row is longer.

    Raises InputError, also while the rows are taken, where the file cannot be read.
    """
    if path.suffix.lower() in SHEETS:
        with _workbook(path) as book:
            if form.sheet not in book.sheetnames:  # a map's, told before this file was looked at
                raise _no_sheet(path, form.sheet, book)
            yield islice(_sheet_rows(path, book[form.sheet]), form.header_row - 1, None)
    else:
        with _text_lines(path, form) as lines:
            yield islice(_reading(path, lines), form.header_row - 1, None)


def header_row(rows: list[list[str]]) -> int:
    """Return which row, from 1, holds the headings: the first that is wide and in words.

    >>> header_row([["Permits of 2019", "", ""], [], ["No.", "Size", "Span"], ["1", "2x8", "9"]])
    3
    """
    widths = [sum(1 for cell in row if cell) for row in rows]
    wide = max(widths, default=0)
    for number, (row, width) in enumerate(zip(rows, widths, strict=True), 1):
        words = sum(1 for cell in row if any(c.isalpha() for c in cell))
        if width and width >= 0.6 * wide and words >= 0.6 * width:
            return number
    return 1


# -- text -----------------------------------------------------------------------------------------


def _encoding(path: Path) -> str:
    with open(path, "rb") as stream:
        head = stream.read(4)
    if head[:2] in (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE):
        return UTF16
    for encoding in (UTF8, WESTERN):
        if _decodes(path, encoding):
            return encoding
    raise InputError.single(
        str(path), "is not readable CSV: its bytes are text in no usual encoding"
    )


def _decodes(path: Path, encoding: str) -> bool:
    decoder = codecs.getincrementaldecoder(encoding)()
    with open(path, "rb") as stream:
        try:
            while piece := stream.read(PIECE):
                decoder.decode(piece)
            decoder.decode(b"", final=True)
        except UnicodeDecodeError:
            return False
    return True


def _separator(path: Path, encoding: str) -> str:
    """Return the separator under which most rows have the width most rows have."""
    best, most = SEPARATORS[0], 0
    for separator in SEPARATORS:
        with _text_lines(path, Form(encoding, separator)) as lines:
            try:
                widths = [len(row) for row in islice(lines, LOOKED_AT) if any(row)]
            except (csv.Error, UnicodeDecodeError):
                continue
        alike = max((w for w in widths), key=widths.count, default=1)
        score = widths.count(alike) * 1000 + alike if alike > 1 else 0
        if score > most:
            best, most = separator, score
    return best


@contextmanager
def _text_lines(path: Path, form: Form) -> Iterator[Iterator[list[str]]]:
    with open(path, encoding=form.encoding or UTF8, newline="") as stream:
        yield csv.reader(stream, delimiter=form.separator or ",")


def _reading(path: Path, rows: Iterator[list[str]]) -> Iterator[list[str]]:
    """Pass rows on; say of a damaged file that it is one."""
    try:
        yield from rows
    except (csv.Error, UnicodeError) as fault:
        raise InputError.single(str(path), f"is not readable CSV: {fault}") from None


# -- workbooks ------------------------------------------------------------------------------------


@contextmanager
def _workbook(path: Path) -> Iterator[Any]:
    """Open a workbook to read what its cells hold, never what a formula would do."""
    openpyxl: Any = import_module("openpyxl")
    try:
        book = openpyxl.load_workbook(path, read_only=True, data_only=True, keep_links=False)
    except Exception as fault:
        raise _damaged(path, fault) from None
    try:
        yield book
    finally:
        book.close()


def _sheet_rows(path: Path, sheet: Any) -> Iterator[list[str]]:
    """Yield a sheet's rows; a damaged one raises errors of many kinds, told as one."""
    try:
        sheet.reset_dimensions()  # what a file says of its size is often wrong
        for cells in sheet.iter_rows(values_only=True):
            row = [_cell(cell) for cell in cells]
            while row and not row[-1]:
                row.pop()
            yield row
    except Exception as fault:
        raise _damaged(path, fault) from None


def _no_sheet(path: Path, sheet: str, book: Any) -> InputError:
    known = ", ".join(book.sheetnames)
    return InputError.single(str(path), f"has no sheet '{sheet}'. One of: {known}")


def _damaged(path: Path, fault: Exception) -> InputError:
    """Say of a workbook that it is damaged: its reader, and what that rests on, tell by any error."""
    words = " ".join(str(fault).split())[:200] or type(fault).__name__
    return InputError.single(str(path), f"is not a readable workbook, or damaged: {words}")


def _cell(cell: Any) -> str:
    """Write a workbook's cell as it would be typed.

    >>> _cell(16.0), _cell(True), _cell(0.1 + 0.2), _cell(None), _cell(" 2 x\\n8 ")
    ('16', 'yes', '0.3', '', '2 x 8')
    """
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, float):
        return format(cell, f".{DIGITS}g")
    if isinstance(cell, datetime) and cell.time() == time():
        cell = cell.date()
    if isinstance(cell, (date, time)):
        return cell.isoformat()
    return cell_text(cell)
