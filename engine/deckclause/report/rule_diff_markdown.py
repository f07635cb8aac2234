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
ONLY_STANDING = "Figure unchanged, standing changed"


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
        asked = [change for change in diff.on(topic) if not change.only_standing]
        if not asked:
            continue
        entry = vocabulary.topics[topic]
        if entry.part != part:
            part = entry.part
            yield ""
            yield f"## {vocabulary.parts[part]}"
        yield ""
        yield f"### {entry.title}"
        for change in asked:
            yield ""
            yield from _change(diff, change)
    yield from _only_standing(diff, vocabulary)
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
    known_otherwise = sum(change.only_standing for change in diff.changes)
    counts = [
        (diff.count(CHANGED) - known_otherwise, "changed"),
        (diff.count(ADDED), "new"),
        (diff.count(GONE), "gone"),
        (diff.count(MOVED), "moved only"),
        (known_otherwise, "with another standing only"),
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
    yield f"**{LEAD[change.kind]}** ({places}). {clause.says}"
    if change.origin is not None:
        yield ""
        yield f"By {origin_text(change.origin)}."
    if change.kind in (ADDED, GONE):
        yield ""
        yield f"Standing: {clause.standing}."
    if before is not None and after is not None and before.says != after.says:
        yield ""
        yield f"Before: {before.says}"
    if change.aspects:
        yield ""
        rows = [(a.name, a.before, a.after) for a in change.aspects]
        yield from grid(("", diff.one.name, diff.two.name), rows)
    for table in change.tables:
        yield from _table(diff, table)
    if change.kind == CHANGED:
        yield ""
        yield f"Standing: {_standing(before, after)}."


def _only_standing(diff: RuleDiff, vocabulary: Vocabulary) -> Iterator[str]:
    """Yield what asks the same and is only better or less well known: a line a topic and standing."""
    rows: dict[tuple[str, str, str], list[str]] = {}
    for change in diff.changes:
        if change.only_standing:
            assert change.before is not None
            assert change.after is not None
            key = change.topic, change.before.standing, change.after.standing
            rows.setdefault(key, []).append(change.after.cites)
    if not rows:
        return
    yield ""
    yield f"## {ONLY_STANDING}"
    yield ""
    yield (
        "The standing says how well a figure is known here, not what the code asks; what these "
        "clauses ask is the same in both."
    )
    yield ""
    yield from grid(
        ("topic", "where", "clauses", diff.one.name, diff.two.name),
        [
            (
                vocabulary.topics[topic].title,
                "; ".join(dict.fromkeys(cites)),
                str(len(cites)),
                before,
                after,
            )
            for (topic, before, after), cites in rows.items()
        ],
    )


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
