"""A difference of two rule sets as a change report in Markdown: the form every other one is made from.

A summary first, then what truly changes by topic, then the tables; what only moved or is only known
otherwise stands at the end.
"""

from __future__ import annotations

from collections.abc import Iterator

from deckclause.compare.felt_figures import Felt
from deckclause.compare.rule_diff.clauses import (
    ADDED,
    CHANGED,
    GONE,
    MOVED,
    Aspect,
    ClauseChange,
    RuleDiff,
)
from deckclause.compare.rule_diff.otherwise import otherwise
from deckclause.compare.rule_diff.weight import OTHERWISE, true_changes, weight
from deckclause.compare.words import origin_text
from deckclause.evaluate.words import name_text
from deckclause.report.cautions import CAUTIONS
from deckclause.report.comparison.stars import starred
from deckclause.report.rule_diff.summary import (
    EXAMPLE,
    NOTHING,
    grid,
    joined,
    marked,
    side_texts,
    summary_lines,
)
from deckclause.report.rule_diff.tables import table_lines
from deckclause.rulesets.clauses import Clause
from deckclause.rulesets.names import rule_set_title
from deckclause.rulesets.standing import from_memory
from deckclause.rulesets.vocabulary import Vocabulary

LEAD = {CHANGED: "Changed", ADDED: "New", GONE: "Gone"}
ONLY_STANDING = "The same as held here, known better or less well"
ONLY_MOVED = "Moved, otherwise as before as held here"
FIGURES = ("figure", "exception", "reading", "requirement")
"""Aspects that hold figures: marked where a clause is from memory."""


def rule_diff_markdown(
    diff: RuleDiff, vocabulary: Vocabulary, felt: Felt | None = None, example: str = ""
) -> str:
    """Write a difference as a change report."""
    return "\n".join(report_lines(diff, vocabulary, felt, example)) + "\n"


def report_lines(
    diff: RuleDiff, vocabulary: Vocabulary, felt: Felt | None = None, example: str = ""
) -> Iterator[str]:
    """Yield the report's lines; `felt` holds what tables come to for the example design named."""
    felt = felt or {}
    yield f"# What changes from {rule_set_title(diff.one.name)} to {rule_set_title(diff.two.name)}"
    yield ""
    yield f"From: {diff.one.title}. To: {diff.two.title}."
    yield ""
    for words in diff.left_out:
        yield f"**{words}.**"
        yield ""
    yield from summary_lines(diff, vocabulary, felt, example)
    if diff.settings:
        yield from _settings(diff)
        yield from _effects(diff, vocabulary, felt, example)
    part = ""
    changes = true_changes(diff)
    for topic in dict.fromkeys(change.topic for change in changes):
        entry = vocabulary.topics[topic]
        if entry.part != part:
            part = entry.part
            yield ""
            yield f"## {vocabulary.parts[part]}"
        yield ""
        yield f"### {entry.title}"
        for change in changes:
            if change.topic == topic:
                yield ""
                yield from _change(diff, change, felt)
    yield from table_lines(diff, vocabulary)
    yield from _only_moved(diff, vocabulary)
    yield from _only_standing(diff, vocabulary)
    yield ""
    yield "## How to read this"
    yield ""
    yield (
        "Clauses are given in our own words; the adopted code and ordinances govern. A figure "
        "marked * is from `memory` and has not been checked against the book."
    )
    yield ""
    for caution in CAUTIONS:
        yield f"- {caution}"


def _settings(diff: RuleDiff) -> Iterator[str]:
    yield ""
    yield "## Values fixed by the place"
    yield ""
    rows = []
    for setting in diff.settings:
        texts = (setting.before, setting.after)
        sides = [marked(t, m) for t, m in zip(texts, setting.memory, strict=True)]
        rows.append((name_text(setting.quantity), *sides, origin_text(setting.origin)))
    yield from grid(
        ("value", rule_set_title(diff.one.name), rule_set_title(diff.two.name), "by"), rows
    )


def _effects(diff: RuleDiff, vocabulary: Vocabulary, felt: Felt, example: str) -> Iterator[str]:
    """Yield what the values come to, for the example deck, in clauses that ask what they asked."""
    changed = {change.key for change in diff.changes}
    here: dict[str, list[tuple[str, str, str]]] = {}
    for clause in diff.two.clauses:
        figure = felt.get(clause.key)
        if figure is not None and clause.key not in changed:
            texts = (figure.before, figure.after)
            before, after = (starred(text, clause) if text else NOTHING for text in texts)
            here.setdefault(clause.topic, []).append((figure.way, before, after))
    if not here:
        return
    yield ""
    yield f"With them, what clauses ask of the example {example} changes, though their words do not:"
    yield ""
    rows = []
    for topic, found in here.items():
        ways, one, two = ([entry[i] for entry in found] for i in range(3))
        way = ", ".join(dict.fromkeys(filter(None, ways)))
        rows.append((vocabulary.topics[topic].title, way, joined(one), joined(two)))
    yield from grid(("", "way", rule_set_title(diff.one.name), rule_set_title(diff.two.name)), rows)


def _change(diff: RuleDiff, change: ClauseChange, felt: Felt) -> Iterator[str]:
    clause = change.after or change.before
    assert clause is not None
    before, after = change.before, change.after
    places = clause.cites
    if before is not None and after is not None and before.cites != after.cites:
        places = f"{before.cites}, now {after.cites}"
    figure = felt.get(change.key)
    way = weight(change, figure.way if figure is not None else "")
    lead = LEAD[change.kind] if change.beside is None else "Changed"
    if way == OTHERWISE:
        lead = f"{lead}: {'; '.join(otherwise(change)) or OTHERWISE}"
    elif change.kind == CHANGED:
        lead = f"{lead}, {way}"
    yield f"**{lead}** ({places}). {clause.says}"
    if change.origin is not None:
        yield ""
        yield f"By {origin_text(change.origin)}."
    if before is not None and after is not None and before.says != after.says:
        yield ""
        yield f"Before: {before.says}"
    rows: list[tuple[str, ...]] = [
        _aspect(change, a) for a in change.aspects if a.name != "standing"
    ]
    example = side_texts(change, felt)
    if any(text.startswith(EXAMPLE) for text in example):
        rows.append(("example deck", *(text.removeprefix(EXAMPLE) for text in example)))
    if rows:
        yield ""
        yield from grid(("", rule_set_title(diff.one.name), rule_set_title(diff.two.name)), rows)
    if change.tables:
        yield ""
        yield f"{_counted(change)} See Tables below."
    yield ""
    yield f"Standing: {_standing(before, after)}."


def _aspect(change: ClauseChange, aspect: Aspect) -> tuple[str, str, str]:
    """Write an aspect, its figures marked where its clause is from memory."""
    texts = []
    for text, clause in ((aspect.before, change.before), (aspect.after, change.after)):
        known = aspect.name not in FIGURES or clause is None or text == "none"
        texts.append(text if known or clause is None else marked(text, from_memory(clause)))
    return aspect.name, texts[0], texts[1]


def _counted(change: ClauseChange) -> str:
    cells = sum(len(table.cells) for table in change.tables)
    smaller = sum(table.smaller for table in change.tables)
    larger = sum(table.larger for table in change.tables)
    if not cells:
        return "No figure that has been seen differs."
    verb = "figure differs" if cells == 1 else "figures differ"
    return f"{cells} {verb}: {smaller} smaller, {larger} larger, {cells - smaller - larger} in one only."


def _standing(before: Clause | None, after: Clause | None) -> str:
    if before is None or after is None:
        clause = before or after
        assert clause is not None
        return clause.standing
    if before.standing == after.standing:
        return f"{after.standing}, both"
    return f"{before.standing} before, {after.standing} now"


# -- what asks the same ---------------------------------------------------------------------------


def _only_moved(diff: RuleDiff, vocabulary: Vocabulary) -> Iterator[str]:
    rows = [
        (vocabulary.topics[c.topic].title, c.before.cites, c.after.cites)
        for c in diff.changes
        if c.kind == MOVED and c.before is not None and c.after is not None
    ]
    if rows:
        yield ""
        yield f"## {ONLY_MOVED}"
        yield ""
        yield from grid(
            ("topic", rule_set_title(diff.one.name), rule_set_title(diff.two.name)), rows
        )


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
        "The standing says how well a figure is known here, not what the code asks. Where one side "
        "is from memory, that both ask the same is not known."
    )
    yield ""
    yield from grid(
        ("topic", "where", "clauses", rule_set_title(diff.one.name), rule_set_title(diff.two.name)),
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
