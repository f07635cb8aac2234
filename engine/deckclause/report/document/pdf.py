"""Write a document as PDF: tagged, its text selectable, its drawings as lines.

The page is laid out by WeasyPrint from the very HTML a browser shows, so that the two cannot part.
"""

from __future__ import annotations

from importlib import import_module
from typing import Any

from deckclause.report.document.html import document_html
from deckclause.report.document.model import Document
from deckclause.rulesets.problems import InputError

HOW = "PDF needs WeasyPrint and the Pango library: pip install 'deckclause[documents]'"


def document_pdf(document: Document) -> bytes:
    """Return the document as PDF bytes. Raises InputError, saying what to install, without a writer."""
    try:
        weasyprint: Any = import_module("weasyprint")
    except (ImportError, OSError) as fault:
        raise InputError.single("--format pdf", f"{HOW} ({fault})") from None
    _quiet()
    page = weasyprint.HTML(
        string=document_html(document, for_paper=True), url_fetcher=_nothing_outside
    )
    written: bytes = page.write_pdf(pdf_variant="pdf/ua-1")
    return written


def _nothing_outside(address: str, *_: Any, **__: Any) -> Any:
    raise ValueError(f"a document refers to nothing outside itself ({address})")


def _quiet() -> None:
    import logging

    logging.getLogger("weasyprint").setLevel(logging.ERROR)
    logging.getLogger("fontTools").setLevel(logging.ERROR)
