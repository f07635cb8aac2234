"""Print what an impact run found: the topics that flip, how many designs, and what drives each."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import wrap

from deckclause.compare.impact_total import TopicTotal
from deckclause.evaluate.status import STATUS_WORDS
from deckclause.report.cautions import CAUTIONS
from deckclause.report.impact_files import DRIVERS_SAY, ImpactReport
from deckclause.rulesets.ruleset import RuleSet

MOST_DRIVERS = 4


def impact_lines(report: ImpactReport, *, width: int = 100, most: int = 20) -> Iterator[str]:
    """Yield the lines of the summary; `most` topics in full."""
    total = report.total
    yield f"{total.designs} designs of {report.archive}: from {report.one.name} to {report.two.name}"
    if total.set_aside:
        yield f"{total.set_aside} of {total.read} rows set aside; bad_rows says why"
    topics = report.ordered()
    if not topics:
        yield "No design comes to another status on any topic."
    for topic in topics[:most]:
        yield ""
        yield from _topic(report, total.topics[topic], width)
    if len(topics) > most:
        yield ""
        yield f"{len(topics) - most} more topics flip; topics.csv has them all."
    yield ""
    for text in (DRIVERS_SAY, *CAUTIONS):
        yield from wrap(text, width)


def _topic(report: ImpactReport, total: TopicTotal, width: int) -> Iterator[str]:
    title = report.vocabulary.topics[total.topic].title
    yield f"{title} ({total.topic}): {_count(report, total.flips)} come to another status"
    pairs: dict[tuple[int, int], list[tuple[str, int]]] = {}
    for (before, after, words), count in total.drivers.items():
        pairs.setdefault((before, after), []).append((words, count))
    for (before, after), drivers in sorted(pairs.items(), key=lambda p: -sum(n for _, n in p[1])):
        whole = sum(count for _, count in drivers)
        yield f"  {STATUS_WORDS[before]} -> {STATUS_WORDS[after]}: {_count(report, whole)}"
        ranked = sorted(drivers, key=lambda driver: (-driver[1], driver[0]))
        for words, count in ranked[:MOST_DRIVERS]:
            text = f"{count}: {cited(report.one, report.two, words)}"
            yield from wrap(text, width, initial_indent="    ", subsequent_indent="      ")
        if len(ranked) > MOST_DRIVERS:
            yield f"    and {len(ranked) - MOST_DRIVERS} more (drivers.csv)"


def _count(report: ImpactReport, count: int) -> str:
    return f"{count} ({100 * report.share(count):.1f} %)"


def cited(one: RuleSet, two: RuleSet, words: str) -> str:
    """Write drivers with where each clause stands in both rule sets."""
    return " | ".join(
        " + ".join(_cited(one, two, key) for key in alternative.split(" + "))
        for alternative in words.split(" | ")
    )


def _cited(one: RuleSet, two: RuleSet, key: str) -> str:
    places = []
    for ruleset in (one, two):
        clause = ruleset.clause(key)
        if clause is not None:
            act = f", {clause.origin.ordinance}" if clause.origin.ordinance else ""
            places.append(f"{ruleset.name}: {clause.cites}{act}")
    return f"{key} ({'; '.join(places)})" if places else key
