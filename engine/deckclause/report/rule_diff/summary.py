"""The first page of a difference of two rule sets: what truly changes, counted and in one table."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from deckclause.compare.felt_figures import Felt
from deckclause.compare.knowledge import states_words
from deckclause.compare.rule_diff.clauses import CHANGED, MOVED, ClauseChange, RuleDiff
from deckclause.compare.rule_diff.otherwise import kinds
from deckclause.compare.rule_diff.weight import (
    NEW,
    OTHERWISE,
    WEIGHTS,
    WITHDRAWN,
    true_changes,
    unheld,
    weight,
    weights,
)
from deckclause.report.comparison.stars import STAR, starred
from deckclause.rulesets.clauses import Clause
from deckclause.rulesets.names import rule_set_title
from deckclause.rulesets.standing import from_memory, unread_part
from deckclause.rulesets.vocabulary import Vocabulary
from deckclause.rulesets.walk import clause_tables

COVERS = (
    "It covers wood decks at dwellings only: what the two rule sets, as held here, ask of ledgers, "
    "framing, footings, guards, stairs and doors. The rest of the code is not compared."
)
NOTHING = "nothing asked"
EXAMPLE = "e.g. "


def summary_lines(
    diff: RuleDiff, vocabulary: Vocabulary, felt: Felt, example: str
) -> Iterator[str]:
    """Yield the summary; `felt` holds figures the example design named meets."""
    for line in unread_lines(diff):
        yield line
        yield ""
    yield COVERS
    yield ""
    yield states_line(diff, vocabulary)
    yield ""
    yield summary(diff, felt)
    if not diff.changes and not diff.settings:
        return
    yield ""
    yield aside(diff)
    changes = true_changes(diff)
    if not changes:
        yield from _not_held(diff, vocabulary)
        return
    yield ""
    yield known(changes)
    yield ""
    shown, named = _topics(changes, felt)
    if shown:
        rows = [_row(diff, vocabulary, felt, topic) for topic in shown]
        yield from grid(
            ("", "way", rule_set_title(diff.one.name), rule_set_title(diff.two.name)), rows
        )
    for way, entries in named.items():
        yield ""
        titles = [f"{vocabulary.topics[topic].title} ({cites})" for topic, cites in entries]
        yield f"{way.capitalize()}, of their own: {'; '.join(titles)}."
    yield from _not_held(diff, vocabulary)
    if any(EXAMPLE in text for change in changes for text in side_texts(change, felt)):
        yield ""
        yield (
            f"{EXAMPLE.strip()} is what a figure read from tables comes to for one deck, the "
            f"invented example {example}; other decks have other figures, given under Tables."
        )


def _not_held(diff: RuleDiff, vocabulary: Vocabulary) -> Iterator[str]:
    clauses = [c.after or c.before for c in unheld(diff)]
    named = [f"{vocabulary.topics[c.topic].title} ({c.cites})" for c in clauses if c is not None]
    if named:
        yield ""
        yield (
            f"Not held here, and so not compared: {'; '.join(dict.fromkeys(named))}. There the code "
            "has words or figures this tool lacks: read it."
        )


def ways_felt(felt: Felt) -> dict[str, str]:
    """Return which way each example figure goes."""
    return {key: figure.way for key, figure in felt.items()}


def summary(diff: RuleDiff, felt: Felt) -> str:
    """Write what truly changed in a line."""
    if not diff.changes and not diff.settings:
        return "Nothing differs."
    counted = weights(diff, ways_felt(felt))
    total = sum(counted.values())
    ways = ", ".join(f"{counted[way]} {way}" for way in WEIGHTS if counted[way])
    fixed = len(diff.settings)
    values = f" The place fixes {fixed} value{'' if fixed == 1 else 's'}." if fixed else ""
    if not total:
        return f"No rule is known to change.{values}"
    verb = "rule truly changes" if total == 1 else "rules truly change"
    return f"{total} {verb}: {ways}.{_otherwise_words(diff, felt)}{values}"


def _otherwise_words(diff: RuleDiff, felt: Felt) -> str:
    """Write what the changes that are neither stricter nor looser are, most often first."""
    ways = ways_felt(felt)
    found = [c for c in true_changes(diff) if weight(c, ways.get(c.key, "")) == OTHERWISE]
    counted = Counter(kind for change in found for kind in kinds(change))
    if not counted:
        return ""
    return f" Otherwise: {', '.join(f'{word} {n}' for word, n in counted.most_common())}."


def states_line(diff: RuleDiff, vocabulary: Vocabulary) -> str:
    """Write how many topics are in each state of knowledge."""
    return states_words(diff, tuple(vocabulary.topics))


def unread_lines(diff: RuleDiff) -> Iterator[str]:
    """Yield, for a rule set most of which nobody has read, that this cannot show what changed."""
    if diff.one.edition == diff.two.edition:
        return  # whatever the edition says, both have it
    for part in (unread_part(diff.one), unread_part(diff.two)):
        count = (
            f"{part.unread} of its {part.clauses} clauses are carried from "
            f"{' and '.join(map(rule_set_title, part.carried_from))}, and nobody has seen that they stand there unchanged"
        )
        if part.wholly:
            yield (
                f"{rule_set_title(part.ruleset.name)} has not been read: {count}. This comparison cannot show what "
                "changed."
            )
        elif part.mostly:
            yield (
                f"Most of {rule_set_title(part.ruleset.name)} has not been read: {count}. What else changed, this "
                "comparison cannot show."
            )


def aside(diff: RuleDiff) -> str:
    """Write in a line how many clauses ask what they asked."""
    only = sum(change.only_standing for change in diff.changes)
    return (
        f"The same as held here: {diff.count(MOVED)} only moved to another section, {only} known "
        f"better or less well here, {diff.unchanged} as before. Stricter and looser go by figures alone; a "
        "condition, scope or form that changed counts as otherwise."
    )


def known(changes: Sequence[ClauseChange]) -> str:
    """Write how well the changed clauses are known."""
    sides = [[c for c in (x.before, x.after) if c is not None] for x in changes]
    sure = sum(all(_confirmed(clause) for clause in clauses) for clauses in sides)
    memory = sum(any(from_memory(clause) for clause in clauses) for clauses in sides)
    return (
        f"How well known: of these {len(changes)}, {sure} ({100 * sure // len(changes)} %) are "
        f"confirmed wherever they stand; {memory} rest{'s' if memory == 1 else ''} on memory on one side or both, marked *: "
        "read the code before relying on them."
    )


def _confirmed(clause: Clause) -> bool:
    return clause.standing == "confirmed" and not from_memory(clause)


def _topics(
    changes: Sequence[ClauseChange], felt: Felt
) -> tuple[list[str], dict[str, list[tuple[str, str]]]]:
    """Return the topics that have a row, and by way those only named: new or gone, no figure read."""
    shown: list[str] = []
    named: dict[str, list[tuple[str, str]]] = {}
    for topic in dict.fromkeys(change.topic for change in changes):
        here = [change for change in changes if change.topic == topic]
        ways = list(dict.fromkeys(weight(change) for change in here))
        figures = any(EXAMPLE in text for change in here for text in side_texts(change, felt))
        if len(ways) == 1 and ways[0] in (NEW, WITHDRAWN) and not figures:
            clauses = [c.after or c.before for c in here]
            cites = dict.fromkeys(starred(c.cites, c) for c in clauses if c is not None)
            named.setdefault(ways[0], []).append((topic, ", ".join(cites)))
        else:
            shown.append(topic)
    return shown, named


def _row(diff: RuleDiff, vocabulary: Vocabulary, felt: Felt, topic: str) -> tuple[str, ...]:
    """Write a topic's row; what changed speaks for it, or else what is new and gone."""
    here = [change for change in true_changes(diff) if change.topic == topic]
    felt_ways = ways_felt(felt)
    ways = list(dict.fromkeys(way_words(c, felt_ways.get(c.key, "")) for c in here))
    telling = [change for change in here if change.kind == CHANGED] or here
    texts = [side_texts(change, felt) for change in telling]
    columns = [joined([t[i] for t in texts]) for i in (0, 1)]
    return vocabulary.topics[topic].title, ", ".join(ways), columns[0], columns[1]


def way_words(change: ClauseChange, felt: str = "") -> str:
    """Write which way a change goes; where it is neither stricter nor looser, what changed."""
    way = weight(change, felt)
    return (", ".join(kinds(change)) or way) if way == OTHERWISE else way


def joined(texts: list[str]) -> str:
    """Join what several clauses say; `nothing asked` only where none says more."""
    found = [text for text in dict.fromkeys(texts) if text != NOTHING]
    return "; ".join(found) or NOTHING


def side_texts(change: ClauseChange, felt: Felt) -> tuple[str, str]:
    """Write what a clause asks before and after: its figure, an example of it, or its own words."""
    figures = next((a for a in change.aspects if a.name == "figure"), None)
    example = felt.get(change.key)
    texts: list[str] = []
    for i, clause in enumerate((change.before, change.after)):
        if clause is None:
            texts.append(NOTHING)
        elif figures is not None and not _by_table(change):
            texts.append((figures.before, figures.after)[i])
        elif example is not None and _by_table(change):
            text = (example.before, example.after)[i]
            texts.append(EXAMPLE + text if any(c.isdigit() for c in text) else text or NOTHING)
        else:
            texts.append(clause.says.rstrip("."))
    if texts[0] == texts[1]:
        texts = list(_told_apart(change, texts[0]))
    sides = zip(texts, (change.before, change.after), strict=True)
    before, after = (text if c is None else starred(text, c) for text, c in sides)
    return before, after


def _told_apart(change: ClauseChange, text: str) -> tuple[str, str]:
    """Write what differs where both sides would hold one sentence."""
    if text.startswith(EXAMPLE):
        return text, f"{text} too"
    aspects = [a for a in change.aspects if a.name not in ("standing", "assumption")]
    if aspects and not change.tables:
        before, after = (
            "; ".join(f"{a.name}: {(a.before, a.after)[i]}" for a in aspects) for i in (0, 1)
        )
        return before, after
    return text, f"as before, but for {', '.join(kinds(change)) or 'its words'}"


def _by_table(change: ClauseChange) -> bool:
    return any(c is not None and clause_tables(c) for c in (change.before, change.after))


def marked(text: str, memory: bool) -> str:
    """Write a figure, marked where it is from memory."""
    return f"{text}{STAR}" if memory else text


def grid(head: tuple[str, ...], rows: Sequence[tuple[str, ...]]) -> Iterator[str]:
    """Yield a Markdown table."""
    yield f"| {' | '.join(_escaped(h) for h in head)} |"
    yield f"|{'---|' * len(head)}"
    for row in rows:
        yield f"| {' | '.join(_escaped(cell) for cell in row)} |"


def _escaped(text: str) -> str:
    return text.replace("|", "\\|").replace("\n", " ")
