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
        string=document_html(document, for_paper=True), url_fetcher=_bound_in_only()
    )
    written: bytes = page.write_pdf(pdf_variant="pdf/ua-1")
    return written


def _bound_in_only() -> Any:
    """Return a fetcher of what the document holds itself (`data:`), and of nothing else."""
    urls: Any = import_module("weasyprint.urls")
    if hasattr(urls, "URLFetcher"):
        return urls.URLFetcher(allowed_protocols={"data"}, fail_on_errors=True)

    def fetch(address: str, *rest: Any, **named: Any) -> Any:
        if not address.startswith("data:"):
            raise ValueError(f"a document refers to nothing outside itself ({address})")
        return urls.default_url_fetcher(address, *rest, **named)

    return fetch


def _quiet() -> None:
    import logging

    logging.getLogger("weasyprint").setLevel(logging.ERROR)
    logging.getLogger("fontTools").setLevel(logging.ERROR)
