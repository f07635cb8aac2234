"""What drives the differences, for a document: each told once, alike ones under one driver."""

from __future__ import annotations

from collections.abc import Iterator

from deckclause.compare.comparison import Change, ComparisonRow
from deckclause.compare.words import outcome_text
from deckclause.evaluate.status import NOT_REGULATED
from deckclause.evaluate.words import scalar_text
from deckclause.report.comparison.table import ComparisonText, column_title
from deckclause.report.document import Block, Cell, Grid, Heading, Paragraph

HEADERS = ("Topic", "Outcome", "Outcome")
SHARES = (20, 40, 40)
ALIKE = "No outcome changes from one rule set to the next."
EVALUATED = (
    "Each shaded line names the clauses whose exchange turns the first outcome into the second; "
    "each exchange was evaluated. Rule sets that come to the same outcome are named together."
)


def change_blocks(text: ComparisonText) -> Iterator[Block]:
    """Yield what is newly regulated, then the changes under what drives them."""
    changed = [(row, change) for row in text.rows for change in _told_once(row)]
    if not changed:
        yield Paragraph(ALIKE)
        return
    by_driver: dict[tuple[str, ...], list[tuple[ComparisonRow, Change]]] = {}
    added: dict[tuple[int, int], list[str]] = {}
    for row, change in changed:
        if _only_adds(row, change):
            added.setdefault((change.first, change.second), []).append(row.topic.title)
        else:
            by_driver.setdefault(text.words.because(change), []).append((row, change))
    for (one, two), titles in sorted(added.items()):
        names = [column_title(text.comparison.evaluators[i].ruleset.name) for i in (one, two)]
        yield Heading(2, f"{names[1]} regulates what {names[0]} leaves silent")
        yield Paragraph("; ".join(titles) + ".")
    if by_driver:
        yield Paragraph(EVALUATED, "note")
        yield _grid(text, by_driver)


def _grid(
    text: ComparisonText, by_driver: dict[tuple[str, ...], list[tuple[ComparisonRow, Change]]]
) -> Grid:
    rows: list[tuple[Cell, ...]] = []
    groups: list[tuple[int, str]] = []
    for because, found in by_driver.items():
        groups.append((len(rows), f"Because {'; '.join(because)}"))
        for row, change in found:
            told = _difference(text, row, change)
            first, second = (_side(text, row, side) for side in (change.first, change.second))
            rows.append((Cell(row.topic.title), Cell(first), Cell(second + told)))
    caption = "What drives the differences"
    return Grid(caption, HEADERS, tuple(rows), groups=tuple(groups), shares=SHARES, prose=True)


def _difference(text: ComparisonText, row: ComparisonRow, change: Change) -> str:
    """Write how far two figures lie apart, and each clause's share of it where several drive it."""
    shares = text.words.shares(row, change)
    if shares:
        return f" (shares: {', '.join(shares)})"
    finding = row.outcomes[change.second].governing
    if not change.drivers.shares or finding is None:
        return ""
    amount = change.drivers.shares[0].amount
    return f" (difference: {scalar_text(amount, finding.kind, finding.unit, si=text.si)})"


def _told_once(row: ComparisonRow) -> Iterator[Change]:
    """Yield the changes between outcomes not told yet: not A to B and then back to A."""
    told: set[frozenset[object]] = set()
    for change in row.changes:
        pair = frozenset((row.compared[change.first], row.compared[change.second]))
        if pair not in told:
            told.add(pair)
            yield change


def _side(text: ComparisonText, row: ComparisonRow, column: int) -> str:
    """Name every rule set that comes to a column's outcome, then the outcome."""
    same = [i for i, s in enumerate(row.compared) if s == row.compared[column]]
    names = [column_title(text.comparison.evaluators[i].ruleset.name) for i in same]
    return f"{', '.join(names)}: {outcome_text(row.outcomes[column], si=text.si)}"


def _only_adds(row: ComparisonRow, change: Change) -> bool:
    first = row.outcomes[change.first]
    return first.status == NOT_REGULATED and not first.struck
