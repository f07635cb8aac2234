"""Where two rule sets part on a topic, and what drives it.

All that is known of a driver stands in one small record, so that what finds drivers may change
without a printer changing.
"""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from deckclause.answers.figure import Figure
from deckclause.compare.comparison import Change, ComparisonRow
from deckclause.compare.words import ChangeWords
from deckclause.evaluate.status import (
    COMPLIES,
    DOES_NOT_COMPLY,
    ENGINEERING_REQUIRED,
    NOT_APPLICABLE,
    NOT_REGULATED,
)


class ShareAnswer(Struct, frozen=True):
    """How much of a numeric difference one clause accounts for."""

    clause: str
    amount: Figure


class DriverAnswer(Struct, frozen=True):
    """What drives a difference, in words and as keys of clauses.

    The words begin with what drives it; where that takes several things, each has a line of its own.
    """

    because: tuple[str, ...]
    keys: tuple[tuple[str, ...], ...]
    shares: tuple[ShareAnswer, ...]
    shares_told: tuple[str, ...]
    considered: tuple[str, ...]
    complete: bool

    @property
    def told(self) -> tuple[str, ...]:
        """The lines as they are read: the first begins with `because`, the others belong to it."""
        return tuple(f"because {s}" if n == 0 else s for n, s in enumerate(self.because))


class ChangeAnswer(Struct, frozen=True):
    """A change of outcome from one column to another.

    `only_adds`: the second rule set regulates what the first leaves silent. `told_before`: an
    earlier change of the row parts the same two outcomes. `weighty`: a side fails or the two
    statuses differ in what a builder may do.
    """

    first: int
    second: int
    head: str
    before: str
    after: str
    only_adds: bool
    told_before: bool
    weighty: bool
    driver: DriverAnswer


_QUIET = (COMPLIES, NOT_APPLICABLE, NOT_REGULATED)
_GRAVE = (DOES_NOT_COMPLY, ENGINEERING_REQUIRED)


def change_answers(row: ComparisonRow, words: ChangeWords) -> Iterator[ChangeAnswer]:
    """Yield the changes of a row, in the order of the columns."""
    told: set[frozenset[object]] = set()
    for change in row.changes:
        pair = frozenset((row.compared[change.first], row.compared[change.second]))
        before, after = words.outcomes(row, change)
        first = row.outcomes[change.first]
        yield ChangeAnswer(
            first=change.first,
            second=change.second,
            head=words.head(row, change),
            before=before,
            after=after,
            only_adds=first.status == NOT_REGULATED and not first.struck,
            told_before=pair in told,
            weighty=_weighty(row, change),
            driver=_driver(row, change, words),
        )
        told.add(pair)


def _weighty(row: ComparisonRow, change: Change) -> bool:
    statuses = [row.outcomes[i].status for i in (change.first, change.second)]
    if any(status in _GRAVE for status in statuses):
        return True
    one, two = (status in _QUIET for status in statuses)
    return one != two


def _driver(row: ComparisonRow, change: Change, words: ChangeWords) -> DriverAnswer:
    finding = row.outcomes[change.second].governing
    kind, unit = (finding.kind, finding.unit) if finding else ("length", "in")
    drivers = change.drivers
    return DriverAnswer(
        because=words.because(change),
        keys=tuple(driver.keys for driver in drivers.drivers),
        shares=tuple(ShareAnswer(s.key, Figure(s.amount, kind, unit)) for s in drivers.shares),
        shares_told=words.shares(row, change),
        considered=drivers.considered,
        complete=drivers.complete,
    )
