"""Write what an impact run found: a summary, tables by topic and driver, flips, rows set aside."""

from __future__ import annotations

import csv
import json
from collections.abc import Iterable, Iterator
from importlib import import_module
from pathlib import Path
from typing import Any

from msgspec import Struct

from deckclause.compare.comparison import WORKED_OUT
from deckclause.compare.knowledge import states_words
from deckclause.compare.rule_diff.clauses import rule_diff
from deckclause.evaluate.status import STATUS_WORDS
from deckclause.impact.permits import PermitTotal, most_first
from deckclause.impact.rows import BETWEEN
from deckclause.impact.run import ImpactFolder
from deckclause.impact.together import TogetherTotal
from deckclause.impact.total import ImpactTotal
from deckclause.report.cautions import CAUTIONS
from deckclause.report.spreadsheet import plain_cell
from deckclause.rulesets.ruleset import RuleSet
from deckclause.rulesets.vocabulary import Vocabulary
from deckclause.rulesets.write_file import write_whole, writing, writing_text

FORMAT = 4
FLIP_COLUMNS = ("topic", "from", "to", "drivers")
BAD_COLUMNS = ("reason",)
LOST_COLUMNS = ("column", "cell", "reason")
STANDINGS = ("complies on everything looked at", "undecided", "does not comply on something")
"""How a permit stands as a whole, in the order of impact_permits."""
STANDINGS_ON_DECIDED = (
    "complies on all that is decided",
    "needs engineering on something decided",
    "does not comply on something decided",
)
"""The same where only the topics decided for a permit count."""
DRIVERS_SAY = (
    "Each driver is a smallest set of clauses of the second rule set that, put in place of the "
    "first one's, gave the design its second status; every one was evaluated on every design "
    "counted. Clauses joined by + act together; alternatives are parted by |."
)


class ImpactReport(Struct, frozen=True):
    """A finished run: the two rule sets, the totals, and the folder of chunk results."""

    one: RuleSet
    two: RuleSet
    vocabulary: Vocabulary
    archive: str
    total: ImpactTotal
    labels: tuple[str, ...] = ("design",)
    """What the parts of a row's name are called."""
    open_columns: tuple[str, ...] = ()
    """Headings of the archive whose fact nobody has named: not read."""

    def known(self) -> str:
        """Say how much is known of what changes on the topics looked at: five states, counted."""
        diff = rule_diff(self.one, self.two, self.vocabulary)
        return states_words(diff, tuple(self.total.topics))

    def share(self, count: int) -> float:
        """Return a count as a share of the designs evaluated, to six places."""
        return round(count / self.total.designs, 6) if self.total.designs else 0.0

    def ordered(self) -> list[str]:
        """Return the topics on which a design comes to a status that matters, most failing first."""
        found = [t for t in self.total.topics.values() if t.matters]
        order = sorted(found, key=lambda t: (-t.newly_failing, -t.matters, t.topic))
        return [t.topic for t in order]

    @property
    def decided(self) -> list[tuple[str, int]]:
        """The topics the archive can decide, with for how many permits, most first."""
        counts = self.total.permits.decided_on
        return most_first(counts, len(counts))

    def headlined(self) -> list[str]:
        """Return the topics that matter and that the archive can decide, or a permit fails on."""
        decided, totals = self.total.permits.decided_on, self.total.topics
        return [
            topic
            for topic in self.ordered()
            if topic in decided or totals[topic].newly_failing or totals[topic].no_longer_failing
        ]

    def quiet(self) -> list[str]:
        """Return the topics on which designs pass from nothing asked to complying, or the like."""
        found = [t for t in self.total.topics.values() if t.quiet]
        return [t.topic for t in sorted(found, key=lambda t: (-t.quiet, t.topic))]

    def not_looked_at(self) -> list[str]:
        """Return the topics that were not looked at, though a rule set speaks of them."""
        spoken = {c.topic for r in (self.one, self.two) for c in r.clauses} | set(WORKED_OUT)
        return [t for t in self.vocabulary.topics if t in spoken and t not in self.total.topics]


def write_files(report: ImpactReport, folder: ImpactFolder, kind: str) -> list[Path]:
    """Write every result file into the folder; `kind` is csv or parquet, for the long lists."""
    path = folder.path
    written = [path / "impact.json", path / "topics.csv", path / "drivers.csv"]
    write_whole(written[0], json.dumps(summary(report), indent=1, ensure_ascii=False) + "\n")
    _csv(written[1], ("topic", "title", "from", "to", "designs", "share"), topic_lines(report))
    _csv(
        written[2],
        ("topic", "from", "to", "drivers", "designs", "share"),
        driver_lines(report),
    )
    count = len(report.labels)
    flips = flip_lines(report, folder)
    bad = (_named(line, count) for r in folder.results() for line in r["bad"])
    lost = (_named(line, count) for r in folder.results() for line in r["lost"])
    for name, told, lines in (
        ("flips", FLIP_COLUMNS, flips),
        ("bad_rows", BAD_COLUMNS, bad),
        ("not_understood", LOST_COLUMNS, lost),
    ):
        columns = ("row", *report.labels, *told)
        file = path / f"{name}.{kind}"
        if kind == "parquet":
            _parquet(file, columns, lines)
        else:
            _csv(file, columns, lines)
        written.append(file)
    return written


def summary(report: ImpactReport) -> dict[str, Any]:
    """Return the whole result as plain data."""
    total = report.total
    return {
        "format": FORMAT,
        "archive": report.archive,
        "from": _ruleset(report.one),
        "to": _ruleset(report.two),
        "designs_read": total.read,
        "designs_evaluated": total.designs,
        "set_aside": total.set_aside,
        "cells_not_understood": total.lost,
        "cells_not_understood_in": total.lost_in,
        "columns_not_read_as_open": list(report.open_columns),
        "holds_together": _together(total.together),
        "permits": _permits(total.permits),
        "not_looked_at": report.not_looked_at(),
        "known": report.known(),
        "topics": [_topic(report, topic) for topic in total.topics],
        "drivers_say": DRIVERS_SAY,
        "cautions": list(CAUTIONS),
    }


def _together(together: TogetherTotal) -> dict[str, Any] | None:
    """Return what asking whether each deck holds together came to; None where it is not asked."""
    if not together.asked:
        return None
    return {
        "could_be_asked_of": together.of_whole,
        "hold_together": together.holds,
        "do_not": together.fails,
        "do_not_in_what_they_state_of_the_house": together.fails_in_part,
        "not_known": together.open,
        "failing_on": together.failing_on,
    }


def _permits(permits: PermitTotal) -> dict[str, Any]:
    """Return the counts by permit: how it stood on everything looked at, before and after."""
    return {
        "moves": _moves(permits.moves, STANDINGS),
        "moves_by_the_rule_sets_alone": _moves(permits.moves_by_rules, STANDINGS),
        "moves_on_what_is_decided": _moves(permits.moves_on_decided, STANDINGS_ON_DECIDED),
        "decided_on": permits.decided_on,
        "newly_failing": permits.newly_failing,
        "newly_failing_on": permits.newly_failing_on,
        "complying_newly_failing_on": permits.complying_newly_failing_on,
        "undecided_before_on": permits.open_before_on,
        "undecided_though_all_is_stated": permits.lacking,
        "undecided_though_all_is_stated_on": permits.lacking_on,
    }


def _moves(moves: list[list[int]], standings: tuple[str, ...]) -> list[dict[str, Any]]:
    return [
        {"from": a, "to": b, "permits": moves[i][j]}
        for i, a in enumerate(standings)
        for j, b in enumerate(standings)
    ]


def _ruleset(ruleset: RuleSet) -> dict[str, str]:
    return {"name": ruleset.name, "title": ruleset.title, "digest": ruleset.digest}


def _topic(report: ImpactReport, topic: str) -> dict[str, Any]:
    total = report.total.topics[topic]
    return {
        "topic": topic,
        "title": report.vocabulary.topics[topic].title,
        "flips": total.flips,
        "flip_share": report.share(total.flips),
        "that_matter": total.matters,
        "newly_failing": total.newly_failing,
        "no_longer_failing": total.no_longer_failing,
        "no_longer_decided": total.no_longer_decided,
        "transitions": [
            {"from": a, "to": b, "designs": n, "share": report.share(n)}
            for a, b, n in _transitions(total.counts)
        ],
        "drivers": [
            {"from": STATUS_WORDS[a], "to": STATUS_WORDS[b], "drivers": words, "designs": n}
            for (a, b, words), n in _most_first(total.drivers)
        ],
    }


def _transitions(counts: list[list[int]]) -> Iterator[tuple[str, str, int]]:
    for before, line in enumerate(counts):
        for after, count in enumerate(line):
            if count:
                yield STATUS_WORDS[before], STATUS_WORDS[after], count


def _most_first(
    drivers: dict[tuple[int, int, str], int],
) -> list[tuple[tuple[int, int, str], int]]:
    return sorted(drivers.items(), key=lambda item: (-item[1], item[0]))


def topic_lines(report: ImpactReport) -> Iterator[tuple[Any, ...]]:
    """Yield topic, title, status before, status after, designs and share."""
    for topic, total in report.total.topics.items():
        title = report.vocabulary.topics[topic].title
        for before, after, count in _transitions(total.counts):
            yield topic, title, before, after, count, report.share(count)


def driver_lines(report: ImpactReport) -> Iterator[tuple[Any, ...]]:
    """Yield topic, status before, status after, drivers, designs and share."""
    for topic, total in report.total.topics.items():
        for (before, after, words), count in _most_first(total.drivers):
            yield (
                topic,
                STATUS_WORDS[before],
                STATUS_WORDS[after],
                words,
                count,
                report.share(count),
            )


def _flip_lines(result: dict[str, Any]) -> Iterator[tuple[Any, ...]]:
    for row, name, topic, before, after, words in result["flips"]:
        yield row, name, topic, STATUS_WORDS[before], STATUS_WORDS[after], words


def flip_lines(report: ImpactReport, folder: ImpactFolder) -> Iterator[tuple[Any, ...]]:
    """Yield every flip listed: row, what names it, topic, status before, after, drivers."""
    for result in folder.results():
        for line in _flip_lines(result):
            yield _named(line, len(report.labels))


def _named(line: Iterable[Any], count: int) -> tuple[Any, ...]:
    """Give each part of a row's name its own cell; a folder's and a plain archive's has one."""
    row, name, *rest = line
    parts = name.split(BETWEEN) if count > 1 else [name]
    return (row, *parts, *([""] * (count - len(parts))), *rest)


def _csv(path: Path, columns: Iterable[str], lines: Iterable[Iterable[Any]]) -> None:
    with writing_text(path, replace=True) as stream:
        writer = csv.writer(stream, lineterminator="\n")
        writer.writerow(columns)
        writer.writerows(
            [plain_cell(c) if isinstance(c, str) else c for c in line] for line in lines
        )


def _parquet(path: Path, columns: tuple[str, ...], lines: Iterable[Any]) -> None:
    pa: Any = import_module("pyarrow")
    parquet: Any = import_module("pyarrow.parquet")
    kinds = [pa.int64() if name == "row" else pa.string() for name in columns]
    schema = pa.schema(list(zip(columns, kinds, strict=True)))
    with writing(path, replace=True) as stream, parquet.ParquetWriter(stream, schema) as writer:
        for batch in _batched(lines, 50_000):
            arrays = [
                pa.array(column, kind)
                for column, kind in zip(zip(*batch, strict=True), kinds, strict=True)
            ]
            writer.write_table(pa.table(arrays, schema=schema))


def _batched(lines: Iterable[Any], size: int) -> Iterator[list[Any]]:
    batch: list[Any] = []
    for line in lines:
        batch.append(line)
        if len(batch) == size:
            yield batch
            batch = []
    if batch:
        yield batch
