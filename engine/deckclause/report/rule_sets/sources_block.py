"""The sources a report rests on, with how well each is known."""

from __future__ import annotations

from collections.abc import Iterable

from deckclause.report.document import Cell, Grid
from deckclause.rulesets.vocabulary import Source

HEADERS = ("Source", "Title", "Publisher", "What it was seen to show", "Reach", "Used as")


def source_rows(used: Iterable[tuple[str, str]], sources: dict[str, Source]) -> Grid:
    """Return a table of sources from (source id, standing) pairs, each source once."""
    standings: dict[str, dict[str, None]] = {}
    for name, standing in used:
        standings.setdefault(name, {})[standing] = None
    rows = []
    for name in sorted(standings):
        source = sources.get(name)
        about = (
            ("not in the list of sources", "", "", "")
            if source is None
            else (
                source.title,
                f"{source.publisher} {source.year or ''}".strip(),
                source.seen,
                source.reach,
            )
        )
        rows.append((Cell(name), *map(Cell, about), Cell(", ".join(standings[name]))))
    return Grid("Published sources", HEADERS, tuple(rows), shares=(16, 20, 17, 25, 11, 11))
