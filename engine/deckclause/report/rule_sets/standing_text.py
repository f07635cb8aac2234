"""How well the figures of rule sets are founded, as a short table or topic by topic."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from textwrap import wrap

from deckclause.evaluate.explain import RANK
from deckclause.rulesets.ruleset import RuleSet
from deckclause.rulesets.standing import count_standings
from deckclause.rulesets.vocabulary import Vocabulary

COUNTED = (
    "Counted: clauses, exceptions, other readings and table cells, each with its own standing."
)
BEST = "confirmed"
GAP = "  "
HEADERS = ["confirmed", "derived", "practice", "memory", "all"]
"""Heads of RANK and the total, short enough to leave room for the topics."""


def standing_lines(rulesets: Sequence[RuleSet], width: int) -> Iterator[str]:
    """Yield a line for each rule set: how many figures have each standing, and the share confirmed."""
    rows = [[r.name, *_cells(counts := count_standings(r)), _share(counts)] for r in rulesets]
    yield from _aligned(["rule set", *HEADERS, "share confirmed"], rows)
    yield from wrap(COUNTED, width)


def topic_lines(rulesets: Sequence[RuleSet], vocabulary: Vocabulary, width: int) -> Iterator[str]:
    """Yield, for each rule set, its topics under their part of the deck, with totals of each part."""
    room = width - sum(len(head) + len(GAP) for head in HEADERS)
    for ruleset in rulesets:
        yield from wrap(f"{ruleset.name}: {ruleset.title}", width, subsequent_indent="  ")
        rows = list(_topic_rows(ruleset, vocabulary, room))
        yield from _aligned(["part and topic", *HEADERS], rows)
        yield ""
    yield from wrap(
        f"{COUNTED} A table counts for every topic that reads it, and once in each total.", width
    )


def _aligned(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> Iterator[str]:
    """Yield rows under heads: words to the left, numbers to the right, blanks left out at the end."""
    widths = [max(map(len, column)) for column in zip(heads, *rows, strict=True)]
    for row in (heads, ["-" * width for width in widths], *rows):
        first = row[0].ljust(widths[0])
        others = (text.rjust(width) for text, width in zip(row[1:], widths[1:], strict=True))
        yield GAP.join([first, *others]).rstrip()


def _topic_rows(ruleset: RuleSet, vocabulary: Vocabulary, room: int) -> Iterator[list[str]]:
    for part, title in vocabulary.parts.items():
        topics = [
            topic
            for topic in vocabulary.topics.values()
            if topic.part == part and ruleset.topic_clauses(topic.name)
        ]
        counts = {topic.name: count_standings(ruleset, topic.name) for topic in topics}
        if not topics:
            continue
        yield [title.upper()[:room], *_cells(_count_of_part(ruleset, set(counts)))]
        for topic in topics:
            yield [_shortened(f"- {topic.title}", room), *_cells(counts[topic.name])]
    yield ["ALL", *_cells(count_standings(ruleset))]


def _count_of_part(ruleset: RuleSet, topics: set[str]) -> Counter[str]:
    """Count a part of the deck, a table read by several of its topics once."""
    clauses = tuple(clause for clause in ruleset.clauses if clause.topic in topics)
    return count_standings(replace(ruleset, clauses=clauses))


def _cells(counts: Counter[str]) -> list[str]:
    """Write the counts; nothing where there is none, so that the eye finds the figures."""
    numbers = [*(counts.get(rank, 0) for rank in RANK), sum(counts.values())]
    return [str(number or "") for number in numbers]


def _share(counts: Counter[str]) -> str:
    every = sum(counts.values())
    return f"{100 * counts.get(BEST, 0) // every}%" if every else ""


def _shortened(text: str, room: int) -> str:
    return text if len(text) <= room else text[: max(room - 3, 0)].rstrip() + "..."
