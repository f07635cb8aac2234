"""Checks of clauses over the whole input space: what can never hold, what holds twice, gaps."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from deckclause.evaluate.regions.asked import CONFLICT
from deckclause.evaluate.regions.explore import Piece
from deckclause.evaluate.regions.space import Range
from deckclause.evaluate.regions.words import RegionWords
from deckclause.evaluate.words import name_text
from deckclause.reading.forms import ByChoice
from deckclause.rulesets.clauses import (
    Clause,
    Condition,
    Fixed,
    Table,
    Test,
)
from deckclause.rulesets.walk import (
    clause_tables,
    condition_tests,
)
from deckclause.upkeep.lint.context import LintContext, ReadSet
from deckclause.upkeep.lint.finding import Found, Place
from deckclause.upkeep.lint.survey import Course, Surveyor

Pieces = list[Piece[Course]]


class ClauseChecks:
    """The checks that look at one clause at a time, sharing one survey of it."""

    def __init__(self, context: LintContext, surveyor: Surveyor) -> None:
        self.context = context
        self.surveyor = surveyor
        self._having: dict[int, list[ReadSet]] = {}
        self.words = RegionWords(context.vocabulary) if context.vocabulary else None

    def clauses(self) -> Iterator[tuple[ReadSet, Clause]]:
        """Yield every clause of every book, and the clauses that places changed."""
        for read in self.context.sets:
            for clause in read.ruleset.clauses:
                if not read.is_place or clause.origin.ordinance:
                    yield read, clause

    def _surveyed(self) -> Iterator[tuple[ReadSet, Clause, Pieces]]:
        for read, clause in self.clauses():
            pieces = self.surveyor.courses(read, clause)
            if pieces is not None:
                yield read, clause, pieces

    def _everywhere(self, read: ReadSet, clause: Clause) -> Iterator[Piece[Course]]:
        """Yield how a clause runs under its book, then under every place that left it as it is.

        Places under which it runs alike, as most do, are told once.
        """
        told = {id(self.surveyor.courses(read, clause))}
        yield from self.surveyor.courses(read, clause) or ()
        for other in self._with(clause):
            if other is not read:
                found = self.surveyor.courses(other, clause)
                if id(found) not in told:
                    told.add(id(found))
                    yield from found or ()

    def _with(self, clause: Clause) -> list[ReadSet]:
        """Return the rule sets that have this very clause."""
        if not self._having:
            for read in self.context.sets:
                for own in read.ruleset.clauses:
                    self._having.setdefault(id(own), []).append(read)
        return self._having.get(id(clause), [])

    def _example(self, piece: Piece[Course]) -> str:
        assert self.words is not None
        return self.words.space(piece.space)

    # -- what can never hold --------------------------------------------------------------------

    def never_applies(self) -> Found:
        """Find clauses whose conditions no design can meet."""
        for read, clause, pieces in self._surveyed():
            if _undecided(pieces):
                continue
            if not any(p.answer.applies for p in self._everywhere(read, clause)):
                yield place_of(clause), clause.key, f"{clause.key}: applies to no design"

    def never_in_scope(self) -> Found:
        """Find clauses that prescribe nothing: wherever they apply, they are outside their scope."""
        for read, clause, pieces in self._surveyed():
            if not any(p.answer.applies for p in pieces) or _undecided(pieces):
                continue
            if not any(p.answer.in_scope for p in self._everywhere(read, clause)):
                message = f"{clause.key}: wherever it applies it is outside its own scope"
                yield place_of(clause), clause.key, message

    def exception_never(self) -> Found:
        """Find exceptions that never fire where their clause applies and covers."""
        for read, clause, pieces in self._surveyed():
            if not clause.exceptions:
                continue
            fired = {i for p in self._everywhere(read, clause) for i in p.answer.fired}
            if not any(p.answer.in_scope for p in pieces) or _undecided(pieces):
                continue
            for i, exception in enumerate(clause.exceptions):
                if i not in fired:
                    message = f"{clause.key}: this exception never holds where the clause does"
                    yield Place(clause.origin.file, exception.line), clause.key, message

    def base_never(self) -> Found:
        """Find clauses whose own requirement never holds: some exception always takes its place."""
        for _, clause, pieces in self._surveyed():
            inside = [p for p in pieces if p.answer.in_scope]
            if inside and clause.exceptions and all(p.answer.fired for p in inside):
                message = f"{clause.key}: an exception always takes the place of the requirement"
                yield place_of(clause), clause.key, message

    def case_never(self) -> Found:
        """Find cases and choices of a figure that are never reached."""
        for read, clause, pieces in self._surveyed():
            if _undecided(pieces):
                continue
            values = read.lowered.cases(clause)
            if not values:
                continue
            reached = {
                (m.at, m.detail)
                for p in self._everywhere(read, clause)
                for m in p.answer.marks
                if m.kind == "case"
            }
            for place, value in enumerate(values):
                by_choice = isinstance(value, ByChoice)
                names = [case[0] if by_choice else n for n, case in enumerate(value.cases)]
                for name in names:
                    if (place, name) not in reached:
                        case = (
                            f"case {name + 1}"
                            if isinstance(name, int)
                            else f"the figure for {name}"
                        )
                        message = f"{clause.key}: {case} is never reached"
                        yield place_of(clause), clause.key, message

    # -- what holds twice -----------------------------------------------------------------------

    def exceptions_together(self) -> Found:
        """Find exceptions of one clause that can fire together."""
        for _, clause, pieces in self._surveyed():
            seen: set[tuple[int, ...]] = set()
            for piece in pieces:
                fired = piece.answer.fired
                if len(fired) > 1 and fired not in seen:
                    seen.add(fired)
                    lines = " and ".join(str(clause.exceptions[i].line) for i in fired)
                    message = (
                        f"{clause.key}: the exceptions of lines {lines} can hold together: "
                        f"{self._example(piece)}"
                    )
                    yield (
                        Place(clause.origin.file, clause.exceptions[fired[0]].line),
                        clause.key,
                        message,
                    )

    def cases_together(self) -> Found:
        """Find cases with different figures that hold together; the first counts, silently."""
        for _, clause, pieces in self._surveyed():
            seen: set[object] = set()
            for piece in pieces:
                for mark in piece.answer.marks:
                    if mark.kind == "two cases" and (mark.at, mark.detail) not in seen:
                        seen.add((mark.at, mark.detail))
                        assert isinstance(mark.detail, tuple)
                        one, two = (i + 1 for i in mark.detail)
                        message = (
                            f"{clause.key}: cases {one} and {two} can hold together, with different "
                            f"figures (the first counts): {self._example(piece)}"
                        )
                        yield place_of(clause), clause.key, message

    # -- gaps -----------------------------------------------------------------------------------

    def figure_gap(self) -> Found:
        """Find regions inside a clause's scope where its figure has no case, choice or key."""
        for _, clause, pieces in self._surveyed():
            gaps: dict[str, Piece[Course]] = {}
            for piece in pieces:
                for mark in piece.answer.marks:
                    if mark.kind in GAPS and mark.detail not in CATCH_ALL:
                        what = (
                            f" ({name_text(str(mark.detail))})" if mark.detail is not None else ""
                        )
                        gaps.setdefault(f"{GAPS[mark.kind]}{what}", piece)
            if gaps:
                (what, piece), *others = gaps.items()
                more = f" (and {len(others)} more such gaps)" if others else ""
                message = (
                    f"{clause.key}: {what}{more}; engineering is asked for here, though the scope "
                    f"covers it: {self._example(piece)}"
                )
                yield place_of(clause), clause.key, message

    # -- contradictions -------------------------------------------------------------------------

    def contradiction(self) -> Found:
        """Find limits no value can meet: the least above the most."""
        for _, clause, pieces in self._surveyed():
            for piece in pieces:
                asked = piece.answer.asked
                bounds = asked.bounds if asked and asked.status != CONFLICT else ()
                for bound in bounds:
                    if bound.least is None or bound.most is None:
                        continue
                    over = bound.least.minus(bound.most)
                    if over.is_constant and over.constant > 0:
                        message = f"{clause.key}: asks at least more than it allows at most"
                        yield place_of(clause), clause.key, message
                        break
            for condition in _conditions(clause):
                for test in condition_tests(condition):
                    if _is_empty(test):
                        message = (
                            f"{clause.key}: {name_text(test.quantity)} cannot lie in this range"
                        )
                        yield place_of(clause), clause.key, message

    def not_explored(self) -> Found:
        """Name the clauses too large, or not linear, to be explored: no check of regions covers them."""
        for read, clause in self.clauses():
            if self.surveyor.courses(read, clause) is None:
                message = (
                    f"{clause.key}: has more regions than are explored, or multiplies quantities"
                )
                yield place_of(clause), clause.key, message

    def unreachable_cell(self) -> Found:
        """Find cells of tables that no clause of their rule set can reach."""
        for read in self.context.books:
            for table in read.ruleset.tables:
                readers = [
                    (clause, self.surveyor.courses(read, clause))
                    for clause in read.ruleset.clauses
                    if any(t is table for t in clause_tables(clause))
                ]
                if not readers or any(p is None or _undecided(p) for _, p in readers):
                    continue
                missing = set(range(len(table.cells)))
                for clause, _ in readers:
                    missing -= _cells_read(self._everywhere(read, clause), table, len(missing))
                if missing:
                    first = cell_words(self.context, table, min(missing))
                    message = (
                        f"table {table.name}: no clause can reach {len(missing)} of its "
                        f"{len(table.cells)} cells, such as {first}"
                    )
                    yield self.context.place_of(table, read.ruleset), table.name, message


def _cells_read(pieces: Iterator[Piece[Course]], table: Table, enough: int) -> set[int]:
    """Return the cells of a table read on pieces; stop once there are `enough`."""
    found: set[int] = set()
    for piece in pieces:
        for mark in piece.answer.marks:
            if mark.kind == "cell" and mark.at == table.name:
                assert isinstance(mark.detail, int)
                found.add(mark.detail)
        if len(found) >= enough:
            break
    return found


GAPS = {
    "no case": "no case holds",
    "no key": "the table has no such key",
    "between keys": "the table has no figure between its keys",
}


CATCH_ALL = ("other", "not_listed", "unknown")
"""Choices that stand for everything else: a table need not have them."""


def place_of(clause: Clause) -> Place:
    """Return where a clause stands."""
    return Place(clause.origin.file, clause.origin.line)


def _undecided(pieces: Pieces) -> bool:
    return any(
        p.answer.applies is None or (p.answer.applies and p.answer.in_scope is None) for p in pieces
    )


def _is_empty(test: Test) -> bool:
    low, high = test.low, test.high
    if not isinstance(low, Fixed) or not isinstance(high, Fixed):
        return False
    if not isinstance(low.value, Fraction) or not isinstance(high.value, Fraction):
        return False
    return Range(low.value, test.low_open, high.value, test.high_open).empty


def _conditions(clause: Clause) -> Iterator[Condition]:
    yield from (clause.applies, clause.scope)
    yield from (e.when for e in clause.exceptions)


def cell_words(context: LintContext, table: object, place: int) -> str:
    """Name a cell by its keys."""
    from deckclause.upkeep.lint.tables import key_words

    return key_words(context, table, place)  # type: ignore[arg-type]
