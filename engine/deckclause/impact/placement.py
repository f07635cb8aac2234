"""The two topics worked out from all distance clauses together, design by design, for an impact run.

They have no columns: each design is solved under both rule sets, so they are only looked at where
they are asked for by name.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations
from typing import Any

import numpy as np

from deckclause.compare.comparison import WORKED_OUT
from deckclause.compare.placement_hybrid import PlacementHybrid
from deckclause.compare.placement_rows import PlacementRows
from deckclause.evaluate.columns.chunk import Chunk
from deckclause.evaluate.columns.columns import Numbers
from deckclause.evaluate.evaluator import Evaluator
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.impact.search import MOST_SIZE
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.vocabulary import Vocabulary

Exchange = tuple[str, ...]


class PlacedTopics:
    """Statuses and drivers of the worked-out topics among those asked for."""

    def __init__(
        self, one: Evaluator, two: Evaluator, vocabulary: Vocabulary, topics: Sequence[str]
    ) -> None:
        self.evaluators = (one, two)
        self.vocabulary = vocabulary
        self.topics = tuple(topic for topic in topics if topic in WORKED_OUT)

    def statuses(
        self, chunk: Chunk, rows: Sequence[int]
    ) -> tuple[dict[str, tuple[Numbers, Numbers]], dict[int, InputError]]:
        """Return each topic's statuses under both, and the rows that cannot be solved.

        Rows that are not asked for, or cannot be solved, stand at 0 in the arrays.
        """
        found = {
            topic: (np.zeros(chunk.count, np.uint8), np.zeros(chunk.count, np.uint8))
            for topic in self.topics
        }
        problems: dict[int, InputError] = {}
        for row in rows if self.topics else ():
            try:
                solved = self._solved(chunk, row)
                for topic, sides in found.items():
                    for column, side in enumerate(sides):
                        side[row] = solved.compared(column, topic).status
            except InputError as fault:
                problems[row] = fault
        return found, problems

    def drivers(
        self, topic: str, chunk: Chunk, before: Numbers, after: Numbers
    ) -> tuple[list[tuple[Exchange, ...]], Numbers]:
        """Return the smallest exchanges that turn each row's status and back, each one solved."""
        places: dict[tuple[Exchange, ...], int] = {}
        codes = []
        for row in range(chunk.count):
            hybrid = PlacementHybrid(self._solved(chunk, row), 0, 1, topic)
            codes.append(
                places.setdefault(_smallest(hybrid, int(before[row]), int(after[row])), len(places))
            )
        return list(places), np.array(codes, np.int32)

    def _solved(self, chunk: Chunk, row: int) -> PlacementRows:
        design = chunk.design(row, self.vocabulary)
        prepared = PreparedDesign(design, self.vocabulary.quantities)
        return PlacementRows(prepared, self.evaluators, self.vocabulary)


def _smallest(hybrid: Any, before: int, after: int) -> tuple[Exchange, ...]:
    keys: Exchange = hybrid.keys
    everything = frozenset(keys)

    def works(exchange: frozenset[str]) -> bool:
        there = hybrid.outcome(exchange).status == after
        return bool(there and hybrid.outcome(everything - exchange).status == before)

    for size in range(1, min(len(keys), MOST_SIZE) + 1):
        found = [chosen for chosen in combinations(keys, size) if works(frozenset(chosen))]
        if found:
            return tuple(found)
    return (keys,) if len(keys) > MOST_SIZE and works(everything) else ()
