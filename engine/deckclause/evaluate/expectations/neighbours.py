"""How many figures held here a method meets: what an expectation may lean on.

Counted over the shipped books when what is generated is written (`counts.json` beside this file),
never typed; a test counts again. Cells of one kind that books print alike count once. A figure from
memory for which another has been given too counts as missed: one of the two may be the calculation.
Figures that a cap or a least size of the table gives say nothing of the method and are not counted.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from fractions import Fraction
from functools import cache
from pathlib import Path

from msgspec import Struct
from msgspec.structs import asdict

from deckclause.evaluate.expectations.methods import METHODS, kind_of
from deckclause.evaluate.tables.basis import CellBasis, table_basis
from deckclause.evaluate.tables.families import Calculation
from deckclause.rulesets.clauses import NOT_PERMITTED
from deckclause.rulesets.ruleset import RuleSet

FILE = Path(__file__).with_name("counts.json")
FEWEST = 6
"""Figures a kind must have before its method may say what to expect of another."""
SHARE = Fraction(1, 2)
"""Share of them the method must meet."""


class Neighbours(Struct, frozen=True):
    """The figures of one kind beside the method that gives their like.

    `printed` were seen in a named source, `memory` were not; `snow` counts those of both that are
    for a ground snow load. `unsafe_in` is by how many whole inches the method errs most on the
    unsafe side of a figure, `safe_in` on the other; `barred` counts cells in which the book permits
    nothing and the method does.
    """

    printed: int = 0
    printed_met: int = 0
    memory: int = 0
    memory_met: int = 0
    snow: int = 0
    snow_met: int = 0
    unsafe_in: int = 0
    safe_in: int = 0
    barred: int = 0

    @property
    def met(self) -> int:
        """How many figures the method meets."""
        return self.printed_met + self.memory_met

    @property
    def total(self) -> int:
        """How many figures it was compared with."""
        return self.printed + self.memory

    @property
    def may_tell(self) -> bool:
        """Whether the method meets enough of its kind to say what to expect."""
        return self.total >= FEWEST and self.met >= SHARE * self.total


def count_neighbours(books: Iterable[RuleSet]) -> dict[str, Neighbours]:
    """Count, for each kind, the figures that its method meets and misses."""
    kinds: dict[str, dict[tuple[Calculation, object], CellBasis]] = {}
    for cell in _compared(books):
        assert cell.calculation is not None
        seen = kinds.setdefault(kind_of(cell.calculation), {})
        key = (cell.calculation, cell.printed)
        if key not in seen or _weight(cell) > _weight(seen[key]):
            seen[key] = cell
    return {kind: _neighbours(cells.values()) for kind, cells in sorted(kinds.items())}


def _compared(books: Iterable[RuleSet]) -> Iterator[CellBasis]:
    for book in books:
        for table in book.tables:
            for cell in table_basis(book, table).cells:
                if cell.check is not None and not capped(cell):
                    yield cell


def capped(cell: CellBasis) -> bool:
    """Tell a figure that a cap or a least size gives: the method's own value lies elsewhere."""
    assert cell.explanation is not None
    assert cell.check is not None
    own, given = cell.explanation.unrounded_in, cell.explanation.cell_in
    return cell.check.agrees and own is not None and given is not None and abs(own - given) > 1


def _weight(cell: CellBasis) -> tuple[bool, bool]:
    """Sort a figure seen in print before one that was not, and a doubted one before the plain."""
    return cell.standing == "confirmed", _doubted(cell)


def _doubted(cell: CellBasis) -> bool:
    return cell.standing != "confirmed" and cell.note is not None and cell.note.also is not None


def _neighbours(cells: Iterable[CellBasis]) -> Neighbours:
    count = dict.fromkeys(asdict(Neighbours()), 0)
    for cell in cells:
        assert cell.calculation is not None
        assert cell.check is not None
        met = cell.check.agrees and not _doubted(cell)
        seen = "printed" if cell.standing == "confirmed" else "memory"
        count[seen] += 1
        count[f"{seen}_met"] += met
        if cell.calculation.under_snow:
            count["snow"] += 1
            count["snow_met"] += met
        for figure in _figures(cell):
            _add_miss(count, figure, cell)
    return Neighbours(**count)


def _figures(cell: CellBasis) -> Iterator[object]:
    yield cell.printed
    if _doubted(cell) and cell.note is not None:
        yield cell.note.also


def _add_miss(count: dict[str, int], figure: object, cell: CellBasis) -> None:
    calculated = cell.calculated
    if figure == NOT_PERMITTED and calculated != NOT_PERMITTED:
        count["barred"] += 1
    if isinstance(figure, Fraction) and isinstance(calculated, Fraction):
        assert cell.calculation is not None
        over = calculated - figure
        if METHODS[cell.calculation.family].asks_least:
            over = -over
        side = "unsafe_in" if over > 0 else "safe_in"
        count[side] = max(count[side], int(-(-abs(over) // 1)))


def counts_text(found: dict[str, Neighbours]) -> str:
    """Write counts as they are kept, a kind a line."""
    lines = (f"{json.dumps(kind)}: {json.dumps(asdict(one))}" for kind, one in found.items())
    return "{\n" + ",\n".join(lines) + "\n}\n"


@cache
def kept_counts() -> dict[str, Neighbours]:
    """Return the counts as they were last written; none of a kind is no ground for anything."""
    kept = json.loads(FILE.read_text(encoding="utf-8"))
    return {kind: Neighbours(**count) for kind, count in kept.items()}
