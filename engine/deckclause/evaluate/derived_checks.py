"""Figures held from memory, checked by the rule that confirmed figures of their family follow.

Agreement adds a note and never a standing; disagreement raises a flag and never a figure.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction

from deckclause.evaluate.table_basis import (
    MET,
    MISSED,
    CellBasis,
    cell_basis,
    cell_facts,
    is_guide,
)
from deckclause.evaluate.table_families import Calculation, calculation
from deckclause.rulesets.clauses import Table
from deckclause.rulesets.ruleset import RuleSet

FEWEST = 6
"""Confirmed cells a family must have before it can check another."""

SHARE = Fraction(9, 10)
"""Share of its confirmed cells a family's calculation must meet."""


@dataclass(frozen=True, slots=True)
class FamilyRecord:
    """How many confirmed cells of a family there are in the books, and how many are met."""

    family: str
    met: int
    confirmed: int

    @property
    def established(self) -> bool:
        """Whether the confirmed cells establish the family's rule."""
        return self.confirmed >= FEWEST and self.met >= SHARE * self.confirmed

    @property
    def words(self) -> str:
        """The count in words."""
        return (
            f"the calculation meets {self.met} of {self.confirmed} confirmed cells of its family "
            f"({self.family.replace('_', ' ')})"
        )


@dataclass(frozen=True, slots=True)
class DerivedCheck:
    """What the established rule says of one remembered figure."""

    cell: CellBasis
    record: FamilyRecord

    @property
    def flagged(self) -> bool:
        """Whether the remembered figure parts from an established rule."""
        return self.record.established and self.cell.verdict == MISSED

    @property
    def words(self) -> str:
        """The check in words; the standing stays what it was."""
        if not self.record.established:
            return f"no derived check: {self.record.words}, too few to check a remembered one by"
        if self.flagged:
            return (
                f"derived check: {self.record.words} and differs from this one, from memory. The "
                "table's figure stands; look it up in the book"
            )
        return (
            f"derived check: {self.record.words} and agrees with this one, from memory. Its standing "
            "stays memory until the book is seen"
        )


def families_of(ruleset: RuleSet, table: Table) -> frozenset[str]:
    """Name the families of calculations that a table's cells belong to."""
    found = (calculation(table, f, guide=is_guide(ruleset)) for f in cell_facts(table))
    return frozenset(one.family for one in found if isinstance(one, Calculation))


def family_records(
    books: Iterable[RuleSet], only: frozenset[str] | None = None
) -> dict[str, FamilyRecord]:
    """Count each family's confirmed cells over the books, or those of the families in `only`.

    A figure that several books print alike under the same keys counts once.
    """
    seen: dict[tuple[Calculation, object], bool] = {}
    for cell in _confirmed(books, only):
        assert cell.calculation is not None
        seen[cell.calculation, cell.printed] = cell.verdict == MET
    families = only if only is not None else {c.family for c, _ in seen}
    return {
        family: FamilyRecord(
            family,
            sum(met for (c, _), met in seen.items() if c.family == family),
            sum(c.family == family for c, _ in seen),
        )
        for family in families
    }


def _confirmed(books: Iterable[RuleSet], only: frozenset[str] | None) -> Iterator[CellBasis]:
    for book in books:
        for table in book.tables:
            families = families_of(book, table)
            if not families or (only is not None and not families & only):
                continue
            for place in range(len(table.cells)):
                cell = _confirmed_cell(book, table, place)
                if cell is not None and (only is None or _family(cell) in only):
                    yield cell


def _confirmed_cell(book: RuleSet, table: Table, place: int) -> CellBasis | None:
    note = table.note(place)
    if (note.standing if note and note.standing else table.standing) != "confirmed":
        return None
    cell = cell_basis(book, table, place)
    return cell if cell.check is not None else None


def _family(cell: CellBasis) -> str:
    return cell.calculation.family if cell.calculation else ""


def derived_check(cell: CellBasis, records: dict[str, FamilyRecord]) -> DerivedCheck | None:
    """Return the derived check of a remembered figure; None for any other, or with none to make."""
    if cell.standing != "memory" or cell.check is None or cell.calculation is None:
        return None
    family = cell.calculation.family
    return DerivedCheck(cell, records.get(family, FamilyRecord(family, 0, 0)))
