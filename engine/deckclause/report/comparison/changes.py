"""What drives the differences, for a document: each told once, alike ones under one driver."""

from __future__ import annotations

from collections.abc import Iterator

from deckclause.answers.compare.answer import CompareAnswer
from deckclause.answers.compare.change import ChangeAnswer
from deckclause.answers.compare.row import TopicRow
from deckclause.report.document import Block, Cell, Grid, Heading, Paragraph

HEADERS = ("Topic", "Outcome", "Outcome")
SHARES = (20, 40, 40)
ALIKE = "No outcome changes from one rule set to the next."
QUIET = "Asked otherwise, and complied with under both (explained with every finding)"
EVALUATED = (
    "Each shaded line names the clauses whose exchange turns the first outcome into the second; "
    "each exchange was evaluated. Rule sets that come to the same outcome are named together."
)


def change_blocks(
    answer: CompareAnswer, rows: tuple[TopicRow, ...], *, every: bool = True
) -> Iterator[Block]:
    """Yield what is newly regulated, then the changes under what drives them.

    Unless `every`, what complies on both sides, only otherwise, is named and not explained.
    """
    changed = [(row, c) for row in rows for c in row.changes if not c.told_before]
    if not changed:
        yield Paragraph(ALIKE)
        return
    by_driver: dict[tuple[str, ...], list[tuple[TopicRow, ChangeAnswer]]] = {}
    added: dict[tuple[int, int], list[str]] = {}
    quiet: dict[str, None] = {}
    for row, change in changed:
        if change.only_adds:
            added.setdefault((change.first, change.second), []).append(row.topic.title)
        elif not (every or change.weighty):
            quiet[row.topic.title] = None
        else:
            by_driver.setdefault(change.driver.because, []).append((row, change))
    for (one, two), topics in sorted(added.items()):
        titles = answer.titles
        yield Heading(2, f"{titles[two]} regulates what {titles[one]} leaves silent")
        yield Paragraph("; ".join(topics) + ".")
    if by_driver:
        yield Paragraph(EVALUATED, "note")
        yield _grid(answer, by_driver)
    if quiet:
        yield Paragraph(f"{QUIET}: {'; '.join(quiet)}.", "note")


def _grid(
    answer: CompareAnswer, by_driver: dict[tuple[str, ...], list[tuple[TopicRow, ChangeAnswer]]]
) -> Grid:
    rows: list[tuple[Cell, ...]] = []
    groups: list[tuple[int, str]] = []
    for because, found in by_driver.items():
        groups.append((len(rows), _because(because)))
        for row, change in found:
            told = _difference(change, si=answer.si)
            first = f"{_names(answer, row, change.first)}: {change.before}"
            second = f"{_names(answer, row, change.second)}: {change.after}{told}"
            rows.append((Cell(row.topic.title), Cell(first), Cell(second)))
    caption = "What drives the differences"
    return Grid(caption, HEADERS, tuple(rows), groups=tuple(groups), shares=SHARES, prose=True)


def _because(lines: tuple[str, ...]) -> str:
    """Write the lines of a driver as one paragraph, the things it takes numbered."""
    listed = [line.removeprefix("- ") for line in lines if line.startswith("- ")]
    numbered = iter(f"({n}) {line}" for n, line in enumerate(listed, 1))
    words = [next(numbered) if line.startswith("- ") else line for line in lines]
    return f"Because {'; '.join(words)}".replace(":;", ":")


def _difference(change: ChangeAnswer, *, si: bool) -> str:
    """Write how far two figures lie apart, and each clause's share of it where several drive it."""
    driver = change.driver
    if driver.shares_told:
        return f" (shares: {', '.join(driver.shares_told)})"
    if not driver.shares:
        return ""
    return f" (difference: {driver.shares[0].amount.text(si=si)})"


def _names(answer: CompareAnswer, row: TopicRow, column: int) -> str:
    """Name every rule set that comes to a column's outcome."""
    own = row.cells[column].outcome
    same = [t for t, c in zip(answer.titles, row.cells, strict=True) if c.outcome == own]
    return ("; " if any("," in title for title in same) else ", ").join(same)
