"""How clauses run all over the input space, kept by all that a survey of one follows from."""

from __future__ import annotations

from collections.abc import Sequence

from deckclause.evaluate.cache import Cache
from deckclause.evaluate.regions.explore import Piece
from deckclause.rulesets.clauses import Clause
from deckclause.upkeep.coverage.kept import inputs_digest
from deckclause.upkeep.coverage.outcome import Quantities
from deckclause.upkeep.lint.context import ReadSet
from deckclause.upkeep.lint.survey import Course


class KeptSurveys:
    """Surveys by the digest of their inputs: whatever is amiss is surveyed afresh."""

    def __init__(self, cache: Cache) -> None:
        self._cache = cache

    def load(
        self, read: ReadSet, clause: Clause, quantities: Quantities
    ) -> list[Piece[Course]] | None:
        """Return a survey kept of the same inputs; None where there is none."""
        if self._cache.folder is None:
            return None
        kept = self._cache.load(_key(read, clause, quantities))
        if not isinstance(kept, tuple) or not all(
            isinstance(piece, Piece) and isinstance(piece.answer, Course) for piece in kept
        ):
            return None
        return list(kept)

    def store(
        self,
        read: ReadSet,
        clause: Clause,
        quantities: Quantities,
        pieces: Sequence[Piece[Course]],
    ) -> None:
        """Keep a survey."""
        if self._cache.folder is not None:
            self._cache.store(_key(read, clause, quantities), tuple(pieces))


def _key(read: ReadSet, clause: Clause, quantities: Quantities) -> str:
    return f"survey-{inputs_digest(read, clause, quantities)}"
