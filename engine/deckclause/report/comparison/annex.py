"""The annex of a comparison: every finding step by step, and the sources of every figure."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from deckclause.report.comparison.finding_rows import (
    FINDING_HEADERS,
    FINDING_SHARES,
    OPEN_HEADERS,
    OPEN_SHARES,
    ValueText,
    finding_rows,
    is_undecided,
    open_rows,
)
from deckclause.report.document import Block, Bullets, Details, Grid, Heading, Paragraph
from deckclause.report.rule_sets.sources_block import source_rows
from deckclause.rulesets.vocabulary import Source

STANDINGS = (
    "confirmed: seen in the source named. derived: worked out by a named rule. memory: not seen in "
    "print; read the code before relying on it. common practice: a fact of the trade."
)
UNDECIDED_SAYS = (
    "On these topics no rule set here comes to a decision on this design: what is missing is listed "
    "under what to find out. What is not known is never counted as complying."
)


def annex_blocks(
    data: dict[str, Any], sources: dict[str, Source], value: ValueText
) -> Iterator[Block]:
    """Yield every finding of a comparison's data, then its sources."""
    yield Heading(1, "Every finding", "findings")
    for row in data["topics"]:
        if not is_undecided(row):
            yield _topic(row, value)
    rows = [row for row in data["topics"] if is_undecided(row)]
    if rows:
        yield Heading(1, "Not known, or not applicable", "undecided")
        yield Paragraph(UNDECIDED_SAYS, "note")
        found = tuple(open_rows(rows, value))
        yield Grid("Clauses on them", OPEN_HEADERS, found, shares=OPEN_SHARES)
    yield Heading(1, "Sources and how well each figure is known", "sources")
    yield Paragraph(STANDINGS, "note")
    findings = [f for row in data["topics"] for o in row["outcomes"] for f in o["findings"]]
    yield source_rows([(s, f["standing"]) for f in findings for s in f["sources"]], sources)


def topic_anchors(data: dict[str, Any]) -> dict[str, str]:
    """Return where the annex tells of each topic, by its name."""
    return {r["topic"]: "undecided" if is_undecided(r) else _anchor(r) for r in data["topics"]}


def _topic(row: dict[str, Any], value: ValueText) -> Details:
    rows = tuple(finding_rows(row, value))
    found = [f for o in row["outcomes"] for f in o["findings"]]
    notes = dict.fromkeys(f"{f['clause']}: {f['note']}" for f in found if f["note"])
    caption = f"{row['title']}: every finding"
    grid = Grid(caption, FINDING_HEADERS, rows, shares=FINDING_SHARES)
    blocks: tuple[Block, ...] = (Paragraph(row["question"], "note"), grid)
    if notes:
        blocks = (*blocks, Bullets(tuple(notes)))
    return Details(row["title"], blocks, _anchor(row))


def _anchor(row: dict[str, Any]) -> str:
    return f"topic-{row['topic'].replace('_', '-')}"
