"""The handout for builders: what a place asks of a deck beyond the code, on one page, with a drawing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

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

FOOT = "Not an engineered design and not an approval. The adopted code and ordinances govern."
MOST_RULES = 8
"""More do not fit one page with the drawings; the rest is pointed to."""
ROOM_IN, LINE_IN, LINE = 6.3, 0.16, 105
"""Inches the drawings may have of the page, what a line of text takes of that, letters in a line."""
NOTHING_OWN = "No rule of its own besides the figures above, in what is held here."


@dataclass(frozen=True, slots=True)
class HandoutDrawing:
    """A drawing of the handout: what it shows, its share of the room, its limits by number."""

    svg: str
    caption: str
    share: float
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
    lines = sum(len(words) // LINE + 1 for words in (*told.warns, *rules[:MOST_RULES]))
    room = ROOM_IN - LINE_IN * (lines + len(told.values))
    for drawing in drawings:
        yield Drawing(drawing.svg, drawing.caption, "", upright=room * drawing.share)
        if drawing.limits:
            yield Bullets(drawing.limits)
    yield Heading(1, "Ask before you build")
    yield Paragraph(told.contact or Unwritten("whom to ask, where, and when"))


def _rest(rules: Sequence[str]) -> tuple[str, ...]:
    if not rules:
        return (NOTHING_OWN,)
    more = len(rules) - MOST_RULES
    return (f"And {more} more: read the ordinance.",) if more > 0 else ()
