"""The status of whole topics by the column: of a topic's clauses, the gravest counts."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from deckclause.evaluate.columns.chunk import Chunk
from deckclause.evaluate.columns.columns import Numbers
from deckclause.evaluate.columns.derive import FactTable
from deckclause.evaluate.columns.evaluator import SET_ASIDE, ColumnarEvaluator, Sink
from deckclause.evaluate.status import SEVERITY
from deckclause.rulesets.problems import InputError

_RANK_OF_STATUS = np.array([SEVERITY[s] + 1 for s in range(6)], np.uint8)
_STATUS_OF_RANK = np.array(sorted(range(6), key=lambda s: SEVERITY[s]), np.uint8)


def topic_statuses(
    evaluator: ColumnarEvaluator, chunk: Chunk, table: FactTable, topics: Sequence[str]
) -> tuple[Numbers, dict[int, InputError]]:
    """Return the status of every topic on every row (topics by rows), and rows set aside."""
    clauses = evaluator.evaluator.ruleset.clauses
    place = {topic: i for i, topic in enumerate(topics)}
    of_clause = [place.get(clause.topic, -1) for clause in clauses]
    ranks = np.zeros((len(topics), chunk.count), np.uint8)
    spoken = sorted({topic for topic in of_clause if topic >= 0})
    wanted = frozenset(i for i, topic in enumerate(of_clause) if topic >= 0)

    def block(start: int, stop: int) -> Sink:
        return _rank_sink(ranks[:, start:stop], of_clause)

    left = evaluator.run(table, block, wanted)
    found = evaluator.fall_back(chunk, table, np.flatnonzero(left))
    for row, statuses in found.statuses.items():
        ranks[:, row] = 0
        ranks[spoken, row] = 1  # the design may state that it has no such part
        for index in wanted:
            rank = _RANK_OF_STATUS[statuses[index]]
            ranks[of_clause[index], row] = max(ranks[of_clause[index], row], rank)
    result = _STATUS_OF_RANK[ranks]
    for row in found.problems:
        result[:, row] = SET_ASIDE
    return result, found.problems


def _rank_sink(ranks: Numbers, of_clause: Sequence[int]) -> Sink:
    spare = np.empty(ranks.shape[1], np.uint8)

    def sink(index: int, *masks: Any) -> None:
        _, not_applicable, missing, engineering, fails = masks
        # ranks: 1 not applicable, 2 complies, 3 missing, 4 engineering, 5 fails
        spare[:] = 2
        for mask, step in ((missing, 1), (engineering, 2), (fails, 3)):
            if mask is True:
                spare[:] = 2 + step
            elif mask is not False:
                np.add(spare, step, out=spare, where=mask)
        if not_applicable is True:
            spare[:] = 1
        elif not_applicable is not False:
            np.subtract(spare, 1, out=spare, where=not_applicable)
        row = ranks[of_clause[index]]
        np.maximum(row, spare, out=row)

    return sink
