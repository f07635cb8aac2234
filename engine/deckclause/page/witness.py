"""Reading a book on the page: what there is to look up, and each answer kept as soon as it is given.

The same sheet, the same words and the same file as `deckclause rules witness`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date
from typing import Any

from msgspec import Struct
from pydantic import Field

from deckclause.answers.witness.sheet import ClauseLine, Sheet, SheetRow, TableSheet, make_sheet
from deckclause.answers.witness.understood import (
    CLAUSE_HELP,
    ROW_HELP,
    clause_readings,
    row_readings,
)
from deckclause.page.typed import Asked, Line
from deckclause.quantities import QuantityError
from deckclause.rulesets.library import RuleLibrary
from deckclause.rulesets.names import rule_set_title
from deckclause.rulesets.problems import InputError, suggestion
from deckclause.rulesets.witness import BookReading, Item, WitnessRecord, with_reading
from deckclause.rulesets.witness_files import keep_record, opened_record

LEAST_NAME = 2


class ToLookUp(Asked):
    """Whose reading of which printing of which book, and of what part of it."""

    ruleset: Line
    part: Line = ""
    witness: Line = Field(min_length=LEAST_NAME)
    printing: Line = Field(min_length=LEAST_NAME)


class ToRead(ToLookUp):
    """What was typed of one step, by its name."""

    step: Line
    text: Line = ""


class _Step(Struct, frozen=True):
    """One thing to look up: its name, its items, and what an answer to it comes to."""

    name: str
    items: tuple[Item, ...]
    told: dict[str, Any]
    read: Callable[[str, str], tuple[BookReading, ...]]


def books(library: RuleLibrary) -> dict[str, Any]:
    """Return what may be looked up in: the editions and guides, and the parts of a deck."""
    return {
        "books": [{"name": n, "title": rule_set_title(n)} for n in library.files.rulesets],
        "parts": [{"name": n, "title": t} for n, t in library.vocabulary.parts.items()],
        "helps": {"clause": CLAUSE_HELP, "row": ROW_HELP},
    }


def looked_up(library: RuleLibrary, asked: ToLookUp) -> dict[str, Any]:
    """Return the steps of a sitting, with what was answered before. Raises InputError."""
    sheet = _sheet(library, asked)
    record = opened_record(library.files, asked.ruleset, asked.witness, asked.printing)
    return {
        "title": sheet.title,
        "steps": [{**s.told, "step": s.name, "seen": _seen(record, s)} for s in _steps(sheet)],
        "kept": len(record.readings),
    }


def read(library: RuleLibrary, asked: ToRead) -> dict[str, Any]:
    """Keep the answer to one step; return what was understood. Raises InputError."""
    sheet = _sheet(library, asked)
    step = next((s for s in _steps(sheet) if s.name == asked.step), None)
    if step is None:
        raise InputError.single(asked.step, "is not on this sheet; open it again")
    try:
        found = step.read(asked.text, date.today().isoformat())
    except (QuantityError, ValueError) as fault:
        raise InputError.single(step.name, f"not understood: {fault}") from None
    record = opened_record(library.files, asked.ruleset, asked.witness, asked.printing)
    record = with_reading(record, *found)
    keep_record(library.files, record)
    return {"seen": _seen(record, step), "kept": len(record.readings)}


def _sheet(library: RuleLibrary, asked: ToLookUp) -> Sheet:
    known = library.files.rulesets
    if asked.ruleset not in known:
        near = suggestion(asked.ruleset, known)
        raise InputError.single(asked.ruleset, f"is no edition or guide.{near}")
    return make_sheet(library.as_written(asked.ruleset), library.vocabulary, asked.part)


def _steps(sheet: Sheet) -> Iterator[_Step]:
    for line in sheet.clauses:
        yield _clause_step(line)
    for table in sheet.tables:
        for row in table.rows:
            yield _row_step(table, row)


def _clause_step(line: ClauseLine) -> _Step:
    told = {"kind": "clause", "head": line.cites, "says": line.says, "asks": line.asks}
    return _Step(
        str(line.item), (line.item,), told, lambda text, day: clause_readings(line, text, day)
    )


def _row_step(table: TableSheet, row: SheetRow) -> _Step:
    told = {
        "kind": "row",
        "head": f"{table.table.cites}: {table.table.title}",
        "columns": table.heads,
        "names": ", ".join(row.names),
        "figures": [cell.printed for cell in row.cells],
    }
    return _Step(
        f"{table.table.name}: {', '.join(row.names)}",
        tuple(cell.item for cell in row.cells),
        told,
        lambda text, day: row_readings(table, row, text, day),
    )


def _seen(record: WitnessRecord, step: _Step) -> str:
    """Say what was read of a step; "" where it is not answered in full."""
    found = [record.of(item) for item in step.items]
    if any(reading is None for reading in found):
        return ""
    told = [
        f"{f'{number}: ' if len(found) > 1 else ''}{reading.seen} {reading.instead}".rstrip()
        for number, reading in enumerate(found, 1)
        if reading is not None and reading.seen != "as shown"
    ]
    return "; ".join(told) or "as shown"
