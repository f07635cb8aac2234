"""How well the figures of rule sets are founded, as a short table or topic by topic."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from textwrap import wrap

from msgspec.structs import replace

from deckclause.evaluate.explain import RANK
from deckclause.rulesets.names import rule_set_heading, rule_set_title
from deckclause.rulesets.ruleset import RuleSet
from deckclause.rulesets.standing import (
    ACCOUNT,
    MIRROR,
    OWN_TEXT,
    count_not_held,
    count_standings,
    figures,
    nearest,
)
from deckclause.rulesets.vocabulary import Vocabulary

COUNTED = (
    "Counted: clauses, exceptions, other readings and table cells, each with its own standing. Not "
    "counted as figures, and no part of any share confirmed: cells not seen, clauses not modelled."
)
NEAR = (
    "Own text: the edition's own words were seen. Mirror: a reprint in another text, or one that does "
    "not name the edition. Account: a proposal, a draft put to a hearing, an article, a discussion. "
    "Carried: repeated from an earlier rule set, and nobody has read that it is the same. Not seen: "
    "table cells known to be there. Not modelled: clauses, some of them whole tables."
)
BEST = "confirmed"
GAP = "  "
HEADERS = ["confirmed", "derived", "practice", "memory", "all"]
"""Heads of RANK and the total, short enough to leave room for the topics."""
NOT_HELD = "not held"
NEAR_HEADERS = [OWN_TEXT, MIRROR, ACCOUNT, "carried", "not seen", "not modelled"]


def standing_lines(
    rulesets: Sequence[RuleSet], vocabulary: Vocabulary, width: int
) -> Iterator[str]:
    """Yield two tables of the rule sets: figures by standing; how near the confirmed were seen.

    The second also tells what is only carried, and what is known to be there and not held.
    """
    for words in dict.fromkeys(words for r in rulesets for words in r.left_out):
        yield from wrap(f"{words}.", width)
    rows = [
        [rule_set_title(r.name), *_cells(counts := count_standings(r)), _share(counts, r)]
        for r in rulesets
    ]
    yield from _aligned(["rule set", *HEADERS, "share confirmed"], rows)
    yield from wrap(COUNTED, width)
    yield ""
    rows = [[rule_set_title(r.name), *_near_cells(r, vocabulary)] for r in rulesets]
    yield from _aligned(["confirmed by", *NEAR_HEADERS], rows)
    yield from wrap(NEAR, width)


def _near_cells(ruleset: RuleSet, vocabulary: Vocabulary) -> list[str]:
    every = list(figures(ruleset))
    near = Counter(nearest(f, vocabulary.sources) for f in every if f.standing == BEST)
    numbers = [
        *(near[kind] for kind in (OWN_TEXT, MIRROR, ACCOUNT)),
        sum(f.carried for f in every),
        *count_not_held(ruleset),
    ]
    return [str(number or "") for number in numbers]


def topic_lines(rulesets: Sequence[RuleSet], vocabulary: Vocabulary, width: int) -> Iterator[str]:
    """Yield, for each rule set, its topics under their part of the deck, with totals of each part."""
    heads = [*HEADERS, NOT_HELD]
    room = width - sum(len(head) + len(GAP) for head in heads)
    for ruleset in rulesets:
        yield from wrap(
            rule_set_heading(ruleset.name, ruleset.title), width, subsequent_indent="  "
        )
        rows = list(_topic_rows(ruleset, vocabulary, room))
        yield from _aligned(["part and topic", *heads], rows)
        yield ""
    yield from wrap(
        f"{COUNTED} They are what is not held. A table counts for every topic that reads it, and once "
        "in each total.",
        width,
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
        part_of = _of_topics(ruleset, set(counts))
        yield [title.upper()[:room], *_cells(count_standings(part_of)), _not_held(part_of)]
        for topic in topics:
            cells = _cells(counts[topic.name])
            yield [_shortened(f"- {topic.title}", room), *cells, _not_held(ruleset, topic.name)]
    yield ["ALL", *_cells(count_standings(ruleset)), _not_held(ruleset)]


def _of_topics(ruleset: RuleSet, topics: set[str]) -> RuleSet:
    """Return a part of the deck, where a table read by several of its topics counts once."""
    clauses = tuple(clause for clause in ruleset.clauses if clause.topic in topics)
    return replace(ruleset, clauses=clauses)


def _not_held(ruleset: RuleSet, topic: str | None = None) -> str:
    return str(sum(count_not_held(ruleset, topic)) or "")


def _cells(counts: Counter[str]) -> list[str]:
    """Write the counts; nothing where there is none, so that the eye finds the figures."""
    numbers = [*(counts.get(rank, 0) for rank in RANK), sum(counts.values())]
    return [str(number or "") for number in numbers]


def _share(counts: Counter[str], ruleset: RuleSet) -> str:
    every = sum(counts.values()) + sum(count_not_held(ruleset))
    return f"{100 * counts.get(BEST, 0) // every}%" if every else ""


def _shortened(text: str, room: int) -> str:
    return text if len(text) <= room else text[: max(room - 3, 0)].rstrip() + "..."
