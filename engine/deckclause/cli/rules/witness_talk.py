"""The talk with a person who looks clauses and tables up: one line asked, one key answered."""

from __future__ import annotations

from collections.abc import Callable
from textwrap import wrap

from deckclause.answers.witness.sheet import ClauseLine, Sheet, SheetRow, TableSheet
from deckclause.answers.witness.understood import (
    CLAUSE_HELP,
    ROW_HELP,
    clause_readings,
    row_readings,
)
from deckclause.quantities import QuantityError
from deckclause.rulesets.witness import BookReading, Item, WitnessRecord, with_reading

MOVES = " s skip, b back, q leave."


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
            self._say(CLAUSE_HELP + MOVES)
            return
        self._say(f"{table.table.cites}: {table.table.title}")
        self._say(ROW_HELP + MOVES)
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
                    readings = clause_readings(step, text, self.day)
                else:
                    assert table is not None
                    readings = row_readings(table, step, text, self.day)
            except (QuantityError, ValueError) as fault:
                self._say(f"not understood: {fault}")
                continue
            self.record = with_reading(self.record, *readings)
            self.save(self.record)
            return 1
