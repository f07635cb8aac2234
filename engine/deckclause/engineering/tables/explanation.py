"""The explanation of one table cell: inputs, factors, checks, rounding, and the cell itself."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct

from deckclause.engineering.basis import Basis, Check, Factor, Standing
from deckclause.engineering.cautions import Caution
from deckclause.engineering.rounding import Rounding, feet_inches, round_inches

NOT_PERMITTED = "NP"
"""Printed where a table allows nothing."""

NEAR_TIE_IN = 0.05
"""Distance from a rounding tie, inches, within which a cell may fall either way."""


class UnknownCellError(ValueError):
    """Keys that name no cell we can calculate; there is then no answer."""


class Explanation(Struct, frozen=True):
    """How one cell of a table family comes about.

    `unrounded_in` and `cell_in` are inches; both None where nothing is permitted. `fitted`
    names every choice made by looking at the table: those cells are explained, not predicted.
    `governed_by` names the check, with the species that gave it where a group is meant.
    """

    family: str
    keys: tuple[tuple[str, str], ...]
    basis: Basis
    inputs: tuple[str, ...]
    factors: tuple[Factor, ...]
    checks: tuple[Check, ...]
    governed_by: str
    unrounded_in: float | None
    rounding: Rounding
    cell_in: int | None
    in_feet: bool
    fitted: tuple[str, ...]
    notes: tuple[str, ...]
    cautions: tuple[Caution, ...]

    @property
    def cell_text(self) -> str:
        """The cell as a table prints it: `11-10`, `16`, or `NP`."""
        if self.cell_in is None:
            return NOT_PERMITTED
        return feet_inches(self.cell_in) if self.in_feet else str(self.cell_in)

    @property
    def near_tie(self) -> bool:
        """Whether the unrounded value stands so near a rounding tie that either cell is fair."""
        if self.unrounded_in is None:
            return False
        step = 0.5 if self.rounding is Rounding.NEAREST else 0.0
        offset = (self.unrounded_in - step) % 1
        return min(offset, 1 - offset) <= NEAR_TIE_IN

    def lines(self) -> tuple[str, ...]:
        """Print the explanation, one fact a line."""
        head = ", ".join(f"{name} {value}" for name, value in self.keys)
        value = "nothing" if self.unrounded_in is None else f"{self.unrounded_in:.2f} in"
        return (
            f"{self.family}: {head}",
            f"basis: {self.basis.value}",
            *self.inputs,
            *(factor.line() for factor in self.factors),
            *(check.line() for check in self.checks),
            f"governed by {self.governed_by}",
            f"unrounded {value}, {self.rounding.value}: {self.cell_text}",
            *(f"fitted choice: {choice}" for choice in self.fitted),
            *(f"note: {note}" for note in self.notes),
        )


class CellCheck(Struct, frozen=True):
    """A printed cell beside its calculation. Agreement never raises the printed standing."""

    explanation: Explanation
    printed: int | None
    standing: Standing
    agrees: bool
    difference_in: int | None
    flag: str | None

    @property
    def note(self) -> str:
        """A sentence for the cell's note."""
        if self.agrees:
            return f"the calculation gives the same ({self.explanation.cell_text})"
        return f"the calculation gives {self.explanation.cell_text}"


class FamilySummary(Struct, frozen=True):
    """How many cells of a table the calculation meets, and the ones it misses."""

    met: int
    total: int
    misses: tuple[CellCheck, ...]


def finish(raw_in: float, rounding: Rounding, cap_in: int | None = None) -> int:
    """Round an unrounded value and apply a table's cap, inches.

    >>> finish(223.4, Rounding.NEAREST, cap_in=216)
    216
    """
    rounded = round_inches(raw_in, rounding)
    return rounded if cap_in is None else min(rounded, cap_in)


def check_cell(explanation: Explanation, printed: int | None, standing: Standing) -> CellCheck:
    """Compare a printed cell (inches, None for NP) with its calculation.

    A `memory` cell that agrees gains a note, not a standing; one that disagrees gains a flag,
    for the lint list and the validation page. A `confirmed` cell that disagrees is explained,
    never corrected: the print is the code.
    """
    agrees = explanation.cell_in == printed
    difference = (
        None if explanation.cell_in is None or printed is None else explanation.cell_in - printed
    )
    flag = None
    if not agrees and standing in (Standing.MEMORY, Standing.DERIVED):
        flag = f"{standing.value} cell differs from its calculation ({explanation.cell_text})"
    return CellCheck(explanation, printed, standing, agrees, difference, flag)


def summarise(checks: Iterable[CellCheck]) -> FamilySummary:
    """Count the cells met and list the misses."""
    every = tuple(checks)
    misses = tuple(check for check in every if not check.agrees)
    return FamilySummary(len(every) - len(misses), len(every), misses)
