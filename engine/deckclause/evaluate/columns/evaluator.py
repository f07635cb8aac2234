"""The columnar evaluator: many designs at once under one rule set, clause by clause, exactly.

It is built from the same lowered clauses as the scalar evaluator and comes to the same
status on every design. Rows it cannot hold exactly in 64-bit columns, designs of several like
parts, and designs on which a rule set contradicts itself are given to the scalar evaluator.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from typing import Any

import numpy as np
from msgspec import Struct, field

from deckclause.evaluate.columns.build import RuleSetBuilder, Source
from deckclause.evaluate.columns.chunk import Chunk
from deckclause.evaluate.columns.columns import Mask, Numbers
from deckclause.evaluate.columns.derive import FactTable, Pair, fact_table
from deckclause.evaluate.columns.emit import Emitter, Program
from deckclause.evaluate.columns.graph import Unsupported
from deckclause.evaluate.columns.layout import Layout, inputs_of, layout_of
from deckclause.evaluate.columns.units import units_for
from deckclause.evaluate.evaluator import Evaluator
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.status import (
    COMPLIES,
    INFORMATION_MISSING,
    NOT_APPLICABLE,
    NOT_REGULATED,
)
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.vocabulary import Vocabulary

BLOCK = 32_768
"""Rows worked on at a time, so that columns stay in the processor's cache."""
NO_FINDING = NOT_REGULATED
"""The status of a clause read for a part the design has none of."""
SET_ASIDE = 255
"""The status of every clause on a design a rule set contradicts itself on."""

Sink = Callable[..., None]
"""Called with a clause's index and its five masks (arrays, or plain True or False)."""


class Fallback(Struct):
    """What the scalar evaluator made of the rows the columns could not hold."""

    statuses: dict[int, Numbers] = field(default_factory=dict)
    problems: dict[int, InputError] = field(default_factory=dict)


class ColumnarEvaluator:
    """Runs one rule set on columns; programs are compiled for the shapes of the columns."""

    def __init__(self, evaluator: Evaluator, vocabulary: Vocabulary) -> None:
        self.evaluator = evaluator
        self.vocabulary = vocabulary
        self.source = Source(
            evaluator.ruleset,
            tuple(evaluator.rule(index) for index in range(len(evaluator.ruleset.clauses))),
            evaluator.plan,
            evaluator.scale,
            vocabulary.quantities,
        )
        self.names = tuple(dict.fromkeys(self.source.names()))
        self._programs: dict[Hashable, Program | None] = {}

    def program(self, layout: Layout, wanted: frozenset[int] | None = None) -> Program | None:
        """Return the program for a layout; None where the clauses cannot be put in columns."""
        key = (layout.key(), wanted)
        if key not in self._programs:
            try:
                builder = RuleSetBuilder(self.source, layout)
                outputs = builder.outputs(wanted)
                self._programs[key] = Emitter(builder.graph).program(outputs)
            except Unsupported:
                self._programs[key] = None
        return self._programs[key]

    def run(
        self,
        table: FactTable,
        sink: Callable[[int, int], Sink],
        wanted: frozenset[int] | None = None,
    ) -> Mask:
        """Run on a table block by block; `sink(start, stop)` takes a block's masks.

        Returns the rows that must be given to the scalar evaluator instead.
        """
        layout = layout_of(table, self.names)
        program = self.program(layout, wanted)
        left = table.left.copy()
        if program is None:
            left[:] = True
            return left
        for start in range(0, table.count, BLOCK):
            stop = min(start + BLOCK, table.count)
            inputs = inputs_of(table.part(start, stop), layout)
            take = _FaultTaker(sink(start, stop))
            program(inputs, take, stop - start)
            left[start:stop] |= take.fault
        return left

    def fall_back(self, chunk: Chunk, table: FactTable, rows: Numbers) -> Fallback:
        """Evaluate some rows by the scalar evaluator."""
        found = Fallback()
        for row in rows.tolist():
            if row not in table.prepared:
                design = chunk.design(row, self.vocabulary)
                table.prepared[row] = PreparedDesign(design, self.vocabulary.quantities)
            try:
                found.statuses[row] = self._scalar(table.prepared[row])
            except InputError as problem:
                found.problems[row] = problem
        return found

    def _scalar(self, design: PreparedDesign) -> Numbers:
        worst = np.full(len(self.evaluator.ruleset.clauses), NO_FINDING, np.uint8)
        for index, _, result in self.evaluator.rows(design):
            worst[index] = max(worst[index], result[0])
        return worst

    def statuses(self, chunk: Chunk, table: FactTable) -> tuple[Numbers, dict[int, InputError]]:
        """Return the status of every clause on every row (clauses by rows), and rows set aside."""
        out = np.empty((len(self.evaluator.ruleset.clauses), chunk.count), np.uint8)
        left = self.run(table, lambda start, stop: status_sink(out[:, start:stop]))
        found = self.fall_back(chunk, table, np.flatnonzero(left))
        for row, statuses in found.statuses.items():
            out[:, row] = statuses
        for row in found.problems:
            out[:, row] = SET_ASIDE
        return out, found.problems

    def counts(self, chunk: Chunk, table: FactTable) -> tuple[Numbers, dict[int, InputError]]:
        """Return how many designs come to each status, clause by clause, and rows set aside."""
        totals = np.zeros((len(self.evaluator.ruleset.clauses), 6), np.int64)
        left = table.left.copy()
        for start in range(0, table.count, BLOCK):
            stop = min(start + BLOCK, table.count)
            block = table.part(start, stop)
            here = self._count_block(block, totals)
            left[start:stop] |= here
        found = self.fall_back(chunk, table, np.flatnonzero(left))
        for statuses in found.statuses.values():
            totals[np.arange(len(totals)), statuses] += 1
        return totals, found.problems

    def _count_block(self, block: FactTable, totals: Numbers) -> Mask:
        keep = None if not block.left.any() else ~block.left
        counted = np.zeros_like(totals)
        left = self.run(block, lambda start, stop: _count_sink(counted, keep, stop - start))
        if not np.array_equal(
            left, block.left
        ):  # some rows turned out to need the scalar evaluator
            counted[:] = 0
            self.run(block, lambda start, stop: _count_sink(counted, ~left, stop - start))
        if not left.all():
            totals += counted
        return left


class _FaultTaker:
    """Passes clauses on, and keeps the last output: where to fall back."""

    def __init__(self, sink: Sink) -> None:
        self.sink = sink
        self.fault: Any = False

    def __call__(self, label: int, *masks: Any) -> None:
        if label < 0:
            self.fault = masks[0]
        else:
            self.sink(label, *masks)


def write_statuses(out: Numbers, masks: Sequence[Any]) -> None:
    """Write statuses from masks that exclude one another; where none holds, a clause complies.

    As the statuses are numbered, each is 2 + missing + 2 engineering + 3 fails - not applicable:
    whole columns of bytes are added, which is faster than writing row by row where a mask holds.
    """
    not_applicable, _, missing, engineering, fails = masks
    level = int(COMPLIES)
    out[:] = 0
    for mask in (engineering, fails):
        level += 2 * (mask is True)
        if not isinstance(mask, bool):
            np.add(out, mask.view(np.uint8), out=out)
    if not (isinstance(engineering, bool) and isinstance(fails, bool)):
        np.add(out, out, out=out)
    for mask in (missing, fails):
        level += mask is True
        if not isinstance(mask, bool):
            np.add(out, mask.view(np.uint8), out=out)
    np.add(out, np.uint8(level - (not_applicable is True)), out=out)
    if not isinstance(not_applicable, bool):
        np.subtract(out, not_applicable.view(np.uint8), out=out)


def status_sink(out: Numbers) -> Sink:
    """Return what writes the status of every clause into `out` (clauses by rows)."""

    def sink(index: int, *masks: Any) -> None:
        write_statuses(out[index], masks)

    return sink


def _count_sink(totals: Numbers, keep: Mask | None, size: int) -> Sink:
    rows = size if keep is None else int(np.count_nonzero(keep))

    def count(mask: Any) -> int:
        if isinstance(mask, bool):
            return rows if mask else 0
        return int(np.count_nonzero(mask if keep is None else mask & keep))

    def sink(index: int, *masks: Any) -> None:
        not_applicable, _, *worse = map(count, masks)
        totals[index, NOT_APPLICABLE] += not_applicable
        totals[index, INFORMATION_MISSING:] += worse
        totals[index, COMPLIES] += rows - not_applicable - sum(worse)

    return sink


class Portfolio:
    """Several rule sets over the same columns: facts are derived once for all of them."""

    def __init__(self, evaluators: Sequence[Evaluator], vocabulary: Vocabulary) -> None:
        self.evaluators = tuple(ColumnarEvaluator(e, vocabulary) for e in evaluators)
        self.vocabulary = vocabulary
        rules = (rule for columnar in self.evaluators for rule in columnar.source.rules)
        self.units = units_for(rules, vocabulary.quantities)
        self.pairs: dict[str, dict[Pair, None]] = {}
        for columnar in self.evaluators:
            for group, wanted in columnar.source.pairs().items():
                self.pairs.setdefault(group, {}).update(dict.fromkeys(wanted))

    def table(self, chunk: Chunk) -> FactTable:
        """Derive the facts of a chunk."""
        for name, column in chunk.columns.items():
            self.units.refine(name, column.values)
        return fact_table(chunk, self.vocabulary, self.units, self.pairs)
