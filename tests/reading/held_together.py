"""Hold the three ways of evaluating a rule set to one another on one design after another."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from typing import Any

import numpy as np

from deckclause.designs.design import Design
from deckclause.evaluate.columns.chunk import chunk_of_designs
from deckclause.evaluate.columns.evaluator import NO_FINDING, SET_ASIDE, Portfolio
from deckclause.evaluate.compile import compile_ruleset
from deckclause.evaluate.evaluator import Evaluator
from deckclause.evaluate.findings import evaluate, measure_of
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.ready import make_ready
from deckclause.evaluate.reference import ReferenceEvaluator, ReferenceRow
from deckclause.evaluate.traces import Traces
from deckclause.reading.exact import ExceptionsConflict
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.ruleset import RuleSet
from deckclause.rulesets.vocabulary import Vocabulary


def in_units(evaluator: Evaluator, index: int, result: Any, vocabulary: Vocabulary) -> Any:
    """A printed result in exact units: status, value, least, most, branch, missing."""
    status, value, least, most, branch, missing = result
    _, _, back = measure_of(index, evaluator, vocabulary)
    bare = value if isinstance(value, str | bool) else back(value)
    return status, bare, back(least), back(most), branch, tuple(dict.fromkeys(missing or ()))


def of_reader(row: ReferenceRow) -> Any:
    o = row.outcome
    value = o.value if isinstance(o.value, str | bool | Fraction) else None
    return o.status, value, o.least, o.most, row.trace.branch, o.missing


def comparable(result: Any, kind: str) -> Any:
    """Leave out the figures of a branch that measures another kind than its clause does."""
    status, value, least, most, branch, missing = result
    measured = {"length", "load"}
    keeps = kind in measured or not isinstance(value, Fraction)
    return (
        status,
        value if keeps else None,
        least if keeps else None,
        most if keeps else None,
        branch,
        missing,
    )


def hold(
    ruleset: RuleSet, designs: list[Design], vocabulary: Vocabulary, *, columns: bool = True
) -> Counter[str]:
    """Hold reader, printed functions and columns together; return how often each status was seen."""
    quantities = vocabulary.quantities
    evaluator = make_ready(compile_ruleset(ruleset, quantities), quantities)
    reference = ReferenceEvaluator(ruleset, evaluator.plan, quantities)
    seen: Counter[str] = Counter()
    expected: list[list[int]] = []
    for design in designs:
        prepared = PreparedDesign(design, quantities)
        try:
            rows = reference.rows(prepared)
        except (ExceptionsConflict, InputError):
            expected.append([SET_ASIDE] * len(ruleset.clauses))
            try:
                evaluator.rows(prepared)
            except InputError:
                seen["conflict"] += 1
                continue
            raise AssertionError(
                "the reader finds a conflict, the printed functions none"
            ) from None
        worst = [int(NO_FINDING)] * len(ruleset.clauses)
        printed = evaluator.rows(prepared)
        assert [(r.index, r.part) for r in rows] == [row[:2] for row in printed]
        for row, (index, _, result) in zip(rows, printed, strict=True):
            assert of_reader(row) == in_ticks_of_kind(evaluator, index, row, result, vocabulary)
            seen[row.outcome.status.words] += 1
            worst[index] = max(worst[index], row.outcome.status)
        expected.append(worst)
        traces_hold(evaluator, prepared, rows, vocabulary)
    if columns:
        columns_hold(evaluator, designs, expected, vocabulary)
    return seen


def in_ticks_of_kind(
    evaluator: Evaluator, index: int, row: ReferenceRow, result: Any, vocabulary: Vocabulary
) -> Any:
    """A printed result in exact units of the kind its own branch measures."""
    ask = row.trace.rule.ask(row.trace.branch) if row.trace.branch.kind != "place" else None
    subject = getattr(ask, "subject", None)
    kind = getattr(subject, "kind", None) or getattr(ask, "kind", None)
    if kind is None:
        return in_units(evaluator, index, result, vocabulary)
    status, value, least, most, branch, missing = result

    def back(ticks: Any) -> Any:
        number = isinstance(ticks, int | Fraction) and not isinstance(ticks, bool)
        return evaluator.scale.back(ticks, kind) if number else ticks

    return status, back(value), back(least), back(most), branch, tuple(dict.fromkeys(missing or ()))


def traces_hold(
    evaluator: Evaluator, design: PreparedDesign, rows: list[ReferenceRow], vocabulary: Vocabulary
) -> None:
    """A finding read again for its explanation comes to the same, cell for cell."""
    evaluation = evaluate(design, evaluator, vocabulary)
    traces = Traces(evaluation, vocabulary)
    for finding, row in zip(evaluation.findings, rows, strict=True):
        if finding.setting is None:
            again = traces.of(finding)
            assert again.branch == row.trace.branch
            assert again.cells == row.trace.cells
            assert again.outcome.status is row.outcome.status


def columns_hold(
    evaluator: Evaluator, designs: list[Design], expected: list[list[int]], vocabulary: Vocabulary
) -> None:
    portfolio = Portfolio([evaluator], vocabulary)
    chunk = chunk_of_designs(designs, vocabulary)
    found, _ = portfolio.evaluators[0].statuses(chunk, portfolio.table(chunk))
    assert np.array_equal(found.T, np.array(expected, np.uint8)), (found.T.tolist(), expected)
