"""What a reader found and how: the trace of one clause on one set of facts.

A trace is a tree of steps, one for each node that was read, in the order of reading; what was not
read has no step. Two traces of one topic can be held side by side: same branch or not, same cells
or not, same value or not.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Any, Generic, TypeVar

from msgspec import Struct

from deckclause.reading.forms import Branch, Cell, Fact, Node, Rule, Span
from deckclause.reading.special import Special
from deckclause.reading.status import Status
from deckclause.rulesets.clauses import CellNote, Scalar, Table

Result = TypeVar("Result")
"""What a reader makes of a branch: an `Outcome` on facts that are known or not."""
Missing = str | tuple[str, str]
"""A quantity by its name, or a distance by its two datums."""


class PrintedCell(Struct, frozen=True):
    """One cell of a table: its place, the keys it is printed at, its figure, the note on it."""

    table: Table
    place: int
    keys: tuple[Fraction | str, ...]
    figure: Fraction | str
    note: CellNote | None

    @property
    def standing(self) -> str:
        """The standing of the cell: its note's own, else the table's."""
        return self.note.standing if self.note and self.note.standing else self.table.standing

    @property
    def sources(self) -> tuple[str, ...]:
        """The sources of the cell: its note's own, else the table's."""
        return self.note.sources if self.note and self.note.sources else self.table.sources


class CellRead(Struct, frozen=True):
    """The reading of a table: what it was entered with, and the one cell or the two read.

    `cells` is empty outside the keys. Of two cells the value lies `share` of the way from the
    first to the second. `outside` are the axes (by number) no key of which is read.
    """

    table: Table
    entered: tuple[Scalar, ...]
    cells: tuple[PrintedCell, ...]
    share: Fraction | None = None
    outside: tuple[int, ...] = ()


class Step(Struct, frozen=True):
    """One node that was read, what it gave, and the steps beneath it."""

    node: Node
    gave: Any
    steps: tuple[Step, ...] = ()
    cell: CellRead | None = None

    def walk(self) -> Iterator[Step]:
        """Yield this step and every one beneath it, in the order of reading."""
        yield self
        for step in self.steps:
            yield from step.walk()


class Outcome(Struct, frozen=True):
    """What one branch comes to: a status, the subject's value, its bounds, what it lacks.

    `no_figure` is why there is none (BEYOND, FORBIDDEN, UNSEEN); `beyond` the quantity that was
    read and that no clause could give here.
    """

    status: Status
    value: Scalar | None = None
    least: Fraction | None = None
    most: Fraction | None = None
    missing: tuple[Missing, ...] = ()
    no_figure: Special | None = None
    beyond: str = ""


class BranchRead(Struct, Generic[Result], frozen=True):
    """A branch that was read: its step, and what came of it."""

    branch: Branch
    outcome: Result
    step: Step


class Trace(Struct, Generic[Result], frozen=True):
    """One clause read on one set of facts.

    `applies` and `scope` are the gates, the second None where the first was not passed;
    `exceptions` the truth of each exception's condition; `read` every branch that was read, the
    governing one first. `undecided` are the branches that might hold besides the governing one:
    exceptions whose condition is unknown, or readings that give another value.
    """

    rule: Rule
    outcome: Result
    branch: Branch
    applies: Step
    scope: Step | None = None
    exceptions: tuple[Step, ...] = ()
    read: tuple[BranchRead[Result], ...] = ()
    undecided: tuple[Branch, ...] = ()

    @property
    def governing(self) -> BranchRead[Result] | None:
        """The branch whose words govern; None where a gate already decided."""
        return self.read[0] if self.read else None

    @property
    def cells(self) -> tuple[CellRead, ...]:
        """The table readings of the governing branch, each once, those outside a table too."""
        if self.governing is None:
            return ()
        found = (s.cell for s in self.governing.step.walk() if s.cell is not None)
        return tuple(dict.fromkeys(found))

    @property
    def printed_cells(self) -> tuple[PrintedCell, ...]:
        """The printed cells the governing branch's figures rest on."""
        return tuple(dict.fromkeys(cell for read in self.cells for cell in read.cells))

    @property
    def steps(self) -> tuple[Step, ...]:
        """Everything that bears on the finding: gates, exceptions, the governing branch."""
        roots = [self.applies, *([self.scope] if self.scope else []), *self.exceptions]
        return (*roots, *([self.governing.step] if self.governing else []))

    @property
    def facts(self) -> dict[Missing, Any]:
        """Each quantity and distance that was read, in order, with its value (None: unknown)."""
        found: dict[Missing, Any] = {}
        for root in self.steps:
            for step in root.walk():
                if isinstance(step.node, Fact):
                    found[step.node.name] = step.gave
                elif isinstance(step.node, Span):
                    found[step.node.start, step.node.end] = step.gave
        return found


def cell_steps(step: Step) -> Iterator[tuple[Cell, CellRead]]:
    """Yield every reading of a table beneath a step."""
    for found in step.walk():
        if found.cell is not None and isinstance(found.node, Cell):
            yield found.node, found.cell
