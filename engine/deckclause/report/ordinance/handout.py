"""The handout for builders: what a place asks of a deck beyond the code, on one page, with a drawing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec import Struct

from deckclause.answers.ordinance import Ordinance
from deckclause.report.document import (
    Block,
    Bullets,
    Document,
    Drawing,
    Facts,
    Heading,
    Paragraph,
    Unwritten,
)
from deckclause.report.drawing.svg import size_of

FOOT = "Not an engineered design and not an approval. The adopted code and ordinances govern."
UNSEEN = "Figures marked memory or * were not seen in a published source: check the adopted code."
MOST_RULES = 8
"""More do not fit one page with the drawings; the rest is pointed to."""
ACROSS_IN = 6.9
"""Inches from side to side of a drawing, in Word and PDF: narrower, its lettering could not be read."""
NOTHING_OWN = "No rule of its own besides the figures above, in what is held here."


class HandoutDrawing(Struct, frozen=True):
    """A drawing of the handout: what it shows, and its limits by number."""

    svg: str
    caption: str
    limits: tuple[str, ...] = ()


def handout_document(told: Ordinance, drawings: Sequence[HandoutDrawing]) -> Document:
    """Return the handout."""
    return Document(
        f"Building a deck in {told.place}",
        f"{told.edition_title}, with {told.called}. {told.effective}".strip(),
        tuple(_blocks(told, drawings)),
        FOOT,
        contents=False,
        one_page=True,
    )


def _blocks(told: Ordinance, drawings: Sequence[HandoutDrawing]) -> Iterator[Block]:
    if told.is_draft:
        yield Paragraph("A draft: nothing on this page is in force.", "caution")
    yield from (Paragraph(words, "caution") for words in told.warns)
    if told.values:
        yield Heading(1, "Figures fixed here")
        yield Facts(told.values)
    yield Heading(1, "What is asked here beyond the code")
    further = tuple(f"{p.title}: {p.text}" for p in told.provisions)
    rules = tuple(dict.fromkeys((*told.rules, *further)))
    yield Bullets((*rules[:MOST_RULES], *_rest(rules)))
    for drawing in drawings:
        wide, high = size_of(drawing.svg) or (1.0, 1.0)
        yield Drawing(drawing.svg, drawing.caption, "", upright=ACROSS_IN * (high / wide))
        if drawing.limits:
            yield Paragraph(f"{'; '.join(drawing.limits)}. {UNSEEN}")
    yield Heading(1, "Ask before you build")
    yield Paragraph(told.contact or Unwritten("whom to ask, where, and when"))


def _rest(rules: Sequence[str]) -> tuple[str, ...]:
    if not rules:
        return (NOTHING_OWN,)
    more = len(rules) - MOST_RULES
    return (f"And {more} more: read the ordinance.",) if more > 0 else ()
