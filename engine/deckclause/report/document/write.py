"""Write a document in one of the formats there are."""

from __future__ import annotations

from deckclause.report.document import Document
from deckclause.report.document.html import document_html


def document_bytes(document: Document, file_format: str) -> bytes:
    """Return a document as html, pdf or docx. Raises InputError where a writer is not installed."""
    if file_format == "pdf":
        from deckclause.report.document.pdf import document_pdf

        return document_pdf(document)
    if file_format == "docx":
        from deckclause.report.document.word import document_word

        return document_word(document)
    return document_html(document).encode()


def lacks_drawings(file_format: str) -> str:
    """Say that a format leaves drawings out here, and what to install; nothing where it has them."""
    from deckclause.report.drawing.rendered import can_render

    if file_format != "docx" or can_render():
        return ""
    return (
        "drawings are not included in Word here: they need CairoSVG "
        "(pip install 'deckclause[documents]'); PDF and HTML hold them"
    )
