"""The first page of a comparison: outcomes, then one line for each fact to act on, then questions."""

from __future__ import annotations

from collections.abc import Iterator

from deckclause.answers.compare.answer import CompareAnswer
from deckclause.answers.compare.to_do import Asked, ToDo
from deckclause.answers.compare.together import ASKS, headline, shortcomings
from deckclause.answers.names import parts_text
from deckclause.reading.status import status_told
from deckclause.report.document import Cell, Facts, Grid

HEADERS = ("What to do", "As drawn", "Who asks it", "Topics it decides")
SHARES = (31, 12, 34, 23)
LOCAL_SHARES = (21, 79)
FAILS, ENGINEER = "does not comply", "engineering required"
MOST_TOPICS = 6
"""Topics named beside an action before the rest are counted."""
HEADS = {
    FAILS: "Change the design, or ask for relief",
    ENGINEER: "Have engineered: outside what the rules prescribe",
}
ASKS_TOGETHER = ASKS.rstrip("?")
MEMORY = " (memory)"

Rows = tuple[tuple[Cell, ...], ...]


def outcomes(answer: CompareAnswer) -> Facts:
    """Return the outcome under each rule set; those alike share a line."""
    alike: dict[str, list[str]] = {}
    for card in answer.cards:
        alike.setdefault(status_told(card.status_words), []).append(card.title)
    pairs = [(status, "; ".join(names)) for status, names in alike.items()]
    if answer.passes_nothing:
        pairs.append(("Not a pass", "whether the deck holds together comes first"))
    return Facts(tuple((head[:1].upper() + head[1:], names) for head, names in pairs))


def first_page(answer: CompareAnswer) -> Grid | None:
    """Return one table of actions, a line each, or None where there is nothing to do.

    A fact that fails several topics, or under several rule sets, is one line.
    """
    every: list[tuple[Cell, ...]] = []
    heads: list[tuple[int, str]] = []
    groups: list[tuple[str, Rows]] = [_together(answer)]
    groups += [
        (head, tuple(_action(item) for item in answer.to_do if item.status_words == status))
        for status, head in HEADS.items()
    ]
    groups.append(("Find out", tuple(_questions(answer))))
    for head, rows in groups:
        if rows:
            heads.append((len(every), head))
            every += rows
    if not every:
        return None
    caption = "What this design asks to be done, most pressing first"
    return Grid(caption, HEADERS, tuple(every), groups=tuple(heads), shares=SHARES)


def _together(answer: CompareAnswer) -> tuple[str, Rows]:
    """Return whether the deck holds together: the line, and a row for each thing that does not."""
    rows = tuple(
        (Cell(found.text), Cell(""), Cell(f"{found.basis}, no clause"), Cell(ASKS_TOGETHER))
        for found in shortcomings(answer.holds_together)
    )
    return headline(answer.holds_together), rows


def _action(item: ToDo) -> tuple[Cell, ...]:
    """Return one action: what to bring where, as drawn, who asks, and the topics it decides."""
    return (
        Cell(_do(item)),
        Cell(item.drawn),
        Cell("\n".join(_who(asked, item) for asked in item.asked)),
        Cell(_named(item.topics)),
    )


def _do(item: ToDo) -> str:
    strictest = item.asked[0]
    allowed = strictest.allowed.split(";")[0]
    memory = MEMORY * all(where.on_memory for where in strictest.where)
    if not item.drawn:
        return f"{allowed[:1].upper()}{allowed[1:]}{parts_text(item.parts)}{memory}"
    return f"{item.fact}{parts_text(item.parts)}: {allowed}{memory}"


def _who(asked: Asked, item: ToDo) -> str:
    """Say who asks it and where; with the figure where it is not the strictest one."""
    told = []
    for where in asked.where:
        sections = "; ".join(dict.fromkeys([*where.cites, *where.acts]))
        told.append(f"{', '.join(where.rule_sets)}, {sections}{MEMORY * where.on_memory}")
    own = "" if asked is item.asked[0] else f"{asked.allowed}: "
    return own + "; ".join(told)


def _named(topics: tuple[str, ...]) -> str:
    named = [*topics[:MOST_TOPICS]]
    if len(topics) > MOST_TOPICS:
        named.append(f"and {len(topics) - MOST_TOPICS} more")
    return "; ".join(named)


def _questions(answer: CompareAnswer) -> Iterator[tuple[Cell, ...]]:
    """Yield a line that sends to the questions, and one for the parts the design says nothing of."""
    if answer.asked:
        count = len(answer.asked)
        words = f"Answer {count} question{'s' * (count != 1)}, listed under What to find out"
        topics = tuple(dict.fromkeys(topic for q in answer.asked for topic in q.topics))
        cells = Cell("not known"), Cell(""), Cell(_named(topics))
        yield Cell(words, target="questions"), *cells
    if answer.unstated:
        names = tuple(unstated.title for unstated in answer.unstated)
        count = sum(unstated.topics for unstated in answer.unstated)
        cells = Cell("not stated"), Cell(""), Cell(f"{count} topics not known")
        yield Cell(f"State these parts: {_named(names)}"), *cells


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
