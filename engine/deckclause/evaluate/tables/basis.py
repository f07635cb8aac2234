"""Every cell of a rule set's tables beside the calculation that meets or misses it.

The printed figure is the rule; the calculation stands beside it. Agreement never raises a
figure's standing and disagreement never changes the figure: both are only said.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from fractions import Fraction
from functools import cache
from itertools import product

from msgspec import Struct

from deckclause.engineering.basis import Standing
from deckclause.engineering.cautions import Caution, for_topic
from deckclause.engineering.members.species import UnknownLumberError
from deckclause.engineering.tables.explain import explain_cell
from deckclause.engineering.tables.explanation import (
    CellCheck,
    Explanation,
    UnknownCellError,
    check_cell,
)
from deckclause.evaluate.tables.families import Calculation, Facts, NoCalculation, calculation
from deckclause.rulesets.clauses import NOT_PERMITTED, NOT_SEEN, CellNote, Table
from deckclause.rulesets.ruleset import RuleSet

MET = "met"
MISSED = "missed"
UNSEEN = "print not seen"
NONE = "no calculation"
VERDICTS = (MET, MISSED, UNSEEN, NONE)


class CellBasis(Struct, frozen=True):
    """One cell of a table: what is printed, how well it is known, and what calculation gives.

    `explanation` is None where there is no calculation, and `reason` then says why. `check`
    compares the two where the print was seen too.
    """

    table: Table
    place: int
    facts: Facts
    printed: Fraction | str
    standing: str
    sources: tuple[str, ...]
    note: CellNote | None
    calculation: Calculation | None
    explanation: Explanation | None
    check: CellCheck | None
    reason: str = ""

    @property
    def verdict(self) -> str:
        """`met`, `missed`, `print not seen` or `no calculation`; none of them is compliance."""
        if self.explanation is None:
            return NONE
        if self.check is None:
            return UNSEEN
        return MET if self.check.agrees else MISSED

    @property
    def calculated(self) -> Fraction | str | None:
        """The figure calculated, in the terms of a table's cell; None without a calculation."""
        if self.explanation is None:
            return None
        cell = self.explanation.cell_in
        return NOT_PERMITTED if cell is None else Fraction(cell)

    @property
    def cautions(self) -> tuple[Caution, ...]:
        """The cautions that go with this figure; a value near a rounding step adds its own."""
        if self.explanation is None or self.calculation is None:
            return ()
        near = ("near_a_limit",) if self.explanation.near_tie else ()
        given = tuple(caution.key for caution in self.explanation.cautions)
        return for_topic(self.calculation.topic, *given, *near)


class TableBasis(Struct, frozen=True):
    """A table of a rule set with every cell beside its calculation."""

    ruleset: str
    table: Table
    cells: tuple[CellBasis, ...]

    def with_verdict(self, verdict: str) -> tuple[CellBasis, ...]:
        """Return the cells of one verdict, in the table's order."""
        return tuple(cell for cell in self.cells if cell.verdict == verdict)

    def met_of(self, standing: str | None = None) -> tuple[int, int]:
        """Count the cells met and the cells compared, of one standing or of all."""
        compared = [c for c in self.cells if c.check is not None and standing in (None, c.standing)]
        return sum(c.verdict == MET for c in compared), len(compared)


AWC = "awc-"
"""Begins the id of the guide whose tables follow a method of their own."""


def table_basis(
    ruleset: RuleSet, table: Table, *, wanted: Callable[[Facts], bool] = lambda _: True
) -> TableBasis:
    """Put every cell of a table beside its calculation; `wanted` may narrow the cells by keys."""
    keep = (
        cell_basis(ruleset, table, place)
        for place, facts in enumerate(cell_facts(table))
        if wanted(facts)
    )
    return TableBasis(ruleset.name, table, tuple(keep))


def cell_facts(table: Table) -> Iterator[Facts]:
    """Yield the keys of each cell, in the order of the table's cells."""
    names = [axis.quantity for axis in table.axes]
    for keys in product(*(axis.keys for axis in table.axes)):
        yield dict(zip(names, keys, strict=True))


def cell_basis(ruleset: RuleSet, table: Table, place: int) -> CellBasis:
    """Put one cell of a table beside its calculation."""
    facts = _facts_at(table, place)
    note = table.note(place)
    standing = note.standing if note and note.standing else table.standing
    sources = note.sources if note and note.sources else table.sources
    printed = table.cells[place]
    found = calculation(table, facts, guide=is_guide(ruleset))
    explained = explained_by(found) if isinstance(found, Calculation) else found
    if isinstance(explained, NoCalculation):
        return CellBasis(
            table, place, facts, printed, standing, sources, note, None, None, None,
            explained.reason,
        )  # fmt: skip
    assert isinstance(found, Calculation)
    return CellBasis(
        table, place, facts, printed, standing, sources, note, found, explained,
        _check(explained, printed, standing),
    )  # fmt: skip


def is_guide(ruleset: RuleSet) -> bool:
    """Tell whether a rule set's tables are those of the AWC guide.

    A state's code kept among the guides has tables of the code's own method.
    """
    return any(name.startswith(AWC) for name in (ruleset.name, *(x.name for x in ruleset.layers)))


def _facts_at(table: Table, place: int) -> Facts:
    facts: Facts = {}
    for axis in reversed(table.axes):
        place, index = divmod(place, len(axis.keys))
        facts[axis.quantity] = axis.keys[index]
    return dict(reversed(facts.items()))


@cache
def explained_by(found: Calculation) -> Explanation | NoCalculation:
    """Run a calculation once, for editions repeat each other's tables; or say why it gives nothing."""
    try:
        return explain_cell(found.family, dict(found.keys))
    except (UnknownCellError, UnknownLumberError, ValueError) as problem:
        return NoCalculation(str(problem))


def _check(explanation: Explanation, printed: Fraction | str, standing: str) -> CellCheck | None:
    """Compare where the print was seen; every table calculated here prints whole inches."""
    if printed == NOT_SEEN:
        return None
    if printed == NOT_PERMITTED:
        return check_cell(explanation, None, Standing(standing))
    is_whole = isinstance(printed, Fraction) and printed.denominator == 1
    whole = int(printed) if is_whole else -1  # a part of an inch, or a word, is never met
    return check_cell(explanation, whole, Standing(standing))
