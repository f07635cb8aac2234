"""What to do, most pressing first: one item for each fact that fails or needs an engineer.

Several topics may fail by one fact: the drop of a ledger fails a row's distance, the greatest drop
and the step down at once; a live load past every table needs an engineer for each member. Such
topics share one item. The item says what decides it; it does not say that changing that one fact
cures all its topics.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction

from msgspec import Struct

from deckclause.answers.compare.deciding import Deciding, deciding_facts
from deckclause.answers.compare.finding import FindingAnswer
from deckclause.answers.compare.row import TopicRow
from deckclause.compare.comparison import Comparison
from deckclause.evaluate.explain import Explainer
from deckclause.evaluate.status import DOES_NOT_COMPLY, ENGINEERING_REQUIRED, STATUS_WORDS


class Where(Struct, frozen=True):
    """Where something is asked: rule sets alike, the sections and acts, and whether from memory."""

    rule_sets: tuple[str, ...]
    cites: tuple[str, ...]
    on_memory: bool
    acts: tuple[str, ...] = ()


class Asked(Struct, frozen=True):
    """What is allowed of a fact, and where that is asked."""

    allowed: str
    where: tuple[Where, ...]


class ToDo(Struct, frozen=True):
    """One fact to act on: what it is, as drawn, what each rule set allows, the topics it decides."""

    status: int
    fact: str
    drawn: str
    asked: tuple[Asked, ...]
    parts: tuple[str, ...]
    topics: tuple[str, ...]

    @property
    def status_words(self) -> str:
        """The status in words."""
        return STATUS_WORDS[self.status]

    @property
    def on_memory(self) -> bool:
        """Whether any of what is asked is from memory."""
        return any(where.on_memory for asked in self.asked for where in asked.where)


class _Gathered(Struct):
    """What is found of one fact while the rows are read."""

    status: int
    first: Deciding
    found: list[tuple[str, Deciding, FindingAnswer, str]]

    @property
    def weight(self) -> tuple[int, int, int]:
        """Sorts what fails before what needs an engineer, then by how many rule sets and topics."""
        rule_sets = {name for name, *_ in self.found}
        topics = {topic for *_, topic in self.found}
        return -self.status, -len(rule_sets), -len(topics)


def to_do(
    comparison: Comparison,
    rows: Sequence[TopicRow],
    explainers: Sequence[Explainer],
    short_titles: Sequence[str],
) -> tuple[ToDo, ...]:
    """Return the items; `rows` are the comparison's, `short_titles` name its columns."""
    gathered: dict[tuple[object, ...], _Gathered] = {}
    for title, told in zip(short_titles, _columns(comparison, rows, explainers), strict=True):
        for deciding, answer, topic in told:
            key = (answer.status, *deciding.key)
            one = gathered.setdefault(key, _Gathered(answer.status, deciding, []))
            if deciding.leads and not one.first.leads:
                one.first = deciding
            one.found.append((title, deciding, answer, topic))
    return tuple(map(_item, sorted(gathered.values(), key=lambda one: one.weight)))


def _columns(
    comparison: Comparison, rows: Sequence[TopicRow], explainers: Sequence[Explainer]
) -> Iterator[list[tuple[Deciding, FindingAnswer, str]]]:
    """Yield for each rule set its grave findings, each with a fact that decides it and its topic."""
    for column, explainer in enumerate(explainers):
        grave = [
            (finding, answer, row.topic.title)
            for compared, row in zip(comparison.rows, rows, strict=True)
            if row.cells[column].status in (DOES_NOT_COMPLY, ENGINEERING_REQUIRED)
            for finding, answer in zip(
                compared.outcomes[column].worst_by_part,
                row.cells[column].failing_parts,
                strict=True,
            )
        ]
        drop_fails = any(
            f.topic == "ledger_greatest_drop" and f.status == DOES_NOT_COMPLY for f, *_ in grave
        )
        yield [
            (deciding, answer, title)
            for finding, answer, title in grave
            for deciding in deciding_facts(finding, title, explainer, drop_fails=drop_fails)
        ]


def _item(one: _Gathered) -> ToDo:
    lead = one.first
    leading = [f for f in one.found if f[1].leads] or one.found
    topics = dict.fromkeys(topic for *_, topic in one.found)
    drawn = dict.fromkeys(deciding.drawn for _, deciding, _, _ in leading if deciding.drawn)
    told = list(drawn)
    parts = dict.fromkeys(a.part for _, _, a, _ in leading if a.part)
    words = told[0] if len(told) == 1 else f"{told[0]} and others" if told else ""
    fact = ", ".join(topics) if lead.by_topics else lead.fact
    return ToDo(
        one.status,
        fact[:1].upper() + fact[1:],
        words,
        tuple(_asked(leading)),
        tuple(parts),
        tuple(topics),
    )


def _asked(found: Iterable[tuple[str, Deciding, FindingAnswer, str]]) -> Iterator[Asked]:
    """Yield what is asked, the strictest first; rule sets that ask alike stand together."""
    by_limit: dict[str, list[tuple[str, FindingAnswer]]] = {}
    for title, deciding, answer, _ in found:
        by_limit.setdefault(deciding.allowed, []).append((title, answer))
    for allowed, told in sorted(by_limit.items(), key=lambda one: _margin(one[1])):
        yield Asked(allowed, tuple(_where(told)))


def _where(told: list[tuple[str, FindingAnswer]]) -> Iterator[Where]:
    by_rule_set: dict[str, list[FindingAnswer]] = {}
    for title, answer in told:
        by_rule_set.setdefault(title, []).append(answer)
    alike: dict[tuple[tuple[str, ...], bool], list[str]] = {}
    acts: dict[tuple[tuple[str, ...], bool], dict[str, None]] = {}
    for title, answers in by_rule_set.items():
        cites = tuple(dict.fromkeys(answer.cites for answer in answers))
        key = (cites, any(answer.on_memory for answer in answers))
        alike.setdefault(key, []).append(title)
        acts.setdefault(key, {}).update((act, None) for answer in answers for act in answer.acts)
    for (cites, memory), titles in alike.items():
        yield Where(tuple(titles), cites, memory, tuple(acts[cites, memory]))


def _margin(told: list[tuple[str, FindingAnswer]]) -> Fraction:
    margins = (a.margin.value for _, a in told if a.margin is not None)
    return min((m for m in margins if isinstance(m, Fraction)), default=Fraction(0))
