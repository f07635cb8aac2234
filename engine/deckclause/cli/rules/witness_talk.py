"""The talk with a person who looks clauses and tables up: one line asked, one key answered."""

from __future__ import annotations

import re
from collections.abc import Callable
from textwrap import wrap

from deckclause.answers.witness.sheet import ClauseLine, Sheet, SheetRow, TableSheet
from deckclause.quantities import QuantityError
from deckclause.rulesets.witness import (
    AS_SHOWN,
    NOT_FOUND,
    OTHERWISE,
    BookReading,
    Item,
    WitnessRecord,
    cell_text,
    typed_figure,
    with_reading,
)

CLAUSE_HELP = (
    "Enter: the book says so. A figure (42 in), or words of your own, where it says otherwise; "
    "end with @ and the section where it stands elsewhere (42 in @ R312.2). ? not found. "
    "s skip, b back, q leave."
)
ROW_HELP = (
    "Enter: all figures of the row are so. 2=9-10 where the 2nd reads otherwise (several: "
    "2=9-10; 4=NP; @ and the section where it stands elsewhere). 3? the 3rd is not found, ? none "
    "of the row is. s skip, b back, q leave."
)
_CHANGE = re.compile(r"^(\d+)\s*(?:=\s*([^@]+?)|(\?))\s*(?:@\s*(.+))?$")


class Talk:
    """One sitting: asks, understands the answer, and saves after every one."""

    def __init__(
        self,
        record: WitnessRecord,
        day: str,
        save: Callable[[WitnessRecord], None],
        width: int,
        ask: Callable[[str], str] = input,
    ) -> None:
        self.record, self.day, self.save, self.width, self.ask = record, day, save, width, ask

    def go_through(self, sheet: Sheet, *, again: bool = False) -> None:
        """Ask clause by clause and row by row until the end, or until the reader leaves."""
        steps: list[tuple[TableSheet | None, ClauseLine | SheetRow]] = [
            (None, line) for line in sheet.clauses if again or not self._answered(line.item)
        ]
        for each in sheet.tables:
            steps += [
                (each, row)
                for row in each.rows
                if again or not all(self._answered(cell.item) for cell in row.cells)
            ]
        if not steps:
            print("All of it is answered already; --again goes through it once more.")
            return
        self._say(f"{sheet.title}, read by {self.record.witness}: {len(steps)} to look up.")
        at, shown = 0, ""
        while at < len(steps):
            table, step = steps[at]
            kind = table.table.name if table else "clauses"
            if kind != shown:
                shown = kind
                self._head(table)
            moved = self._step(table, step, f"{at + 1}/{len(steps)}")
            if moved is None:
                break
            at = max(at + moved, 0)
        kept = len(self.record.readings)
        self._say(f"Kept: {kept} readings by {self.record.witness} of {sheet.ruleset}.")

    def _answered(self, item: Item) -> bool:
        return self.record.of(item) is not None

    def _say(self, text: str, indent: str = "") -> None:
        print("\n".join(wrap(text, self.width, subsequent_indent=indent)))

    def _head(self, table: TableSheet | None) -> None:
        print()
        if table is None:
            self._say(CLAUSE_HELP)
            return
        self._say(f"{table.table.cites}: {table.table.title}")
        self._say(ROW_HELP)
        heads = "   ".join(f"{n} {head}" for n, head in enumerate(table.heads, 1))
        self._say(f"columns: {heads}", "  ")

    def _step(
        self, table: TableSheet | None, step: ClauseLine | SheetRow, number: str
    ) -> int | None:
        """Ask one step until it is answered. Return how far to move; None to leave."""
        if isinstance(step, ClauseLine):
            print()
            self._say(f"{step.cites}: {step.says}", "    ")
            self._say(f"  {step.asks}", "    ")
            prompt = f"[{number}] "
        else:
            figures = "  ".join(cell.printed for cell in step.cells)
            prompt = f"[{number}] {', '.join(step.names)}: {figures}  > "
        while True:
            try:
                text = self.ask(prompt).strip()
            except EOFError:
                return None
            if text in ("q", "s", "b"):
                return {"q": None, "s": 1, "b": -1}[text]
            try:
                readings: tuple[BookReading, ...]
                if isinstance(step, ClauseLine):
                    readings = (self._clause(step, text),)
                else:
                    assert table is not None
                    readings = self._row(table, step, text)
            except (QuantityError, ValueError) as fault:
                self._say(f"not understood: {fault}")
                continue
            self.record = with_reading(self.record, *readings)
            self.save(self.record)
            return 1

    def _clause(self, line: ClauseLine, text: str) -> BookReading:
        if not text:
            return BookReading(line.item, AS_SHOWN, self.day, fingerprint=line.fingerprint)
        if text == "?":
            return BookReading(line.item, NOT_FOUND, self.day)
        said, _, where = (part.strip() for part in text.partition("@"))
        if not said and not where:
            raise ValueError("say what the book has instead")
        figure = said if _is_figure(said) else ""
        what = "" if figure else said or "stands elsewhere"
        if what and len(what) < 3:
            raise ValueError(f"'{what}' is too short; a figure needs its unit, as 42 in")
        return BookReading(line.item, OTHERWISE, self.day, figure, what, where, line.fingerprint)

    def _row(self, table: TableSheet, row: SheetRow, text: str) -> tuple[BookReading, ...]:
        if text == "?":
            return tuple(BookReading(c.item, NOT_FOUND, self.day) for c in row.cells)
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
                readings.append(BookReading(cell.item, NOT_FOUND, self.day, where=where))
                continue
            if not told and cell.printed == "?":
                continue  # nothing was shown, so nothing was seen to be so
            figure = cell_text(table.table, typed_figure(table.table, told)) if told else cell.exact
            seen = AS_SHOWN if figure == cell.exact else OTHERWISE
            readings.append(BookReading(cell.item, seen, self.day, figure, where=where))
        return tuple(readings)


def _is_figure(text: str) -> bool:
    from deckclause.quantities import parse_quantity

    try:
        parse_quantity(text)
    except QuantityError:
        return False
    return True
