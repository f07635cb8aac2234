"""The status of whole topics by the column: of a topic's clauses, the gravest counts."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from deckclause.evaluate.columns.chunk import Chunk
from deckclause.evaluate.columns.columns import Numbers
from deckclause.evaluate.columns.derive import FactTable
from deckclause.evaluate.columns.evaluator import (
    SET_ASIDE,
    ColumnarEvaluator,
    Sink,
    write_statuses,
)
from deckclause.evaluate.status import NOT_APPLICABLE, NOT_REGULATED
from deckclause.rulesets.problems import InputError


def topic_statuses(
    evaluator: ColumnarEvaluator, chunk: Chunk, table: FactTable, topics: Sequence[str]
) -> tuple[Numbers, dict[int, InputError]]:
    """Return the status of every topic on every row (topics by rows), and rows set aside."""
    clauses = evaluator.evaluator.ruleset.clauses
    place = {topic: i for i, topic in enumerate(topics)}
    of_clause = [place.get(clause.topic, -1) for clause in clauses]
    result = np.full((len(topics), chunk.count), NOT_REGULATED, np.uint8)
    spoken = sorted({topic for topic in of_clause if topic >= 0})
    wanted = frozenset(i for i, topic in enumerate(of_clause) if topic >= 0)

    def block(start: int, stop: int) -> Sink:
        return _worst_sink(result[:, start:stop], of_clause)

    left = evaluator.run(table, block, wanted)
    found = evaluator.fall_back(chunk, table, np.flatnonzero(left))
    for row, statuses in found.statuses.items():
        result[:, row] = NOT_REGULATED
        result[spoken, row] = NOT_APPLICABLE  # the design may state that it has no such part
        for index in wanted:
            topic = of_clause[index]
            result[topic, row] = max(result[topic, row], statuses[index])
    for row in found.problems:
        result[:, row] = SET_ASIDE
    return result, found.problems


def _worst_sink(worst: Numbers, of_clause: Sequence[int]) -> Sink:
    """Return what keeps the gravest status of each topic: statuses are ordered by it."""
    spare = np.empty(worst.shape[1], np.uint8)

    def sink(index: int, *masks: Any) -> None:
        write_statuses(spare, masks)
        row = worst[of_clause[index]]
        np.maximum(row, spare, out=row)

    return sink
