"""The first page of a comparison: for each rule set what to change, to engineer, to find out."""

from __future__ import annotations

from collections.abc import Iterator

from deckclause.answers.compare.answer import CompareAnswer
from deckclause.answers.compare.attention import UNSTATED
from deckclause.answers.compare.finding import FindingAnswer
from deckclause.answers.compare.together import ASKS, BASIS, lacking_lines
from deckclause.answers.figure import limit_words
from deckclause.answers.names import parts_text
from deckclause.report.comparison.together import headline
from deckclause.report.document import Cell, Grid

HEADERS = ("What", "Outcome", "As drawn", "What is asked", "Who sets it")
SHARES = (21, 17, 8, 27, 27)
LOCAL_SHARES = (21, 79)
MOST_NAMED = 12
"""Topics named on the first page before the rest are counted."""
ASKS_TOGETHER = ASKS.rstrip("?")
ASKED = ("does not comply", "engineering required")
MISSING = "information missing"

Rows = tuple[tuple[Cell, ...], ...]


def first_page(answer: CompareAnswer) -> Grid:
    """Return one table: a line for each rule set with its outcome, under it what is to be done.

    Rule sets that ask the very same share a line. Nothing undecided is left out: it is named or
    counted.
    """
    says, together = _together(answer)
    groups: dict[tuple[str, Rows], list[str]] = {}
    for column, card in enumerate(answer.cards):
        rows = tuple(_rows(answer, column))
        groups.setdefault((card.status_words, rows), []).append(card.title)
    every: list[tuple[Cell, ...]] = [*together]
    heads: list[tuple[int, str]] = [(0, says)] if together else []
    for (status, rows), names in groups.items():
        heads.append((len(every), f"{'; '.join(names)}: {status}"))
        every += rows or [_nothing_else(answer, status)]
    caption = "What each rule set asks of this design"
    return Grid(caption, HEADERS, tuple(every), groups=tuple(heads), shares=SHARES)


def _nothing_else(answer: CompareAnswer, status: str) -> tuple[Cell, ...]:
    """Say what a rule set comes to that asks for nothing more; no pass above a deck that fails."""
    if answer.passes_nothing:
        why = Cell("Not a pass: whether the deck holds together comes first.")
        return Cell("Nothing else asked"), Cell(status, status=status), Cell(""), why, Cell("")
    return Cell("Everything asked"), Cell(status, status=status), *[Cell("")] * 3


def _together(answer: CompareAnswer) -> tuple[str, Rows]:
    """Return whether the deck holds together: the line, and a row for each thing that does not."""
    rows = tuple(
        (Cell(ASKS_TOGETHER), Cell(status, status=status), Cell(""), Cell(text), Cell(BASIS))
        for status, text in lacking_lines(answer.holds_together)
    )
    return headline(answer.holds_together), rows


def _rows(answer: CompareAnswer, column: int) -> Iterator[tuple[Cell, ...]]:
    for status in ASKED:
        yield from _asked(answer, column, status)
    yield from _open(answer, column)


def local_values(answer: CompareAnswer) -> Grid | None:
    """Return the values places set themselves and what they stand in for, or None without any."""
    rows = [
        (
            Cell("The design itself" if told.of_design else told.title),
            Cell(f"{'; '.join(told.says)}."),
        )
        for told in answer.told
    ]
    if not rows:
        return None
    return Grid("Local values in force", ("Rule set", "Values"), tuple(rows), shares=LOCAL_SHARES)


def _asked(answer: CompareAnswer, column: int, status: str) -> Iterator[tuple[Cell, ...]]:
    """Yield a row for each thing asked; topics and parts of which the same is asked share it."""
    alike: dict[tuple[str, str, str], dict[str, list[str]]] = {}
    for row in answer.every_row:
        cell = row.cells[column]
        for finding in cell.findings:
            if cell.status_words == status == finding.status_text:
                titles = alike.setdefault(_words(finding, si=answer.si), {})
                titles.setdefault(row.topic.title, []).append(finding.part)
    for words, titles in alike.items():
        named = (f"{title}{parts_text(dict.fromkeys(p))}" for title, p in titles.items())
        yield Cell("; ".join(named)), Cell(status, status=status), *map(Cell, words)


def _words(finding: FindingAnswer, *, si: bool) -> tuple[str, str, str]:
    """Return what the design has, what is asked and who sets it."""
    has = "" if finding.value is None else finding.value.text(si=si)
    asked = limit_words(finding.least, finding.most, si=si)
    if not asked:
        fails = finding.status_text == ASKED[0]
        asked = finding.says if fails else finding.decides.removeprefix("engineering: ")
    if finding.on_memory:
        asked += " (memory)"
    return has, asked, "; ".join(dict.fromkeys([finding.cites, *finding.acts]))


def _open(answer: CompareAnswer, column: int) -> Iterator[tuple[Cell, ...]]:
    titles = [
        row.topic.title
        for row in answer.every_row
        if row.attention != UNSTATED and row.cells[column].status_words == MISSING
    ]
    parts = [unstated.title for unstated in answer.unstated]
    if not titles and not parts:
        return
    named = titles[:MOST_NAMED]
    if len(titles) > MOST_NAMED:
        named.append(f"and {len(titles) - MOST_NAMED} more")
    if parts:
        named.append(f"all of {', '.join(parts)} (not stated in the design)")
    what = Cell("What is not decided", target="questions")
    cells = Cell(""), Cell(f"{'; '.join(named)}. See: What to find out."), Cell("")
    yield what, Cell(MISSING, status=MISSING), *cells
