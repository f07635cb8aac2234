"""The page for those who decide: what the ordinance changes, what falls away, how far it may go."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec.structs import replace

from deckclause.answers.ordinance import Ordinance
from deckclause.report.document import Block, Bullets, Document, Heading, Paragraph


def council_document(told: Ordinance, difference: Document) -> Document:
    """Return the page for the council, before the report of the difference it makes."""
    blocks = (*_blocks(told), *difference.blocks)
    return replace(
        difference,
        title=f"{told.place}: what {told.called} changes",
        subtitle=told.title,
        blocks=blocks,
    )


def _blocks(told: Ordinance) -> Iterator[Block]:
    if told.is_draft:
        yield Paragraph("A draft: not adopted, and in force nowhere.", "caution")
    yield from (Paragraph(words, "caution") for words in told.warns)
    yield Heading(1, "What is decided", "decided")
    yield Bullets(tuple(_told(told)))
    if told.departs:
        yield Heading(1, "How far it goes from the larger place's code", "departs")
        yield Bullets(told.departs)
    if told.falls:
        yield Heading(1, "What holds no longer from that day, and nobody has decided so", "falls")
        yield Bullets(told.falls)


def _told(told: Ordinance) -> Iterator[str]:
    for change in told.changes:
        where = ", ".join(w for w in (change.section, change.cites) if w)
        words = change.now if change.title else ""
        words = words or f"{change.title or change.cites} {change.act}"
        said = f" {change.says.rstrip('.')}." if change.says and change.says != change.now else ""
        yield f"{words.rstrip('.')}{f' ({where})' if where else ''}.{said}"
    for provision in told.provisions:
        yield f"{provision.title}: {provision.text}"
    for name in told.lets_fall:
        yield f"{name} is given up knowingly."
    yield told.effective or "When it comes in force is not said yet."
    yield told.transition or "What becomes of permits under way is not said yet."
    for place, local in told.local:
        yield f"{place} lets places within it depart from its code: {local}."
