"""Invented permits as columns in memory, for the benchmarks."""

from __future__ import annotations

import numpy as np

from deckclause.designs.invented.permits import invented_batches
from deckclause.evaluate.columns.chunk import Chunk
from deckclause.evaluate.columns.columns import RawColumn
from deckclause.impact.cells import CellError, CellReader, Column
from deckclause.rulesets.clauses import Scalar
from deckclause.rulesets.vocabulary import Vocabulary


def invented_chunk(designs: int, seed: int, vocabulary: Vocabulary, names: set[str]) -> Chunk:
    """Return permits with the facts named that permits have."""
    batches = list(invented_batches(designs, seed, tuple(vocabulary.quantities)))
    columns: dict[str, RawColumn] = {}
    for name in sorted(names & set(batches[0])):
        reader = CellReader(Column(vocabulary.quantities[name]))
        texts = list(dict.fromkeys(text for batch in batches for text in batch[name].texts))
        places: dict[Scalar, int] = {}
        codes = []
        for text in texts:
            value = reader.read(text)
            assert not isinstance(value, CellError)
            codes.append(-1 if value is None else places.setdefault(value, len(places)))
        code_of = dict(zip(texts, codes, strict=True))
        rows = [np.array([code_of[t] for t in b[name].texts])[b[name].codes] for b in batches]
        columns[name] = RawColumn(np.concatenate(rows).astype(np.int32), tuple(places))
    return Chunk(designs, columns)
