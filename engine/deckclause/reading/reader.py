"""The reader of a lowered clause: what it means, whatever stands for facts and figures.

`Reader` walks the form; what a fact is, how two figures compare and add, and what a branch comes
to, is left to the hand it is run with: exact facts (`exact.py`), or a whole region of designs
(evaluate/regions). So a rule of meaning stands here once and holds in each.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from fractions import Fraction
from typing import Any, Generic

from msgspec import Struct

from deckclause.reading import forms
from deckclause.reading.fold import gives
from deckclause.reading.forms import OWN, Branch, Rule, exception, reading
from deckclause.reading.special import BEYOND, FORBIDDEN, UNSEEN, Special
from deckclause.reading.status import (
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
    NOT_APPLICABLE,
    Status,
)
from deckclause.reading.trace import (
    BranchRead,
    CellRead,
    Missing,
    PrintedCell,
    Result,
    Step,
    Trace,
)
from deckclause.rulesets.clauses import NOT_PERMITTED, NOT_SEEN, Table

CELL_WORDS = {NOT_PERMITTED: FORBIDDEN, NOT_SEEN: UNSEEN}
"""What a table may say in place of a figure."""


class NoFigure(Exception):
    """A quantity that no clause could give here was read: what reads it needs engineering."""

    def __init__(self, quantity: str) -> None:
        super().__init__(quantity)
        self.quantity = quantity


class Near(Struct, frozen=True):
    """Which keys of an axis are read: one, or two that the value lies between."""

    places: tuple[int, ...]


class NoBounds(Struct, frozen=True):
    """A bound is no figure: unknown (None), or special for a reason."""

    why: Special | None


def _no_figure(value: Any) -> bool:
    return value is None or isinstance(value, Special)


class Reader(ABC, Generic[Result]):
    """Reads truths, values and clauses; subclasses say what facts, figures and outcomes are."""

    def __init__(self) -> None:
        self.missing: list[Missing] = []
        """What was unknown and left open what was read, in the order of reading."""
        self._steps: list[Step] = []
        self._cell: CellRead | None = None

    # -- what a hand says -------------------------------------------------------------------------

    @abstractmethod
    def look_up(self, name: str) -> Any:
        """Return a fact's value; None where unknown, BEYOND where no clause could give it."""

    @abstractmethod
    def distance(self, span: forms.Span) -> Any:
        """Return a distance; None where it is not fixed."""

    @abstractmethod
    def constant(self, figure: Fraction | str | bool) -> Any:
        """Return a figure of the rule set as the hand holds figures."""

    @abstractmethod
    def is_one_of(self, fact: forms.Fact, options: Sequence[str | bool]) -> bool | None:
        """Tell whether a fact is one of the options; None where it is unknown."""

    @abstractmethod
    def at_most(self, one: Any, two: Any, *, strict: bool = False) -> bool:
        """Tell whether one figure is at most another (or, strictly, less)."""

    @abstractmethod
    def combine(self, operation: str, one: Any, two: Any) -> Any:
        """Combine two figures by `sum`, `product`, `least` or `greatest`."""

    @abstractmethod
    def between(self, low: Any, high: Any, keys: tuple[Fraction, Fraction], value: Any) -> Any:
        """Return the figure between two, as far along as the value lies between the keys."""

    @abstractmethod
    def limits(self, ask: forms.Limits | forms.Member) -> Result:
        """Return what a limit comes to."""

    @abstractmethod
    def gives(self, ask: forms.Gives) -> Result:
        """Return what giving a value comes to."""

    @abstractmethod
    def settled(self, status: Status, beyond: str = "") -> Result:
        """Return an outcome that is a status and no more; `missing` is its own."""

    @abstractmethod
    def undecided(self, outcome: Result, missing: tuple[Missing, ...]) -> Result:
        """Return what an outcome comes to where another branch may hold that changes it."""

    @abstractmethod
    def parts_from(self, governing: Result, other: Result, *, gives: bool) -> bool:
        """Tell whether a branch that may hold as well would change what the clause comes to.

        `gives` tells that the clause gives a value, which then counts as well as the status.
        """

    @abstractmethod
    def strictest(
        self, read: list[BranchRead[Result]], *, gives: bool
    ) -> tuple[BranchRead[Result], Result, tuple[Branch, ...]]:
        """Return which of several readings governs, what it comes to, and what it leaves open."""

    @abstractmethod
    def conflict(self, rule: Rule, one: int, two: int) -> Result:
        """Say that two exceptions of a clause fire together: the rule set is at fault."""

    # -- steps ------------------------------------------------------------------------------------

    def _note(self, node: forms.Node, gave: Any, mark: int, cell: CellRead | None = None) -> Any:
        """Close a step over everything read since `mark`."""
        self._steps[mark:] = [Step(node, gave, tuple(self._steps[mark:]), cell)]
        return gave

    def _last(self) -> Step:
        return self._steps.pop()

    # -- facts ------------------------------------------------------------------------------------

    def fact(self, fact: forms.Fact) -> Any:
        """Read a fact; an unknown one is noted. Raises NoFigure for one that could not be given."""
        value = self.look_up(fact.name)
        self._note(fact, value, len(self._steps))
        if value is None:
            self.missing.append(fact.name)
        elif value is BEYOND:
            raise NoFigure(fact.name)
        return value

    def subject(self, subject: forms.Subject) -> Any:
        """Read what a limit is set on."""
        if isinstance(subject, forms.Fact):
            return self.fact(subject)
        value = self.distance(subject)
        self._note(subject, value, len(self._steps))
        if value is None:
            self.missing.append((subject.start, subject.end))
        return value

    # -- truths -----------------------------------------------------------------------------------

    def truth(self, node: forms.Truth) -> bool | None:
        """Read a truth: True, False, or None for unknown. Raises NoFigure."""
        mark, lacking = len(self._steps), len(self.missing)
        match node:
            case forms.OneOf(fact, options):
                found = self.is_one_of(fact, options)
            case forms.Within():
                found = self._within(node)
            case forms.Every(parts):
                found = self._joined(parts, stop=False)
            case forms.Some(parts):
                found = self._joined(parts, stop=True)
            case forms.Opposite(part):
                inner = self.truth(part)
                found = None if inner is None else not inner
        if found is not None:
            del self.missing[lacking:]  # decided: what was unknown on the way is not needed
        self._note(node, found, mark)
        return found

    def _joined(self, parts: tuple[forms.Truth, ...], *, stop: bool) -> bool | None:
        result: bool | None = not stop
        for part in parts:
            inner = self.truth(part)
            if inner is stop:
                return stop
            if inner is None:
                result = None
        return result

    def _within(self, node: forms.Within) -> bool | None:
        value = self.fact(node.fact)
        bounds = [
            (self.value(bound), is_open, is_low)
            for bound, is_open, is_low in (
                (node.low, node.low_open, True),
                (node.high, node.high_open, False),
            )
            if bound is not None
        ]
        if value is None or any(figure is None or figure is UNSEEN for figure, _, _ in bounds):
            return None
        if any(isinstance(figure, Special) for figure, _, _ in bounds):
            return False  # nothing lies within a figure that there is not
        return all(
            self.at_most(figure, value, strict=is_open)
            if is_low
            else self.at_most(value, figure, strict=is_open)
            for figure, is_open, is_low in bounds
        )

    # -- values -----------------------------------------------------------------------------------

    def value(self, node: forms.Value) -> Any:
        """Read a value: a figure, a choice, None for unknown, or a Special. Raises NoFigure."""
        if isinstance(node, forms.Fact | forms.Span):
            return self.subject(node)
        mark = len(self._steps)
        cell = None
        match node:
            case forms.Constant(figure, _):
                found = self.constant(figure)
            case forms.ByChoice():
                found = self._by_choice(node)
            case forms.FirstCase(cases):
                found = self._first_case(cases)
            case forms.Combined(operation, parts, _):
                found = self._combined(operation, parts)
            case forms.Cell():
                found, cell = self._cell_of(node)
        return self._note(node, found, mark, cell)

    def _by_choice(self, node: forms.ByChoice) -> Any:
        for choice, case in node.cases:
            holds = self.is_one_of(node.chosen, (choice,))
            if holds is None:
                return None
            if holds:
                return self.value(case)
        return BEYOND

    def _first_case(self, cases: tuple[tuple[forms.Truth, forms.Value], ...]) -> Any:
        for when, case in cases:
            holds = self.truth(when)
            if holds is None:
                return None
            if holds:
                return self.value(case)
        return BEYOND

    def _combined(self, operation: str, parts: tuple[forms.Value, ...]) -> Any:
        figures = [self.value(part) for part in parts]
        for figure in figures:
            if figure is None or isinstance(figure, Special):
                return figure
        total = figures[0]
        for figure in figures[1:]:
            total = self.combine(operation, total, figure)
        return total

    # -- tables -----------------------------------------------------------------------------------

    def _cell_of(self, node: forms.Cell) -> tuple[Any, CellRead | None]:
        entered = [self.value(key.entered) for key in node.keys]
        if any(value is None for value in entered):
            return None, None
        near = self.entries(node.keys, entered)
        table, values = node.table, tuple(entered)
        outside = tuple(axis for axis, found in enumerate(near) if not found.places)
        if outside:
            return BEYOND, CellRead(table, values, (), outside=outside)
        *first, last = near
        row = tuple(found.places[0] for found in first)
        places = [table.position((*row, place)) for place in last.places]
        figures = [self._printed(table, place) for place in places]
        cells = tuple(printed_cell(table, place) for place in places)
        if len(figures) == 1:
            return figures[0], CellRead(table, values, cells)
        low, high = (node.keys[-1].keys[place] for place in last.places)
        assert isinstance(low, Fraction)
        assert isinstance(high, Fraction)
        read = CellRead(table, values, cells, self.share((low, high), entered[-1]))
        for figure in figures:
            if isinstance(figure, Special):
                return figure, read
        return self.between(figures[0], figures[1], (low, high), entered[-1]), read

    def share(self, keys: tuple[Fraction, Fraction], value: Any) -> Fraction | None:
        """Return how far along a value lies between two keys, where that is one number."""
        return None

    def _printed(self, table: Table, place: int) -> Any:
        cell = table.cells[place]
        return self.constant(cell) if isinstance(cell, Fraction) else CELL_WORDS[cell]

    def entries(self, keys: Sequence[forms.Key], entered: Sequence[Any]) -> list[Near]:
        """Return where each axis is entered; all of them, for a reader wants to hear of every one."""
        return [self.near(key, value) for key, value in zip(keys, entered, strict=True)]

    def near(self, key: forms.Key, value: Any) -> Near:
        """Return the places of the keys read for a value: none, one, or two to go between."""
        if isinstance(value, str):
            return Near((key.keys.index(value),) if value in key.keys else ())
        keys = [self.constant(k) for k in key.keys if isinstance(k, Fraction)]
        if key.between == "next_smaller":
            return self._next_smaller(keys, value)
        if key.between == "interpolate" and keys and not self.at_most(keys[0], value):
            return Near(())
        for place, figure in enumerate(keys):
            if not self.at_most(value, figure):
                continue
            if key.between == "next_larger" or self.at_most(figure, value):
                return Near((place,))
            return Near((place - 1, place) if key.between == "interpolate" else ())
        return Near(())

    def _next_smaller(self, keys: list[Any], value: Any) -> Near:
        place = -1
        for number, figure in enumerate(keys):
            if not self.at_most(figure, value):
                break
            place = number
        return Near((place,) if place >= 0 else ())

    # -- what is asked ----------------------------------------------------------------------------

    def branch(self, branch: Branch, ask: forms.Ask) -> BranchRead[Result]:
        """Read what one branch asks, as if it governed; what it lacks is its own."""
        with self._apart():
            try:
                outcome = self._ask(ask)
            except NoFigure as none:
                outcome = self.settled(ENGINEERING_REQUIRED, none.quantity)
            self._note(ask, outcome, 0)
            return BranchRead(branch, outcome, self._last())

    def _ask(self, ask: forms.Ask) -> Result:
        match ask:
            case forms.Limits() | forms.Member():
                return self.limits(ask)
            case forms.Gives():
                return self.gives(ask)
            case forms.Holds(condition, wanted):
                holds = self.truth(condition)
                return self.held(None if holds is None else holds is wanted)
            case forms.Settled(status, _, _):
                return self.settled(status)

    @abstractmethod
    def held(self, met: bool | None) -> Result:
        """Return what a condition comes to that is met, not met, or unknown."""

    def bounds(self, ask: forms.Limits) -> tuple[Any, Any] | NoBounds:
        """Return the least and the most a limit allows, or why there is no such figure."""
        if ask.exactly is not None:
            exactly = self.value(ask.exactly)
            return NoBounds(exactly) if _no_figure(exactly) else (exactly, exactly)
        found: list[Any] = []
        for bound in (ask.least, ask.most):
            figure = None if bound is None else self.value(bound)
            if bound is not None and _no_figure(figure):
                return NoBounds(figure)
            found.append(figure)
        return found[0], found[1]

    @contextmanager
    def _apart(self) -> Iterator[None]:
        """Read something with steps and missing facts of its own."""
        steps, missing = self._steps, self.missing
        self._steps, self.missing = [], []
        try:
            yield
        finally:
            self._steps, self.missing = steps, missing

    # -- clauses ----------------------------------------------------------------------------------

    def clause(self, rule: Rule) -> Trace[Result]:
        """Read a clause from its first gate to what it comes to."""
        with self._apart():
            return self._clause(rule)

    def decided(self, node: forms.Truth) -> tuple[bool | None, Step, str]:
        """Read what is decided before anything is asked; the quantity that has no figure, if any."""
        mark = len(self._steps)
        try:
            holds, beyond = self.truth(node), ""
        except NoFigure as none:
            holds, beyond = None, none.quantity
            self._note(node, BEYOND, mark)
        return holds, self._last(), beyond

    def _clause(self, rule: Rule) -> Trace[Result]:
        holds, applies, beyond = self.decided(rule.applies)
        if beyond or holds is not True:
            outcome = self._stopped(holds, NOT_APPLICABLE, beyond)
            return Trace(rule, outcome, OWN, applies)
        holds, scope, beyond = self.decided(rule.scope)
        if beyond or holds is not True:
            outcome = self._stopped(holds, ENGINEERING_REQUIRED, beyond)
            return Trace(rule, outcome, OWN, applies, scope)
        if rule.exceptions:
            return self._with_exceptions(rule, applies, scope)
        read = [self.branch(OWN, rule.own)]
        read += [self.branch(reading(n), ask) for n, ask in enumerate(rule.readings, 1)]
        governs, outcome, open_ = self.strictest(read, gives=gives(rule))
        others = (r for r in read if r is not governs)
        return Trace(rule, outcome, governs.branch, applies, scope, (), (governs, *others), open_)

    def _stopped(self, holds: bool | None, otherwise: Status, beyond: str) -> Result:
        if beyond:
            return self.settled(ENGINEERING_REQUIRED, beyond)
        return self.settled(INFORMATION_MISSING if holds is None else otherwise)

    def _with_exceptions(self, rule: Rule, applies: Step, scope: Step) -> Trace[Result]:
        fired, unknown = 0, []
        steps: list[Step] = []
        for number, (when, _) in enumerate(rule.exceptions, 1):
            holds, step, beyond = self.decided(when)
            steps.append(step)
            if beyond:
                outcome = self.settled(ENGINEERING_REQUIRED, beyond)
                return Trace(rule, outcome, OWN, applies, scope, tuple(steps))
            if holds and fired:
                outcome = self.conflict(rule, fired, number)
                return Trace(rule, outcome, exception(fired), applies, scope, tuple(steps))
            if holds:
                fired = number
            elif holds is None:
                unknown.append(exception(number))
        branch = exception(fired) if fired else OWN
        governs = self.branch(branch, rule.ask(branch))
        others = [self.branch(b, rule.ask(b)) for b in unknown]
        outcome = governs.outcome
        if any(self.parts_from(outcome, o.outcome, gives=gives(rule)) for o in others):
            outcome = self.undecided(outcome, tuple(self.missing))
        return Trace(
            rule,
            outcome,
            branch,
            applies,
            scope,
            tuple(steps),
            (governs, *others),
            tuple(unknown),
        )


def printed_cell(table: Table, place: int) -> PrintedCell:
    """Return a printed cell by its place in the table."""
    keys: list[Fraction | str] = []
    rest = place
    for axis in reversed(table.axes):
        rest, at = divmod(rest, len(axis.keys))
        keys.append(axis.keys[at])
    return PrintedCell(table, place, tuple(reversed(keys)), table.cells[place], table.note(place))
