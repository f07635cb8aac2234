"""One deck for all of several rule sets, as a document and as Markdown: the words of the terminal."""

from __future__ import annotations

from collections.abc import Iterator

from deckclause.answers.compare.strictest import (
    LIMIT_HEADERS,
    LIMITS,
    NO_LIMIT,
    READ_WHOLE,
    LimitRow,
    StrictestAnswer,
)
from deckclause.reading.status import status_told
from deckclause.report.cautions import CAUTIONS
from deckclause.report.comparison.document import FOOT
from deckclause.report.comparison.markdown import escape
from deckclause.report.document import (
    Block,
    Bullets,
    Cell,
    Document,
    Grid,
    Heading,
    Paragraph,
)
from deckclause.report.document.write import document_bytes

MARKS = {"ok": "complies", "FAILS": "does not comply", "ASK": "information missing"}
HEADERS = ("Topic", "Build to", "Design", "Outcome", "Set by")
SHARES = (30, 17, 14, 13, 26)


def strictest_file(words: StrictestAnswer, file_format: str) -> bytes:
    """Return the document as the bytes of a file: html, pdf, docx.

    Raises InputError where a writer is missing.
    """
    return document_bytes(strictest_document(words), file_format)


def strictest_document(words: StrictestAnswer) -> Document:
    """Return what one deck for all the rule sets of a comparison must satisfy."""
    return Document(
        title=words.design,
        subtitle=f"One deck for all of {words.rule_sets}.",
        blocks=tuple(_blocks(words)),
        foot=FOOT,
        contents_on_paper=False,
    )


def _blocks(words: StrictestAnswer) -> Iterator[Block]:
    yield Paragraph(f"{words.headline}.", "caution")
    yield Paragraph(CAUTIONS[0], "note")
    for number, (heading, lines) in enumerate(words.sections, 1):
        yield Heading(1, heading, f"part-{number}")
        yield Bullets(tuple(f"{line.rstrip('.')}." for line in lines))
    yield Heading(1, LIMITS, "limits")
    rows = words.limits
    yield Paragraph(READ_WHOLE if rows else NO_LIMIT, "note")
    if rows:
        yield Grid(LIMITS, HEADERS, tuple(map(_row, rows)), shares=SHARES)
    yield Heading(1, "Cautions", "cautions")
    yield Bullets(tuple(CAUTIONS))


def _row(row: LimitRow) -> tuple[Cell, ...]:
    status = MARKS[row.mark]
    return (
        Cell(row.topic),
        Cell(row.limit),
        Cell(row.design),
        Cell(status_told(status), status=status),
        Cell(", ".join(row.setters)),
    )


def strictest_markdown(words: StrictestAnswer) -> str:
    """Return the same as Markdown text."""
    lines = [f"# {escape(words.title)}", "", f"**{escape(words.headline)}**", ""]
    for heading, told in words.sections:
        lines += [f"## {heading}", "", *(f"- {escape(line)}" for line in told), ""]
    rows = words.limits
    lines += [f"## {LIMITS}", "", READ_WHOLE if rows else NO_LIMIT, ""]
    if rows:
        lines += [f"| {' | '.join(LIMIT_HEADERS)} |", "|---" * len(LIMIT_HEADERS) + "|"]
    for row in rows:
        cells = (row.topic, row.limit, row.design, row.mark, ", ".join(row.setters))
        lines.append(f"| {' | '.join(map(escape, cells))} |")
    lines += ["", "## Cautions", "", *(f"- {escape(caution)}" for caution in CAUTIONS)]
    return "\n".join(lines)
