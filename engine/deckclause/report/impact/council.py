"""The page for a council: what a change of rules would do to the permits of its own file."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from importlib.util import find_spec

from deckclause.evaluate.status import (
    DOES_NOT_COMPLY,
    ENGINEERING_REQUIRED,
    STATUS_TOLD,
    status_told,
)
from deckclause.impact.total import TopicTotal
from deckclause.report.cautions import CAUTIONS
from deckclause.report.document import (
    Block,
    Bullets,
    Cell,
    Document,
    Drawing,
    Grid,
    Heading,
    Paragraph,
)
from deckclause.report.impact.files import DRIVERS_SAY, ImpactReport
from deckclause.report.impact.text import (
    MOST_DRIVERS,
    cited,
    decided_words,
    together_words,
    unread_words,
)
from deckclause.rulesets.names import rule_set_title

MOST_PERMITS = 200
"""Permits listed on the page; flips.csv lists every one."""
MOST_TOPICS = 12

Flip = Sequence[object]
"""One flip as flips.csv has it: row, what names it, topic, from, to, drivers."""


def council_document(report: ImpactReport, failing: Sequence[Flip], count: int) -> Document:
    """Return the page. `failing` are flips to `does not comply`, the first of `count`."""
    one, two = (rule_set_title(r.name) for r in (report.one, report.two))
    name = f"{one} to {two}"
    return Document(
        f"What going from {name} would do",
        f"{report.total.designs} permits of {report.archive}",
        tuple(_blocks(report, failing, count)),
        CAUTIONS[0],
        contents=False,
    )


def _blocks(report: ImpactReport, failing: Sequence[Flip], count: int) -> Iterator[Block]:
    for words in together_words(report):
        yield Paragraph(words, "caution")
    yield Heading(1, "In short", "short")
    yield Bullets(tuple(_short(report)))
    decided = report.decided
    if decided:
        yield Heading(1, "What this file can decide", "decided")
        yield _topics(report)
        yield Paragraph(
            "What is not decided is no pass: the facts for it are not in the file.", "note"
        )
    if any(t.newly_failing or t.no_longer_failing for t in report.total.topics.values()):
        yield from _chart(report)
    yield from _drivers(report)
    if failing:
        yield Heading(1, "Permits that would newly fail", "permits")
        yield _permits(report, failing)
        if count > len(failing):
            yield Paragraph(f"The first {len(failing)} of {count}; flips lists every one.", "note")
    yield Heading(1, "What must be known of these figures", "cautions")
    yield Bullets((report.known(), DRIVERS_SAY, *CAUTIONS))


def _short(report: ImpactReport) -> Iterator[str]:
    total = report.total
    yield f"{total.read} permits read; {total.set_aside} set aside, {total.designs} counted."
    yield from unread_words(report)
    yield from decided_words(report, 0)
    newly = total.permits.newly_failing
    who = (
        "1 permit fails on something it"
        if newly == 1
        else f"{newly} permits fail on something they"
    )
    yield f"{who} did not fail on under {rule_set_title(report.one.name)}."


def _topics(report: ImpactReport) -> Grid:
    """Return the topics the file decides: for how many permits, and how these come out."""
    rows = []
    for topic, count in report.decided:
        found = report.total.topics[topic]
        engineering = sum(
            line[ENGINEERING_REQUIRED]
            for before, line in enumerate(found.counts)
            if before != ENGINEERING_REQUIRED
        )
        figures = (count, found.newly_failing, found.no_longer_failing, engineering)
        title = report.vocabulary.topics[topic].title
        rows.append((Cell(title), *(Cell(str(figure)) for figure in figures)))
    return Grid(
        f"Topics decided under both, of {len(report.total.topics)} looked at; counts of permits",
        ("Topic", "Decided", "Newly fail", "No longer fail", "Newly need engineering"),
        tuple(rows),
        shares=(44, 12, 13, 14, 17),
    )


def _chart(report: ImpactReport) -> Iterator[Block]:
    if find_spec("matplotlib") is None:
        return
    from deckclause.report.impact.chart import chart_svg, drawn

    said = "; ".join(
        f"{report.vocabulary.topics[t.topic].title}: {t.newly_failing} newly fail, "
        f"{t.no_longer_failing} no longer"
        for t in drawn(report)
    )
    svg = chart_svg(report).decode()
    yield Drawing(svg[svg.index("<svg") :], "Who newly fails, who no longer does", said, upright=7)


def _drivers(report: ImpactReport) -> Iterator[Block]:
    topics = [report.total.topics[t] for t in report.headlined()[:MOST_TOPICS]]
    if topics:
        yield Heading(1, "What drives each change", "drivers")
        for found in topics:
            yield Heading(2, report.vocabulary.topics[found.topic].title)
            yield Bullets(tuple(_driven(report, found)))


def _driven(report: ImpactReport, found: TopicTotal) -> Iterator[str]:
    ranked = sorted(found.drivers.items(), key=lambda item: (-item[1], item[0]))
    concerned = [
        (key, n)
        for key, n in ranked
        if DOES_NOT_COMPLY in key[:2] or found.topic in report.total.permits.decided_on
    ]
    for (before, after, words), count in concerned[:MOST_DRIVERS]:
        change = f"{STATUS_TOLD[before]} to {STATUS_TOLD[after]}"
        yield f"{count}: {change}, by {cited(report, words)}"
    if len(concerned) > MOST_DRIVERS:
        yield f"and {len(concerned) - MOST_DRIVERS} more; drivers.csv has them all"


def _permits(report: ImpactReport, failing: Sequence[Flip]) -> Grid:
    width = len(report.labels)
    rows = []
    for row, *rest in failing:
        names, (topic, before, _, words) = rest[:width], rest[width:]
        title = report.vocabulary.topics[str(topic)].title
        rows.append(
            (
                Cell(str(row)),
                *(Cell(str(name)) for name in names),
                Cell(title),
                Cell(status_told(str(before))),
                Cell(cited(report, str(words))),
            )
        )
    return Grid(
        f"Permits that would not comply under {rule_set_title(report.two.name)} and did not fail before",
        ("Row", *report.labels, "Topic", f"Under {rule_set_title(report.one.name)}", "Driven by"),
        tuple(rows),
        wide=width > 1,
    )
