"""What to expect of a figure that was not seen in print; the finding stays undecided.

Two kinds of finding have one: a clause that read a cell `not seen`, and a clause `unmodelled` because
the rows for ground snow over 40 psf were not seen. For the second the clauses of the same topic are
read as if the load were 40 psf, to find the cell; the method then gives it under the snow load, no
better than the 40 psf figure where that is held. Nothing here decides anything.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from msgspec import Struct

from deckclause.evaluate.expectations.methods import METHODS, kind_of
from deckclause.evaluate.expectations.neighbours import Neighbours, kept_counts
from deckclause.evaluate.findings import Finding
from deckclause.evaluate.status import (
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
    NOT_APPLICABLE,
)
from deckclause.evaluate.tables.basis import explained_by, is_guide
from deckclause.evaluate.tables.families import (
    LIVE_LOAD_KEY,
    Calculation,
    Facts,
    NoCalculation,
    calculation,
)
from deckclause.evaluate.traces import Traces
from deckclause.reading.forms import Cell, Fact, Limits
from deckclause.reading.trace import CellRead, Outcome, PrintedCell, Trace, cell_steps
from deckclause.rulesets.clauses import NOT_PERMITTED, NOT_SEEN
from deckclause.rulesets.walk import is_unmodelled

SNOW = "loads.framing_table_snow"
SNOW_ROWS = tuple(Fraction(psf, 144) for psf in (50, 60, 70))
"""The ground snow loads (psi) for which the 2021 framing tables have figures, as their own clause on
what the tables serve says (topic framing_table_load)."""


class Expected(Struct, frozen=True):
    """What a method gives for one figure not seen, or why none is expected.

    `quantity` is what the clause limits, where that is one fact. `figure` is inches; None where the method permits nothing (`barred`) or none is expected
    (`reason`). `at_least` tells which way the limit goes. `neighbours` are the figures of its kind.
    """

    part: str
    clause: str
    quantity: str
    at_least: bool
    kind: str
    unit: str
    figure: Fraction | None = None
    barred: bool = False
    method: str = ""
    of: str = ""
    neighbours: Neighbours | None = None
    reason: str = ""

    @property
    def tells(self) -> bool:
        """Whether there is an expectation at all."""
        return not self.reason


def expected(finding: Finding, traces: Traces) -> tuple[Expected, ...]:
    """Return what to expect where a finding is undecided because print was not seen; else nothing."""
    if finding.status != INFORMATION_MISSING or finding.missing:
        return ()
    if is_unmodelled(finding.requirement):
        return tuple(_for_snow(finding, traces))
    trace = traces.of(finding)
    found = _read(trace)
    if found is None or all(cell.figure != NOT_SEEN for cell in found.read.cells):
        return ()
    return (_Figure(finding.part, finding.key, finding.unit, traces).of(found, None),)


# -- which cell it is ------------------------------------------------------------------------------


class _Bound(Struct, frozen=True):
    """A table read as one end of a limit."""

    read: CellRead
    quantity: str
    kind: str
    at_least: bool


def _read(trace: Trace[Outcome]) -> _Bound | None:
    """Return the table that alone is a limit's bound; None where the limit is anything else."""
    governing = trace.governing
    if governing is None or not isinstance(governing.step.node, Limits):
        return None
    limits = governing.step.node
    for node, read in cell_steps(governing.step):
        if isinstance(node, Cell) and (node is limits.most or node is limits.least):
            subject = limits.subject.name if isinstance(limits.subject, Fact) else ""
            return _Bound(read, subject, node.kind, node is limits.least)
    return None


def _for_snow(finding: Finding, traces: Traces) -> Iterator[Expected]:
    """Yield what to expect under snow, from the clauses of the topic that serve 40 psf."""
    load = traces.facts(finding).get(SNOW)
    if not isinstance(load, Fraction) or load <= LIVE_LOAD_KEY:
        return
    row = next((row for row in SNOW_ROWS if load <= row), None)
    if row is None:
        return
    evaluation = traces.evaluation
    for place, clause in enumerate(evaluation.ruleset.clauses):
        if clause.topic != finding.topic or is_unmodelled(clause.requirement):
            continue
        group = traces.group(place)
        named = evaluation.design.named_parts(group) if group else (("", {}),)
        for part, _ in named:
            if finding.part in ("", part):
                trace = traces.read_if(place, part, {SNOW: LIVE_LOAD_KEY})
                yield from _of_clause(_Figure(part, clause.key, "", traces), trace, row)


def _of_clause(figure: _Figure, trace: Trace[Outcome], row: Fraction) -> Iterator[Expected]:
    outcome = trace.outcome
    if outcome.status == NOT_APPLICABLE:
        return
    if outcome.status == ENGINEERING_REQUIRED:
        yield figure.none("the clause does not cover it at 40 psf either")
        return
    found = _read(trace)
    if found is not None and found.read.cells:
        yield figure.of(found, row)
    elif found is not None and outcome.missing:
        yield figure.none(f"not known: {', '.join(figure.called(outcome))}")


# -- what the method gives -------------------------------------------------------------------------


class _Figure(Struct, frozen=True):
    """Works out the expectation of one clause for one part."""

    part: str
    clause: str
    unit: str
    traces: Traces

    def called(self, outcome: Outcome) -> Iterator[str]:
        """Name what the clause lacks."""
        quantities = self.traces.vocabulary.quantities
        for name in outcome.missing:
            yield quantities[name].called if isinstance(name, str) else " to ".join(name)

    def none(self, reason: str, found: _Bound | None = None) -> Expected:
        """Say why nothing is expected."""
        kind, least = (found.kind, found.at_least) if found else ("length", False)
        quantity = found.quantity if found else ""
        return Expected(self.part, self.clause, quantity, least, kind, self.unit, reason=reason)

    def of(self, found: _Bound, row: Fraction | None) -> Expected:
        """Give what the method makes of the cell read, under a snow load of `row` where there is one."""
        ruleset = self.traces.evaluation.ruleset
        made: list[Calculation] = []
        figures: list[Fraction | None] = []
        for cell in found.read.cells:
            facts: Facts = {a.quantity: k for a, k in zip(cell.table.axes, cell.keys, strict=True)}
            by = calculation(cell.table, facts, guide=is_guide(ruleset))
            if isinstance(by, NoCalculation):
                return self.none(f"no published method gives this table: {by.reason}", found)
            by = by if row is None else by.with_snow(row)
            explained = explained_by(by)
            if isinstance(explained, NoCalculation):
                return self.none(f"the method gives nothing here: {explained.reason}", found)
            made.append(by)
            given = None if explained.cell_in is None else Fraction(explained.cell_in)
            figures.append(_no_better(given, cell, found, row))
        return self._told(found, made[0], _between(figures, found.read))

    def _told(self, found: _Bound, by: Calculation, figure: Fraction | None) -> Expected:
        kind, method = kind_of(by), METHODS[by.family]
        near = kept_counts().get(kind, Neighbours())
        reason = ""
        if not near.may_tell:
            reason = f"{method.called}, meets only {near.met} of {near.total} figures of its kind"
        return Expected(
            self.part,
            self.clause,
            found.quantity,
            found.at_least,
            found.kind,
            "ft" if found.read.table.in_feet else self.unit,
            figure=None if reason else figure,
            barred=figure is None and not reason,
            method=method.called,
            of=kind,
            neighbours=near,
            reason=reason,
        )


def _no_better(
    given: Fraction | None, cell: PrintedCell, found: _Bound, row: Fraction | None
) -> Fraction | None:
    """Keep a figure under snow no better than the 40 psf figure; where that is held in part, take it."""
    if row is None:
        return cell.figure if isinstance(cell.figure, Fraction) else given
    if cell.figure == NOT_PERMITTED or given is None:
        return None
    if not isinstance(cell.figure, Fraction):
        return given
    return max(given, cell.figure) if found.at_least else min(given, cell.figure)


def _between(figures: list[Fraction | None], read: CellRead) -> Fraction | None:
    """Return the one figure, or the one between two as far along as the value lies."""
    first, last = figures[0], figures[-1]
    if first is None or last is None:
        return None
    return first + (last - first) * (read.share or 0)
