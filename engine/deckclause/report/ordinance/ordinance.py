"""The ordinance as a paper: its sections in order, then the exhibit with strike and insert.

What the place has not written yet stays visibly empty; nothing is said in its stead.
"""

from __future__ import annotations

from collections.abc import Iterator

from deckclause.answers.ordinance import Ordinance
from deckclause.answers.redline import RedlineChange
from deckclause.report.document import (
    Block,
    Bullets,
    Document,
    Facts,
    Heading,
    Paragraph,
    Redline,
    Signature,
    Unwritten,
)

EXHIBIT = "Exhibit A"
DRAFT = (
    "Draft. Not adopted, and in force nowhere. Words in square brackets are still to be written."
)
MARKS = (
    "What is struck is struck through; what is inserted is underlined. What the code says stands "
    "here in words of this tool's own, not in the words of the code: hold the adopted text beside it."
)
FOOT = "A paper for the attorney and the body that enacts it to read. Not legal advice."
HEADINGS = {
    "effective": "In force",
    "transition": "Permits under way",
    "repeals": "What is repealed",
}
ASKS = {
    "ordinance": "number of the ordinance",
    "body": "who enacts it",
    "authority": "the statute it is enacted under",
    "effective": "the day it comes in force, or what must happen first",
    "transition": "what becomes of applications filed and permits issued before that day",
    "repeals": "the ordinance this one repeals, or that it repeals none",
}


def ordinance_document(told: Ordinance) -> Document:
    """Return the ordinance as a document, its empty places empty."""
    return Document(
        f"{told.place}: {told.ordinance or 'an ordinance'}",
        told.title,
        tuple(_blocks(told)),
        FOOT,
        contents=False,
    )


def _blocks(told: Ordinance) -> Iterator[Block]:
    if told.is_draft:
        yield Paragraph(DRAFT, "caution")
    yield from (Paragraph(words, "caution") for words in told.warns)
    yield Facts(tuple(_head(told)))
    for number, (title, blocks) in enumerate(_sections(told), 1):
        yield Heading(1, f"Section {number}. {title}")
        yield from blocks
    who = told.body or "The body that enacts it"
    yield Signature(who, ("Name and office", "Signature", "Date"))
    yield Signature("Attest", ("Name and office", "Signature", "Date"))
    yield from _exhibit(told)


def _head(told: Ordinance) -> Iterator[tuple[str, str | Unwritten]]:
    yield "Place", told.place
    yield "Ordinance", told.ordinance or Unwritten(ASKS["ordinance"])
    yield "Enacted by", told.body or Unwritten(ASKS["body"])
    yield "Under", told.authority or Unwritten(ASKS["authority"])
    yield "Code amended", told.edition_title
    yield "Adopted", told.adopted or Unwritten("the day it is adopted")


def _sections(told: Ordinance) -> Iterator[tuple[str, list[Block]]]:
    if told.findings or told.findings_asked:
        yield "Findings", list(_findings(told))
    yield (
        "The code amended",
        [
            Paragraph(
                f"{told.edition_title}, as in force in {told.place}, is amended as {EXHIBIT} shows: "
                f"{len(told.changes)} change{'' if len(told.changes) == 1 else 's'}."
            )
        ],
    )
    if told.lets_fall:
        yield (
            "What is given up",
            [Bullets(tuple(f"{name} is given up." for name in told.lets_fall))],
        )
    for provision in told.provisions:
        where = f" ({provision.section})" if provision.section else ""
        yield f"{provision.title}{where}", [Paragraph(provision.text)]
    for name, title in HEADINGS.items():
        text = getattr(told, name)
        yield title, [Paragraph(text or Unwritten(ASKS[name]))]


def _findings(told: Ordinance) -> Iterator[Block]:
    if told.findings_asked:
        yield Paragraph(f"Asked for by {told.findings_asked.rstrip('.')}.", "note")
    if told.findings:
        yield Bullets(told.findings)
        return
    for change in told.changes:
        where = change.cites or change.title
        yield Paragraph(Unwritten(f"the finding {where} ({change.title}) rests on"))


def _exhibit(told: Ordinance) -> Iterator[Block]:
    yield Heading(1, f"{EXHIBIT}. What is struck and what is inserted", "exhibit", fresh=True)
    yield Paragraph(MARKS, "note")
    if told.unread:
        yield Paragraph(
            "Read these in the code before this is enacted; what is struck there is known from "
            f"memory alone: {'; '.join(told.unread)}.",
            "caution",
        )
    for number, change in enumerate(told.changes, 1):
        yield from change_blocks(number, change)


def change_blocks(number: int, change: RedlineChange) -> Iterator[Block]:
    """Yield one change: its section and what is done, the lines marked up, the place's own words."""
    where = ": ".join(part for part in (change.cites, change.title) if part)
    act = f" (by {change.section})" if change.section else ""
    yield Heading(2, f"A{number}. {where[:1].upper()}{where[1:]} {change.act}{act}")
    for line in change.lines:
        yield Redline(line)
    if change.says and not change.own_words:
        yield Paragraph(f"As the place says it: {change.says}", "note")
