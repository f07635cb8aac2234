"""Annexes B to F: drawings and the design, alternatives, rules and sources, papers, receipts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import zip_longest

from deckclause.answers.request.answer import Alternative, ItemPermits, RequestAnswer
from deckclause.reading.status import DOES_NOT_COMPLY
from deckclause.report.cautions import IN_WORDS
from deckclause.report.document import (
    Block,
    BoundPages,
    Bullets,
    Cell,
    Drawing,
    Grid,
    Heading,
    PageBreak,
    Paragraph,
    Picture,
    Unwritten,
)
from deckclause.report.drawing.elevation_drawings import elevation_blocks, elevation_drawings
from deckclause.report.drawing.paper_section import limit_blocks, section_sheet, sheet_cautions

PERMIT_HEADERS = ("Published rule", "Of", "Section", "Limit", "Standing", "Sources")
NOT_LAID_OUT = (
    "The ledger is not drawn in elevation: only a layout that complies is worked out, and as asked "
    "for it does not. What is stated of the fasteners stands in the table below."
)
ALTERNATIVES = "Changes of the design that would avoid relief, least work first"
SOURCE_HEADERS = ("No.", "Title", "Publisher", "What it was seen to show", "Reach", "Used as")


def sheets(answer: RequestAnswer) -> Iterator[Drawing]:
    """Yield the sheets: each section at true scale, then the ledger in elevation where there is one."""
    for shown, paper in zip(answer.sections.scenes, answer.papered, strict=True):
        yield section_sheet(shown, paper)
    yield from elevation_drawings(answer.elevations, answer.hands)


def annex_blocks(answer: RequestAnswer) -> Iterator[Block]:
    """Yield every annex after the calculation."""
    yield Heading(1, "Annex B. Drawings, and the design as stated", "drawings")
    for shown in answer.sections.scenes:
        yield from limit_blocks(shown)
    if answer.sections.scenes:
        yield sheet_cautions(answer.sections.scenes)
    yield from (Paragraph(words, "note") for words in answer.sections.missing)
    if answer.elevations.found:
        # where there is no layout the words why are for the drafter, not for the reader
        yield from elevation_blocks(answer.elevations)
    elif any(e.layout and e.layout.status == DOES_NOT_COMPLY for e in answer.elevations.lacking):
        yield Paragraph(NOT_LAID_OUT, "note")
    yield stated_grid(answer)
    yield from sheets(answer)
    yield PageBreak()
    yield Heading(1, "Annex C. Changes of the design that would avoid relief", "alternatives")
    yield from alternative_blocks(answer)
    yield Heading(1, "Annex D. Published rules that permit it, and sources", "sources")
    for item in answer.permits:
        yield from _permit_blocks(item, several=len(answer.permits) > 1)
    yield source_grid(answer)
    pictures = [p for p in answer.papers if p.content]
    if pictures:
        yield Heading(1, "Annex E. Photographs and plan sheets", "papers")
        yield from (
            BoundPages(p.content, p.pages, p.caption, p.file)
            if p.pages
            else Picture(p.content, p.media, p.caption)
            for p in pictures
        )
    yield Heading(1, f"Annex {'F' if pictures else 'E'}. Receipts and cautions", "receipt")
    yield receipt_grid(answer)
    yield Bullets((*IN_WORDS[1:], *answer.notes))
    yield Paragraph(f"Form: {answer.form}.", "note")
    if answer.empty:
        yield Heading(1, "Still empty in this draft", "empty")
        yield Bullets(answer.empty)


def stated_grid(answer: RequestAnswer) -> Grid:
    """Return everything the design states, grouped by part of the deck, two statements a row."""
    rows: list[tuple[Cell, ...]] = []
    heads: list[tuple[int, str]] = []
    for title, facts in answer.stated:
        heads.append((len(rows), title))
        half = (len(facts) + 1) // 2
        for left, right in zip_longest(facts[:half], facts[half:], fillvalue=("", "")):
            rows.append(tuple(map(Cell, (*left, *right))))
    headers = ("What is stated", "Value", "What is stated", "Value")
    return Grid(
        "The design as stated", headers, tuple(rows), groups=tuple(heads), shares=(32, 18, 32, 18),
        named=False,
    )  # fmt: skip


def alternative_blocks(answer: RequestAnswer) -> Iterator[Block]:
    """Yield the changes that avoid relief, judged, each with the applicant's word on it."""
    if not answer.alternatives:
        yield Paragraph("No change within the bounds searched avoids relief.")
        return
    grid = alternative_grid(answer.alternatives)
    headers = (*grid.headers, "Why it is not chosen")
    reasons = (
        a.why_not or ("" if answer.complete else Unwritten("why not")) for a in answer.alternatives
    )
    rows = tuple((*row, Cell(why)) for row, why in zip(grid.rows, reasons, strict=True))
    yield Grid(grid.caption, headers, rows, shares=(6, 33, 23, 17, 21))


def alternative_grid(alternatives: Sequence[Alternative]) -> Grid:
    """Return the changes that avoid relief, each judged, without the applicant's word."""
    rows = tuple(
        (Cell(str(a.number)), Cell(a.change), Cell(a.judged), Cell(a.step_down))
        for a in alternatives
    )
    headers = ("No.", "Change", "Judged", "Step down at the door")
    return Grid(ALTERNATIVES, headers, rows, shares=(6, 48, 26, 20))


def _permit_blocks(item: ItemPermits, *, several: bool) -> Iterator[Block]:
    if several:
        yield Heading(2, item.heading)
    if item.permits:
        rows = tuple(
            (
                Cell(p.title),
                Cell(p.published),
                Cell(p.section),
                Cell(p.limit),
                Cell(p.standing),
                Cell(", ".join(p.sources)),
            )
            for p in item.permits
        )
        caption = "Published rules that permit the value of the design"
        yield Grid(caption, PERMIT_HEADERS, rows, shares=(28, 16, 20, 13, 12, 11))
    if item.none:
        yield Paragraph(item.none)
    if item.silent:
        yield Paragraph(item.silent, "note")


def source_grid(answer: RequestAnswer) -> Grid:
    """Return the numbered list of sources."""
    rows = tuple(
        (
            Cell(s.number),
            Cell(s.title),
            Cell(s.publisher),
            Cell(s.seen),
            Cell(s.reach),
            Cell(s.used_as),
        )
        for s in answer.sources
    )
    return Grid("Sources", SOURCE_HEADERS, rows, shares=(6, 24, 18, 30, 11, 11))


def receipt_grid(answer: RequestAnswer) -> Grid:
    """Return the digests of everything the request rests on."""
    rows = tuple(tuple(Cell(text) for text in row) for row in answer.receipt)
    caption = "What this request was made of"
    return Grid(caption, ("What", "Which", "sha256"), rows, shares=(16, 36, 48))
