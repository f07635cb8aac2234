"""Write a document as PDF: tagged, its text selectable, its drawings as lines.

The page is laid out by WeasyPrint from the very HTML a browser shows, so that the two cannot part.
"""

from __future__ import annotations

from collections.abc import Sequence
from importlib import import_module
from io import BytesIO
from typing import Any

from deckclause.report.document.html import document_html
from deckclause.report.document.model import BoundPages, Document
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
    bound = [block for block in document.blocks if isinstance(block, BoundPages)]
    if not bound:
        written: bytes = page.write_pdf(pdf_variant="pdf/ua-1")
        return written
    # pages of others are not tagged: the whole then claims no standard of accessibility
    return _with_pages(page.write_pdf(pdf_tags=True), bound)


def _with_pages(written: bytes, bound: Sequence[BoundPages]) -> bytes:
    """Return a PDF with the pages of other files behind its last, each file under a bookmark.

    What acts by itself in those files is left behind: only their pages are taken, without scripts,
    forms and links.
    """
    pypdf: Any = import_module("pypdf")
    out = pypdf.PdfWriter(clone_from=BytesIO(written))
    for block in bound:
        first = len(out.pages)
        for page in pypdf.PdfReader(BytesIO(block.content)).pages:
            for acting in ("/Annots", "/AA"):
                page.pop(acting, None)
            out.add_page(page)
        out.add_outline_item(title=block.caption, page_number=first)
    stream = BytesIO()
    out.write(stream)
    return stream.getvalue()


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
