"""The comparison as one HTML file, as PDF or as Word: the same document each time."""

from __future__ import annotations

from deckclause.compare.comparison import Comparison
from deckclause.evaluate.catalogue import Catalogue
from deckclause.report.comparison.document import comparison_document
from deckclause.report.document.write import document_bytes


def comparison_file(
    catalogue: Catalogue,
    comparison: Comparison,
    file_format: str,
    *,
    only_differences: bool = False,
    everything: bool = False,
    annex: bool = False,
    si: bool = False,
) -> bytes:
    """Return a comparison as the bytes of a file. Raises InputError where a writer is missing."""
    document = comparison_document(
        catalogue,
        comparison,
        only_differences=only_differences,
        everything=everything,
        annex=annex,
        si=si,
    )
    return document_bytes(document, file_format)
