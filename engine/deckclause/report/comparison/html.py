"""The comparison as one HTML file, as PDF or as Word: the same document each time."""

from __future__ import annotations

from collections.abc import Sequence

from deckclause.answers.compare.answer import CompareAnswer
from deckclause.report.comparison.document import comparison_document
from deckclause.report.document import Block
from deckclause.report.document.write import document_bytes
from deckclause.rulesets.vocabulary import Source


def comparison_file(
    answer: CompareAnswer,
    sources: dict[str, Source],
    drawings: Sequence[Block],
    file_format: str,
    *,
    only_differences: bool = False,
    everything: bool = False,
    annex: bool = False,
) -> bytes:
    """Return a comparison as the bytes of a file. Raises InputError where a writer is missing."""
    document = comparison_document(
        answer,
        sources,
        drawings,
        only_differences=only_differences,
        everything=everything,
        annex=annex,
    )
    return document_bytes(document, file_format)
