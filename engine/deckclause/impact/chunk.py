"""What one chunk of an archive comes to under two rule sets: counts, flips, drivers, bad rows.

A flip is a topic on which a design's status differs between the two. The result is plain data,
so that it can be kept in a file, sent between processes, and is the same bytes wherever it was
worked out.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

import numpy as np
from msgspec import Struct

from deckclause.evaluate.columns.columns import Mask, Numbers
from deckclause.evaluate.columns.consistent import inconsistent_rows
from deckclause.evaluate.columns.evaluator import Portfolio
from deckclause.evaluate.columns.topics import topic_statuses
from deckclause.evaluate.compile import compile_ruleset
from deckclause.evaluate.ready import make_ready
from deckclause.evaluate.status import DOES_NOT_COMPLY
from deckclause.impact.permits import PermitCounter
from deckclause.impact.placement import PlacedTopics
from deckclause.impact.rows import Read
from deckclause.impact.search import DriverSearch
from deckclause.impact.together import HeldTogether, TogetherRows
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.ruleset import RuleSet
from deckclause.rulesets.vocabulary import Vocabulary


class ImpactJob(Struct, frozen=True):
    """What is asked of every chunk; plain data that can be sent to another process."""

    one: RuleSet
    two: RuleSet
    vocabulary: Vocabulary
    topics: tuple[str, ...]
    listed: str = "failing"
    coherence: RuleSet | None = None
    """What asks whether a deck holds together; None where the rules folder does not ask it."""
    narrowed: bool = False
    """Whether the topics were asked for by name, and so are answered by themselves."""

    @property
    def key(self) -> tuple[Any, ...]:
        """Tell one job from another within a process."""
        return (
            self.one.name,
            self.one.digest,
            self.two.name,
            self.two.digest,
            self.vocabulary.digest,
            self.topics,
            self.listed,
            self.coherence.digest if self.coherence else "",
            self.narrowed,
        )


def spoken_topics(one: RuleSet, two: RuleSet, vocabulary: Vocabulary) -> tuple[str, ...]:
    """Return the topics either rule set has clauses on, in the vocabulary's order.

    The topics worked out from all distance clauses together are not among them: they are solved
    design by design, and only where they are asked for.
    """
    spoken = {c.topic for r in (one, two) for c in r.clauses}
    return tuple(topic for topic in vocabulary.topics if topic in spoken)


class ChunkRunner:
    """Runs a job on chunks; compiled rule sets are kept between them."""

    def __init__(self, job: ImpactJob) -> None:
        self.job = job
        quantities = job.vocabulary.quantities
        one, two = (
            make_ready(compile_ruleset(r, quantities), quantities) for r in (job.one, job.two)
        )
        self.portfolio = Portfolio([one, two], job.vocabulary)
        self.search = DriverSearch(one, two, job.vocabulary)
        self.placed = PlacedTopics(one, two, job.vocabulary, job.topics)
        self.permits = PermitCounter(one, two, job.topics)
        self.together = TogetherRows(job.coherence, job.vocabulary) if job.coherence else None

    def run(self, read: Read) -> dict[str, Any]:
        """Return the result of one chunk."""
        chunk = read.chunk
        table = self.portfolio.table(chunk)
        bad = [[b.row, b.name, b.reason] for b in read.bad]
        sides = []
        kept = np.ones(chunk.count, bool)
        for row, reason in inconsistent_rows(chunk, table, self.job.vocabulary).items():
            kept[row] = False
            bad.append([int(read.rows[row]), read.names[row], reason])
        for evaluator in self.portfolio.evaluators:
            statuses, problems = topic_statuses(evaluator, chunk, table, self.job.topics)
            sides.append(statuses)
            for row, problem in problems.items():
                if kept[row]:
                    kept[row] = False
                    bad.append(_bad(read, row, problem))
        placed, problems = self.placed.statuses(chunk, np.flatnonzero(kept).tolist())
        for row, problem in problems.items():
            kept[row] = False
            bad.append(_bad(read, row, problem))
        for place, topic in enumerate(self.job.topics):
            for side, column in zip(sides, placed.get(topic, ()), strict=False):
                side[place] = column
        together = self._together(read, kept, bad)
        topics: dict[str, Any] = {}
        flips: list[list[Any]] = []
        for place, topic in enumerate(self.job.topics):
            before, after = sides[0][place], sides[1][place]
            topics[topic] = self._topic(topic, read, table, before, after, kept, flips)
        flips.sort(key=lambda flip: (flip[0], self.job.topics.index(flip[2])))
        return {
            "number": read.number,
            "read": chunk.count + len(read.bad),
            "designs": int(kept.sum()),
            "bad": sorted(bad),
            "lost": [[f.row, f.name, f.heading, f.cell, f.reason] for f in read.lost],
            "together": together.counted() if together else None,
            "permits": self.permits.count(
                sides[0], sides[1], table, kept, together, narrowed=self.job.narrowed
            ),
            "topics": topics,
            "flips": flips,
        }

    def _together(self, read: Read, kept: Mask, bad: list[list[Any]]) -> HeldTogether | None:
        """Ask whether the decks kept hold together; one that cannot be asked is set aside."""
        if self.together is None:
            return None
        found, problems = self.together.rows(read.chunk, np.flatnonzero(kept).tolist())
        for row, problem in problems.items():
            kept[row] = False
            bad.append(_bad(read, row, problem))
        return found

    def _topic(
        self,
        topic: str,
        read: Read,
        table: Any,
        before: Numbers,
        after: Numbers,
        kept: Numbers,
        flips: list[list[Any]],
    ) -> dict[str, Any]:
        pairs = before[kept].astype(np.int64) * 6 + after[kept]
        counts = np.bincount(pairs, minlength=36).reshape(6, 6)
        rows = np.flatnonzero(kept & (before != after))
        drivers: dict[tuple[int, int, tuple[Any, ...]], int] = {}
        if rows.size:
            chunk = read.chunk.rows(rows)
            if topic in self.placed.topics:
                sets, codes = self.placed.drivers(topic, chunk, before[rows], after[rows])
            else:
                sets, codes = self.search.drivers(
                    topic, chunk, table.rows(rows), before[rows], after[rows]
                )
            key = (before[rows].astype(np.int64) * 6 + after[rows]) * len(sets) + codes
            for value, count in zip(*np.unique(key, return_counts=True), strict=True):
                pair, code = divmod(int(value), len(sets))
                drivers[(pair // 6, pair % 6, sets[code])] = int(count)
            flips += self._listed(topic, read, rows, before, after, [sets[c] for c in codes])
        return {
            "counts": counts.tolist(),
            "drivers": [[*key, count] for key, count in sorted(drivers.items())],
        }

    def _listed(
        self,
        topic: str,
        read: Read,
        rows: Numbers,
        before: Numbers,
        after: Numbers,
        drivers: Sequence[Any],
    ) -> list[list[Any]]:
        if self.job.listed == "none":
            return []
        found = []
        for row, sets in zip(rows.tolist(), drivers, strict=True):
            pair = (int(before[row]), int(after[row]))
            if self.job.listed == "all" or DOES_NOT_COMPLY in pair:
                found.append(
                    [int(read.rows[row]), read.names[row], topic, *pair, driver_words(sets)]
                )
        return found


def _bad(read: Read, row: int, problem: InputError) -> list[Any]:
    reason = "; ".join(str(p.message) for p in problem.problems)
    return [int(read.rows[row]), read.names[row], reason]


def driver_words(sets: Sequence[Sequence[str]]) -> str:
    """Write drivers: keys exchanged together joined by `+`, alternatives by `|`.

    >>> driver_words([("a", "b"), ("c",)])
    'a + b | c'
    """
    return " | ".join(" + ".join(keys) for keys in sets) or "not accounted for"


def run_chunk(job: ImpactJob, read: Read) -> bytes:
    """Return one chunk's result as bytes: the same in any process."""
    global _RUNNER  # noqa: PLW0603 - one compiled job is kept in each worker process
    if _RUNNER is None or _RUNNER.job.key != job.key:
        _RUNNER = ChunkRunner(job)
    return encoded(_RUNNER.run(read))


_RUNNER: ChunkRunner | None = None


def encoded(result: dict[str, Any]) -> bytes:
    """Write a chunk's result as one line of JSON."""
    return json.dumps(result, separators=(",", ":"), ensure_ascii=False).encode() + b"\n"
