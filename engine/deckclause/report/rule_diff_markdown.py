"""A difference of two rule sets as a change report in Markdown: the form every other one is made from."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from deckclause.compare.rule_diff import ADDED, CHANGED, GONE, MOVED, ClauseChange, RuleDiff
from deckclause.compare.table_diff import TableDiff
from deckclause.compare.words import origin_text
from deckclause.evaluate.words import name_text
from deckclause.report.cautions import CAUTIONS
from deckclause.rulesets.clauses import Clause
from deckclause.rulesets.vocabulary import Vocabulary

LEAD = {
    CHANGED: "Changed",
    ADDED: "New",
    GONE: "Gone",
    MOVED: "Moved, otherwise as before",
}
KNOWN_OTHERWISE = "As before, known otherwise"


def rule_diff_markdown(diff: RuleDiff, vocabulary: Vocabulary) -> str:
    """Write a difference as a change report."""
    return "\n".join(report_lines(diff, vocabulary)) + "\n"


def report_lines(diff: RuleDiff, vocabulary: Vocabulary) -> Iterator[str]:
    """Yield the report's lines."""
    yield f"# What changes from {diff.one.name} to {diff.two.name}"
    yield ""
    yield f"From: {diff.one.title}. To: {diff.two.title}."
    yield ""
    yield summary(diff)
    if diff.settings:
        yield from _settings(diff)
    part = ""
    for topic in diff.topics():
        entry = vocabulary.topics[topic]
        if entry.part != part:
            part = entry.part
            yield ""
            yield f"## {vocabulary.parts[part]}"
        yield ""
        yield f"### {entry.title}"
        for change in diff.on(topic):
            yield ""
            yield from _change(diff, change)
    yield ""
    yield "## How to read this"
    yield ""
    yield (
        "Clauses are given in our own words; the adopted code and ordinances govern. A figure "
        "marked `memory` has not been checked against the book."
    )
    yield ""
    for caution in CAUTIONS:
        yield f"- {caution}"


def summary(diff: RuleDiff) -> str:
    """Write what changed in a line."""
    if not diff.changes and not diff.settings:
        return "Nothing differs."
    counts = [
        (diff.count(CHANGED), "changed"),
        (diff.count(ADDED), "new"),
        (diff.count(GONE), "gone"),
        (diff.count(MOVED), "moved only"),
        (diff.unchanged, "as before"),
    ]
    return f"Clauses: {', '.join(f'{n} {word}' for n, word in counts)}."


def _settings(diff: RuleDiff) -> Iterator[str]:
    yield ""
    yield "## Values fixed by the place"
    yield ""
    yield from grid(
        ("value", diff.one.name, diff.two.name, "by"),
        [(name_text(s.quantity), s.before, s.after, origin_text(s.origin)) for s in diff.settings],
    )


def _change(diff: RuleDiff, change: ClauseChange) -> Iterator[str]:
    clause = change.after or change.before
    assert clause is not None
    before, after = change.before, change.after
    if before is not None and after is not None:
        places = before.cites
        if before.cites != after.cites:
            places = f"{before.cites}, now {after.cites}"
    else:
        places = clause.cites
    lead = KNOWN_OTHERWISE if change.only_standing else LEAD[change.kind]
    yield f"**{lead}** ({places}). {clause.says}"
    if change.origin is not None:
        yield ""
        yield f"By {origin_text(change.origin)}."
    if change.kind in (ADDED, GONE):
        yield ""
        yield f"Standing: {clause.standing}."
    if before is not None and after is not None and before.says != after.says:
        yield ""
        yield f"Before: {before.says}"
    if change.aspects and not change.only_standing:
        yield ""
        rows = [(a.name, a.before, a.after) for a in change.aspects]
        yield from grid(("", diff.one.name, diff.two.name), rows)
    for table in change.tables:
        yield from _table(diff, table)
    if change.kind == CHANGED:
        yield ""
        yield f"Standing: {_standing(before, after)}."


def _standing(before: Clause | None, after: Clause | None) -> str:
    assert before is not None
    assert after is not None
    if before.standing == after.standing:
        return f"{after.standing}, both"
    return f"{before.standing} before, {after.standing} now"


def _table(diff: RuleDiff, table: TableDiff) -> Iterator[str]:
    yield ""
    count = len(table.cells)
    where = table.after if table.before == table.after else f"{table.before}, now {table.after}"
    counted = f"{count} figure{'s differ' if count != 1 else ' differs'}" if table.axes else ""
    yield f"{where}: {'; '.join(filter(None, (counted, table.note)))}."
    if table.cells:
        yield ""
        rows = [(*c.keys, c.before, c.after) for c in table.cells]
        yield from grid((*table.axes, diff.one.name, diff.two.name), rows)


def grid(head: tuple[str, ...], rows: Sequence[tuple[str, ...]]) -> Iterator[str]:
    """Yield a Markdown table."""
    yield f"| {' | '.join(_escaped(h) for h in head)} |"
    yield f"|{'---|' * len(head)}"
    for row in rows:
        yield f"| {' | '.join(_escaped(cell) for cell in row)} |"


def _escaped(text: str) -> str:
    return text.replace("|", "\\|").replace("\n", " ")
