"""Add up the chunks of an impact run: transitions and drivers by topic."""

from __future__ import annotations

from typing import Any

from msgspec import Struct, field

from deckclause.evaluate.status import (
    COMPLIES,
    DOES_NOT_COMPLY,
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
    NOT_APPLICABLE,
    NOT_REGULATED,
)
from deckclause.impact.chunk import driver_words
from deckclause.impact.permits import PermitTotal
from deckclause.impact.together import TogetherTotal

QUIET = frozenset((COMPLIES, NOT_APPLICABLE, NOT_REGULATED))
"""Between these a design has nothing to answer for, before or after."""
OPEN = (INFORMATION_MISSING, ENGINEERING_REQUIRED)


class TopicTotal(Struct):
    """One topic over the whole archive: designs by (status before, status after), and drivers."""

    topic: str
    counts: list[list[int]]
    drivers: dict[tuple[int, int, str], int] = field(default_factory=dict)

    @property
    def flips(self) -> int:
        """How many designs come to another status."""
        return sum(n for i, line in enumerate(self.counts) for j, n in enumerate(line) if i != j)

    @property
    def quiet(self) -> int:
        """How many come to another status that asks nothing of them, as from one that did not."""
        return sum(self.counts[i][j] for i in QUIET for j in QUIET if i != j)

    @property
    def matters(self) -> int:
        """How many come to another status that somebody must look at, or need look at no longer."""
        return self.flips - self.quiet

    @property
    def newly_failing(self) -> int:
        """How many designs comply with nothing asked or asked before, and now do not."""
        return sum(self.counts[i][DOES_NOT_COMPLY] for i in range(6) if i != DOES_NOT_COMPLY)

    @property
    def no_longer_failing(self) -> int:
        """How many designs failed before and now have nothing to answer for."""
        return sum(self.counts[DOES_NOT_COMPLY][j] for j in QUIET)

    @property
    def no_longer_decided(self) -> int:
        """How many designs failed before and now are undecided: no relief."""
        return sum(self.counts[DOES_NOT_COMPLY][j] for j in OPEN)


class ImpactTotal(Struct):
    """Every topic over the whole archive."""

    read: int = 0
    designs: int = 0
    set_aside: int = 0
    lost: int = 0
    lost_in: dict[str, int] = field(default_factory=dict)
    """Cells not understood, by the heading they stand under."""
    topics: dict[str, TopicTotal] = field(default_factory=dict)
    permits: PermitTotal = field(default_factory=PermitTotal)
    together: TogetherTotal = field(default_factory=TogetherTotal)

    def add(self, result: dict[str, Any]) -> None:
        """Add one chunk's result."""
        self.read += result["read"]
        self.designs += result["designs"]
        self.set_aside += len(result["bad"])
        self.lost += len(result["lost"])
        for _, _, heading, _, _ in result["lost"]:
            self.lost_in[heading] = self.lost_in.get(heading, 0) + 1
        self.permits.add(result["permits"])
        self.together.add(result["together"])
        for topic, found in result["topics"].items():
            total = self.topics.setdefault(topic, TopicTotal(topic, [[0] * 6 for _ in range(6)]))
            for line, more in zip(total.counts, found["counts"], strict=True):
                for place, count in enumerate(more):
                    line[place] += count
            for before, after, sets, count in found["drivers"]:
                key = (before, after, driver_words(sets))
                total.drivers[key] = total.drivers.get(key, 0) + count
