"""Print what an impact run found: permits first, then topics, how many designs, what drives each."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import wrap

from deckclause.compare.comparison import WORKED_OUT
from deckclause.compare.difference import SETTING
from deckclause.evaluate.status import DOES_NOT_COMPLY, STATUS_TOLD
from deckclause.impact.permits import COMPLYING, FAILING, UNDECIDED, most_first
from deckclause.impact.total import OPEN, QUIET, TopicTotal
from deckclause.report.cautions import CAUTIONS
from deckclause.report.comparison.stars import starred
from deckclause.report.impact.files import DRIVERS_SAY, ImpactReport
from deckclause.rulesets.names import rule_set_title

MOST_DRIVERS = 4
STANDS = {
    COMPLYING: "complied on everything looked at",
    UNDECIDED: "were not decided",
    FAILING: "did not comply on something",
}
STANDS_ON_DECIDED = {
    COMPLYING: "complied on all that is decided of them",
    UNDECIDED: "needed engineering on something decided",
    FAILING: "did not comply on something decided",
}
MOST_DECIDED = 8


NOT_TOGETHER = (
    "DOES IT HOLD TOGETHER? Not asked of an archive: no count below says that a deck can stand. "
    "compare asks it of each design."
)


def together_words(report: ImpactReport) -> Iterator[str]:
    """Yield whether the decks hold together: of how many it could be asked, and what came out."""
    found, total = report.total.together, report.total.designs
    if not found.asked:
        yield NOT_TOGETHER
        return
    part = f" ({found.fails_in_part} of them in what they state of the house)"
    yield (
        f"DOES IT HOLD TOGETHER? The same under both rule sets. {found.of_whole} of {total} permits "
        "state a beam, a post or a footing, so that it could be asked of the whole deck: "
        f"{found.holds} hold together as far as they state it. Of all {total}, {found.fails} do not"
        f"{part if found.fails_in_part else ''}, {found.open} are not known to. None of these is "
        "counted as complying on everything."
    )
    if found.failing_on:
        yield f"What does not hold, most often: {_reasons(report, found.failing_on)}."


def impact_lines(report: ImpactReport, *, width: int = 100, most: int = 20) -> Iterator[str]:
    """Yield the lines of the summary; `most` topics in full."""
    total = report.total
    yield f"{total.designs} designs of {report.archive}: from {rule_set_title(report.one.name)} to {rule_set_title(report.two.name)}"
    if total.set_aside:
        yield f"{total.set_aside} of {total.read} rows set aside; bad_rows says why"
    for words in unread_words(report):
        yield from wrap(words, width)
    for words in together_words(report):
        yield from wrap(words, width)
    yield from wrap(report.known(), width)
    yield ""
    yield from _decided(report, width)
    yield ""
    yield from _permits(report, width)
    ordered = report.ordered()
    topics = report.headlined()
    if not ordered:
        yield ""
        yield from wrap(
            f"On the {len(total.topics)} topics looked at, no design comes to another status that "
            "matters.",
            width,
        )
    for topic in topics[:most]:
        yield ""
        yield from _topic(report, total.topics[topic], width)
    if len(topics) > most:
        yield ""
        yield f"{len(topics) - most} more topics change; topics.csv has them all."
    yield from _open(report, [topic for topic in ordered if topic not in topics], width)
    yield from _quiet(report, width)
    yield from _not_looked_at(report, width)
    yield ""
    for text in (DRIVERS_SAY, *CAUTIONS):
        yield from wrap(text, width)


def unread_words(report: ImpactReport) -> Iterator[str]:
    """Yield what of the archive was not read: cells not understood, columns still open."""
    total = report.total
    if total.lost:
        most = ", ".join(f"{name} ({count})" for name, count in most_first(total.lost_in))
        cells = "1 cell" if total.lost == 1 else f"{total.lost} cells"
        yield (
            f"{cells} not understood, so the fact is not known there: {most}; not_understood lists each."
        )
    if report.open_columns:
        yield f"Not read, as the map leaves them open: {', '.join(report.open_columns)}."


def _decided(report: ImpactReport, width: int) -> Iterator[str]:
    """Yield which topics the archive can decide, for how many permits, and how these stand there."""
    decided, looked_at = report.decided, len(report.total.topics)
    yield "WHAT THIS ARCHIVE CAN DECIDE"
    for line in decided_words(report, MOST_DECIDED):
        yield from _paragraph(line, width)
    if decided and len(decided) < looked_at:
        yield from _paragraph(
            "What is not decided is no pass: the facts for it are not there.", width
        )


def decided_words(report: ImpactReport, most: int) -> Iterator[str]:
    """Yield sentences on the topics decided, and on how permits stand on those decided for each."""
    decided, looked_at = report.decided, len(report.total.topics)
    if not decided:
        yield f"None of {looked_at} topics is decided for any permit: facts are missing on each."
        return
    if most:
        named = ", ".join(f"{report.vocabulary.topics[t].title} ({n})" for t, n in decided[:most])
        more = f", and {len(decided) - most} more (impact.json)" if len(decided) > most else ""
        of = f"of {report.total.designs} permits"
        yield f"{len(decided)} of {looked_at} topics, with for how many {of}: {named}{more}."
    else:
        yield f"{len(decided)} of {looked_at} topics are decided for some permit or all."
    for before, words in STANDS_ON_DECIDED.items():
        moves = report.total.permits.moves_on_decided[before]
        if sum(moves):
            still = "as before" if before == FAILING else "would not comply on something"
            need = "as before" if before == UNDECIDED else "would need engineering"
            keep = "as before" if before == COMPLYING else "would comply on all of them"
            yield (
                f"Of {sum(moves)} that {words}: {moves[FAILING]} {still}, {moves[UNDECIDED]} {need}, "
                f"{moves[COMPLYING]} {keep}."
            )


def _open(report: ImpactReport, topics: list[str], width: int) -> Iterator[str]:
    """Name the topics that change though the archive decides them for no permit."""
    if topics:
        named = ", ".join(report.vocabulary.topics[topic].title for topic in topics[:5])
        more = f", and {len(topics) - 5} more (topics.csv)" if len(topics) > 5 else ""
        yield ""
        yield from wrap(
            f"Decided for no permit, as facts are missing, though the status changes: {named}{more}.",
            width,
        )


def _permits(report: ImpactReport, width: int) -> Iterator[str]:
    """Yield how permits as a whole stand, before and after, and the main reasons."""
    permits, topics = report.total.permits, len(report.total.topics)
    held = " and to whether its deck holds together" if report.total.together.asked else ""
    yield f"PERMITS, each held to {topics} topic{'s' if topics != 1 else ''}{held}"
    for before, words in STANDS.items():
        moves = permits.moves[before]
        if not sum(moves):
            yield from _paragraph(_nobody(report, before), width)
            continue
        still = "still do not" if before == FAILING else "would not comply on something"
        undecided = "still are" if before == UNDECIDED else "would not be decided"
        complying = "still do" if before == COMPLYING else "would comply on everything"
        text = (
            f"Of {sum(moves)} that {words}: {moves[FAILING]} {still}, {moves[UNDECIDED]} "
            f"{undecided}, {moves[COMPLYING]} {complying}."
        )
        yield from _paragraph(text, width)
    alone: list[int] = permits.moves_by_rules[COMPLYING]
    if report.total.together.asked and any(alone):
        yield from _paragraph(
            f"By the rule sets alone, which do not ask whether a deck stands: of {sum(alone)} that "
            f"complied on every topic looked at, {alone[FAILING]} would not comply on something, "
            f"{alone[UNDECIDED]} would not be decided, {alone[COMPLYING]} would comply on all.",
            width,
        )
    reasons = _reasons(report, permits.complying_newly_failing_on)
    if reasons:
        alone_words = " by the rule sets alone" if report.total.together.asked else ""
        yield from _paragraph(f"What those that complied{alone_words} fail on: {reasons}.", width)
    text = f"{permits.newly_failing} fail on something they did not fail on before"
    reasons = _reasons(report, permits.newly_failing_on)
    yield from _paragraph(f"{text}{f', most on: {reasons}' if reasons else ''}.", width)
    if permits.lacking:
        yield from _paragraph(
            f"At least {permits.lacking} are not decided on something because this tool lacks a "
            "figure (a cell nobody has seen, a clause not modelled), for they state every fact "
            f"asked: {_reasons(report, permits.lacking_on)}.",
            width,
        )


def _nobody(report: ImpactReport, before: int) -> str:
    """Say that no permit stood so before, and why none complied on everything."""
    if before == FAILING:
        return "None failed on anything."
    together = report.total.together
    if before == COMPLYING and together.asked and not together.holds:
        return f"None {STANDS[before]}: no deck is known to hold together."
    undecided = _reasons(report, report.total.permits.open_before_on)
    if before == COMPLYING and undecided:
        return (
            f"None {STANDS[before]}: under {rule_set_title(report.one.name)} they are not known, or need "
            f"engineering, most on: {undecided}."
        )
    return f"None {STANDS[before]}."


def _reasons(report: ImpactReport, counts: dict[str, int]) -> str:
    named = [
        f"{report.vocabulary.topics[topic].title} ({count})" for topic, count in most_first(counts)
    ]
    more = f"; and {len(counts) - len(named)} more topics" if len(counts) > len(named) else ""
    return ", ".join(named) + more


def _topic(report: ImpactReport, total: TopicTotal, width: int) -> Iterator[str]:
    title = report.vocabulary.topics[total.topic].title
    yield f"{title} ({total.topic}): {_count(report, total.matters)} come to another status"
    pairs: dict[tuple[int, int], list[tuple[str, int]]] = {}
    for (before, after, words), count in total.drivers.items():
        if not {before, after} <= QUIET:
            pairs.setdefault((before, after), []).append((words, count))
    for (before, after), drivers in sorted(pairs.items(), key=lambda p: -sum(n for _, n in p[1])):
        whole = sum(count for _, count in drivers)
        note = ""
        if before == DOES_NOT_COMPLY and after in OPEN:
            note = "; not decided now, which is no relief"
        yield f"  {STATUS_TOLD[before]} -> {STATUS_TOLD[after]}: {_count(report, whole)}{note}"
        ranked = sorted(drivers, key=lambda driver: (-driver[1], driver[0]))
        for words, count in ranked[:MOST_DRIVERS]:
            text = f"{count}: {cited(report, words)}"
            yield from wrap(text, width, initial_indent="    ", subsequent_indent="      ")
        if len(ranked) > MOST_DRIVERS:
            yield f"    and {len(ranked) - MOST_DRIVERS} more (drivers.csv)"


def _quiet(report: ImpactReport, width: int) -> Iterator[str]:
    topics = report.quiet()
    if not topics:
        return
    named = ", ".join(
        f"{report.vocabulary.topics[t].title} ({report.total.topics[t].quiet})" for t in topics[:5]
    )
    more = f", and {len(topics) - 5} more (topics.csv)" if len(topics) > 5 else ""
    yield ""
    yield from wrap(
        "Not counted above: designs that had and have nothing to answer for, such as from not "
        f"regulated to complying: {named}{more}.",
        width,
    )


def _not_looked_at(report: ImpactReport, width: int) -> Iterator[str]:
    left = report.not_looked_at()
    if not left:
        return
    solved = [t for t in left if t in WORKED_OUT]
    others = [report.vocabulary.topics[t].title for t in left if t not in WORKED_OUT]
    yield ""
    if others:
        shown = ", ".join(others[:8]) + (f" and {len(others) - 8} more" if len(others) > 8 else "")
        yield from wrap(f"Not looked at, as not asked for: {shown}.", width)
    if solved:
        titles = " and ".join(report.vocabulary.topics[t].title for t in solved)
        asked = " ".join(f"--topic {t}" for t in solved)
        yield from wrap(
            f"Not looked at, as each design must be solved for it: {titles}. Ask for it with "
            f"{asked}; it takes longer.",
            width,
        )


def _paragraph(text: str, width: int) -> Iterator[str]:
    yield from wrap(text, width, initial_indent="  ", subsequent_indent="    ")


def _count(report: ImpactReport, count: int) -> str:
    return f"{count} ({100 * report.share(count):.1f} %)"


def cited(report: ImpactReport, words: str) -> str:
    """Write drivers with where each clause stands in both rule sets; * where from memory."""
    return " | ".join(
        " + ".join(_cited(report, key) for key in alternative.split(" + "))
        for alternative in words.split(" | ")
    )


def _cited(report: ImpactReport, key: str) -> str:
    places = []
    for ruleset in (report.one, report.two):
        clause = ruleset.clause(key)
        if clause is not None:
            act = f", {clause.origin.ordinance}" if clause.origin.ordinance else ""
            places.append(f"{rule_set_title(ruleset.name)}: {starred(clause.cites, clause)}{act}")
        for setting in ruleset.settings:
            if key == SETTING + setting.quantity:
                act = f", {setting.origin.ordinance}" if setting.origin.ordinance else ""
                mark = " *" if setting.standing == "memory" else ""
                places.append(
                    f"{rule_set_title(ruleset.name)}: a value fixed by {setting.origin.place}{mark}{act}"
                )
    fixed = key.startswith(SETTING)
    name = report.vocabulary.called(key.removeprefix(SETTING)) if fixed else key
    return f"{name} ({'; '.join(places)})" if places else name
