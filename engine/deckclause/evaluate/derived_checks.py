"""Figures held from memory, checked by the rule that confirmed figures of their family follow.

Agreement adds a note and never a standing; disagreement raises a flag and never a figure.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction

from msgspec import Struct

from deckclause.evaluate.tables.basis import (
    MET,
    MISSED,
    CellBasis,
    cell_basis,
    cell_facts,
    is_guide,
)
from deckclause.evaluate.tables.families import Calculation, calculation
from deckclause.rulesets.clauses import Table
from deckclause.rulesets.ruleset import RuleSet

FEWEST = 6
"""Confirmed cells a family must have before it can check another."""

SHARE = Fraction(9, 10)
"""Share of its confirmed cells a family's calculation must meet."""


class RuleRecord(Struct, frozen=True):
    """How many confirmed cells of a rule there are in the books, how many met, how many for snow."""

    rule: str
    met: int
    confirmed: int
    snow: int = 0

    @property
    def established(self) -> bool:
        """Whether the confirmed cells establish the rule."""
        return self.confirmed >= FEWEST and self.met >= SHARE * self.confirmed

    @property
    def words(self) -> str:
        """The count in words."""
        return (
            f"the calculation meets {self.met} of {self.confirmed} confirmed cells of its family "
            f"({self.rule})"
        )


class DerivedCheck(Struct, frozen=True):
    """What the established rule says of one remembered figure."""

    cell: CellBasis
    record: RuleRecord

    @property
    def flagged(self) -> bool:
        """Whether the remembered figure parts from an established rule."""
        return self.record.established and self.cell.verdict == MISSED

    @property
    def _snow(self) -> str:
        found = self.cell.calculation
        alone = found is not None and found.under_snow and not self.record.snow
        return ", none of them for snow," if alone else ""

    @property
    def words(self) -> str:
        """The check in words; the standing stays what it was."""
        if not self.record.established:
            return f"no derived check: {self.record.words}, too few to check a remembered one by"
        if self.flagged:
            return (
                f"derived check: {self.record.words}{self._snow} and differs from this one, from memory. The "
                "table's figure stands; look it up in the book"
            )
        return (
            f"derived check: {self.record.words}{self._snow} and agrees with this one, from memory. Its standing "
            "stays memory until the book is seen"
        )


def rules_of(ruleset: RuleSet, table: Table) -> frozenset[str]:
    """Name the rules that a table's cells follow, as far as they are calculated."""
    found = (calculation(table, f, guide=is_guide(ruleset)) for f in cell_facts(table))
    return frozenset(one.rule for one in found if isinstance(one, Calculation))


def rule_records(
    books: Iterable[RuleSet], only: frozenset[str] | None = None
) -> dict[str, RuleRecord]:
    """Count each rule's confirmed cells over the books, or those of the rules in `only`.

    A figure that several books print alike under the same keys counts once.
    """
    seen: dict[tuple[Calculation, object], bool] = {}
    for cell in _confirmed(books, only):
        assert cell.calculation is not None
        seen[cell.calculation, cell.printed] = cell.verdict == MET
    rules = only if only is not None else {c.rule for c, _ in seen}
    return {rule: _record(rule, seen) for rule in rules}


def _record(rule: str, seen: dict[tuple[Calculation, object], bool]) -> RuleRecord:
    mine = [(c, met) for (c, _), met in seen.items() if c.rule == rule]
    snow = sum(c.under_snow for c, _ in mine)
    return RuleRecord(rule, sum(met for _, met in mine), len(mine), snow)


def _confirmed(books: Iterable[RuleSet], only: frozenset[str] | None) -> Iterator[CellBasis]:
    for book in books:
        for table in book.tables:
            rules = rules_of(book, table)
            if not rules or (only is not None and not rules & only):
                continue
            for place in range(len(table.cells)):
                cell = _confirmed_cell(book, table, place)
                if cell is not None and (only is None or _rule(cell) in only):
                    yield cell


def _confirmed_cell(book: RuleSet, table: Table, place: int) -> CellBasis | None:
    note = table.note(place)
    if (note.standing if note and note.standing else table.standing) != "confirmed":
        return None
    cell = cell_basis(book, table, place)
    return cell if cell.check is not None else None


def _rule(cell: CellBasis) -> str:
    return cell.calculation.rule if cell.calculation else ""


def derived_check(cell: CellBasis, records: Mapping[str, RuleRecord]) -> DerivedCheck | None:
    """Return the derived check of a remembered figure; None for any other, or with none to make."""
    if cell.standing != "memory" or cell.check is None or cell.calculation is None:
        return None
    rule = cell.calculation.rule
    return DerivedCheck(cell, records.get(rule, RuleRecord(rule, 0, 0)))
