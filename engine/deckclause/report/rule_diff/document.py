"""A difference of two rule sets as a document for paper, made from the Markdown report."""

from __future__ import annotations

from collections.abc import Iterator

from deckclause.compare.felt_figures import Felt
from deckclause.compare.rule_diff.clauses import RuleDiff
from deckclause.report.document.model import (
    Block,
    Bullets,
    Cell,
    Document,
    Grid,
    Heading,
    Paragraph,
)
from deckclause.report.document.write import document_bytes
from deckclause.report.rule_diff.markdown import report_lines
from deckclause.report.rule_diff.text import cells_of
from deckclause.rulesets.names import rule_set_title
from deckclause.rulesets.vocabulary import Vocabulary

FOOT = "Not an engineered design and not an approval. The adopted code and ordinances govern."

SHARES = (24, 12, 32, 32)
"""Widths of the summary's columns on paper, in hundredths."""


def rule_diff_file(
    diff: RuleDiff, vocabulary: Vocabulary, felt: Felt, example: str, file_format: str
) -> bytes:
    """Return a difference as pdf or docx. Raises InputError where the writer is not installed."""
    return document_bytes(rule_diff_document(diff, vocabulary, felt, example), file_format)


def rule_diff_document(
    diff: RuleDiff, vocabulary: Vocabulary, felt: Felt, example: str
) -> Document:
    """Return a difference as a document, in the order of the Markdown report."""
    lines = list(report_lines(diff, vocabulary, felt, example))
    title, subtitle = lines[0].lstrip("# "), lines[2]
    blocks = tuple(_blocks(lines[3:], diff))
    return Document(title, subtitle, blocks, FOOT, contents_on_paper=False)


def _blocks(lines: list[str], diff: RuleDiff) -> Iterator[Block]:
    i = anchors = 0
    heading = f"{rule_set_title(diff.one.name)} and {rule_set_title(diff.two.name)}"
    while i < len(lines):
        line, end = lines[i], i + 1
        if line.startswith(("|", "- ")):
            mark = line[0]
            while end < len(lines) and lines[end].startswith(mark):
                end += 1
            yield _grid(lines[i:end], heading) if mark == "|" else _bullets(lines[i:end])
        elif line.startswith("#"):
            heading = _plain(line.lstrip("# "))
            anchors += 1
            level = len(line) - len(line.lstrip("#"))
            yield Heading(level - 1, heading, f"part-{anchors}")
        elif line:
            yield Paragraph(_plain(line))
        i = end


def _grid(lines: list[str], caption: str) -> Grid:
    head, *rows = [cells_of(line) for line in lines if not line.startswith("|---")]
    cells = tuple(tuple(Cell(_plain(cell)) for cell in row) for row in rows)
    shares = SHARES if tuple(head[:2]) == ("", "way") else ()
    return Grid(caption, tuple(head), cells, shares=shares)


def _bullets(lines: list[str]) -> Bullets:
    return Bullets(tuple(_plain(line[2:]) for line in lines))


def _plain(text: str) -> str:
    return text.replace("**", "").replace("`", "")
