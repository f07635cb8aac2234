"""The tables of a difference of two rule sets: cells side by side, one key of few along the top."""

from __future__ import annotations

from collections.abc import Iterator

from deckclause.compare.rule_diff.clauses import RuleDiff
from deckclause.compare.rule_diff.tables import ABSENT, CellDiff, TableDiff
from deckclause.compare.rule_diff.weight import true_changes
from deckclause.report.rule_diff.summary import grid, marked
from deckclause.rulesets.names import rule_set_title
from deckclause.rulesets.vocabulary import Vocabulary

MOST_ALONG = 4
"""Keys that may stand along the top: more do not fit a page."""
FEWEST_TO_FOLD = 8
ALIKE = "-"


def table_lines(diff: RuleDiff, vocabulary: Vocabulary) -> Iterator[str]:
    """Yield the section of tables: of each clause that truly changes, what differs cell by cell."""
    changes = [change for change in true_changes(diff) if change.tables]
    if not changes:
        return
    yield ""
    yield "## Tables"
    topic = ""
    for change in changes:
        clause = change.after or change.before
        assert clause is not None
        if change.topic != topic:
            topic = change.topic
            yield ""
            yield f"### {vocabulary.topics[topic].title}: figures"
        yield ""
        yield clause.says
        for table in change.tables:
            yield from _table(diff, table)


def _table(diff: RuleDiff, table: TableDiff) -> Iterator[str]:
    where = table.after if table.before == table.after else f"{table.before}, now {table.after}"
    count = len(table.cells)
    counted = f"{count} figure{'s differ' if count != 1 else ' differs'}"
    unseen = f"{table.unseen} cells nobody has seen are left out" if table.unseen else ""
    along = _along(table)
    one_sided = _one_sided(diff, table)
    folded = ""
    if along is not None:
        each = one_sided or f"{rule_set_title(diff.one.name)} / {rule_set_title(diff.two.name)}"
        folded = f"in each cell {each}; {ALIKE} where they do not differ or are not seen"
    notes = (counted, table.note, unseen, folded)
    yield ""
    yield f"{where}: {'; '.join(filter(None, notes))}."
    if not table.cells:
        return
    yield ""
    if along is None:
        rows = [(*c.keys, *_texts(c)) for c in table.cells]
        yield from grid(
            (*table.axes, rule_set_title(diff.one.name), rule_set_title(diff.two.name)), rows
        )
    else:
        yield from _folded(table, along)


def _texts(cell: CellDiff) -> tuple[str, str]:
    return marked(cell.before, cell.memory[0]), marked(cell.after, cell.memory[1])


def _along(table: TableDiff) -> int | None:
    """Return the axis to put along the top: the last that has few keys; None for a short table."""
    if len(table.axes) < 2 or len(table.cells) < FEWEST_TO_FOLD:
        return None
    for place in reversed(range(len(table.axes))):
        if 2 <= len({cell.keys[place] for cell in table.cells}) <= MOST_ALONG:
            return place
    return None


def _one_sided(diff: RuleDiff, table: TableDiff) -> str:
    """Say whose figures they are, where the other rule set has none of them."""
    if all(cell.before == ABSENT for cell in table.cells):
        return f"the figure of {rule_set_title(diff.two.name)}, where {rule_set_title(diff.one.name)} has none"
    if all(cell.after == ABSENT for cell in table.cells):
        return f"the figure of {rule_set_title(diff.one.name)}, where {rule_set_title(diff.two.name)} has none"
    return ""


def _folded(table: TableDiff, along: int) -> Iterator[str]:
    keys = list(dict.fromkeys(cell.keys[along] for cell in table.cells))
    rows: dict[tuple[str, ...], dict[str, str]] = {}
    gone, new = (all(x == ABSENT for x in side) for side in _sides(table))
    for cell in table.cells:
        rest = (*cell.keys[:along], *cell.keys[along + 1 :])
        before, after = _texts(cell)
        text = after if gone else before if new else f"{before} / {after}"
        rows.setdefault(rest, {})[cell.keys[along]] = text
    axes = (*table.axes[:along], *table.axes[along + 1 :])
    head = (*axes, *(f"{table.axes[along]} {key}" for key in keys))
    yield from grid(
        head, [(*rest, *(row.get(k, ALIKE) for k in keys)) for rest, row in rows.items()]
    )


def _sides(table: TableDiff) -> tuple[list[str], list[str]]:
    return [cell.before for cell in table.cells], [cell.after for cell in table.cells]
