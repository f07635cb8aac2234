"""The request as a document: letter and decision on two pages, the form's parts, then annexes.

Two kinds of words stand apart: what was worked out, and what the applicant wrote (marked as the
applicant's). A field nobody filled shows as empty. A complete paper carries no note to its drafter.
"""

from __future__ import annotations

from collections.abc import Iterator

from deckclause.answers.request.answer import RequestAnswer
from deckclause.report.document import (
    Block,
    Contents,
    Document,
    Drawing,
    Heading,
    PageBreak,
    Paragraph,
)
from deckclause.report.request.annex import annex_blocks, sheets
from deckclause.report.request.calculation import calculation_blocks
from deckclause.report.request.letter import decision_blocks, letter_blocks
from deckclause.report.request.parts import PartBlocks

FOOT = (
    "A draft for the applicant to complete and sign. Not an engineered design and not an approval: "
    "the official or board decides."
)
FOOT_FILED = "Not an engineered design and not an approval: the official or board decides."


def request_document(answer: RequestAnswer) -> Document:
    """Return the request as a document; empty fields show as empty."""
    return Document(
        title=answer.title,
        subtitle=answer.subtitle,
        blocks=tuple(_blocks(answer)),
        foot=FOOT if answer.draft else FOOT_FILED,
        contents_on_paper=False,
        head=" · ".join(t for t in (answer.title, answer.place, answer.date) if t),
        author=answer.author,
    )


def request_drawings(answer: RequestAnswer) -> tuple[Drawing, ...]:
    """Return the drawings that go with a request."""
    return tuple(sheets(answer))


def _blocks(answer: RequestAnswer) -> Iterator[Block]:
    yield from (Paragraph(words, "caution") for words in answer.head)
    yield from letter_blocks(answer)
    yield from decision_blocks(answer)
    yield PageBreak()
    yield Contents()
    yield from _parts(answer)
    yield from calculation_blocks(answer)
    yield from annex_blocks(answer)


def _parts(answer: RequestAnswer) -> Iterator[Block]:
    """Yield the form's parts; what no part names stands before the signatures."""
    laid = PartBlocks(answer)
    *first, last = answer.parts
    for part in first:
        yield from laid.part(part)
    if not any(part.attachments for part in answer.parts):
        yield Heading(1, "Attachments", "attachments")
        yield from laid.attachments()
    if "signatures" in last.computed:
        laid.said.update(last.computed)
        yield from laid.left()
        yield from laid.part(last)
    else:
        yield from laid.part(last)
        yield from laid.left()
