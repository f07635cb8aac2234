"""What does not comply or needs engineering: each thing once, with the clauses that say so."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from msgspec import Struct

from deckclause.answers.compare.finding import FindingAnswer
from deckclause.answers.compare.row import TopicRow
from deckclause.evaluate.status import DOES_NOT_COMPLY, ENGINEERING_REQUIRED
from deckclause.rulesets.names import rule_set_title


class Failure(Struct, frozen=True):
    """One failure in words: the topic, the parts of the deck, how it comes about, and where."""

    topic: str
    title: str
    parts: tuple[str, ...]
    status: int
    step: str
    says: str
    places: tuple[str, ...]

    @property
    def text(self) -> str:
        """The failure in a sentence, without the places it stands in."""
        named = f" [{', '.join(self.parts)}]" if self.parts else ""
        return f"{self.title}{named}: {self.step}. {self.says}"


def failures(rows: Iterable[TopicRow]) -> tuple[Failure, ...]:
    """Return each failure with the rule sets and sections it stands in.

    Every part that fails is named; of several clauses on one part the one with the least margin
    speaks. A value the place fixes is said beside each failure that rests on it.
    """
    return tuple(failure for row in rows for failure in _of_row(row))


def _of_row(row: TopicRow) -> Iterator[Failure]:
    said: dict[tuple[int, str, str], list[FindingAnswer]] = {}
    for cell in row.cells:
        if cell.status in (DOES_NOT_COMPLY, ENGINEERING_REQUIRED):
            for finding in cell.failing_parts:
                key = (cell.status, finding.decides, finding.says)
                said.setdefault(key, []).append(finding)
    for (status, step, says), found in said.items():
        parts = tuple(dict.fromkeys(f.part for f in found if f.part))
        places = tuple(dict.fromkeys(map(where, found)))
        yield Failure(row.topic.name, row.topic.title, parts, status, step, says, places)


def where(finding: FindingAnswer) -> str:
    """Name the rule set and section of a finding, and the local values it rests on."""
    local = f", as {'; '.join(finding.local)}" if finding.local else ""
    star = "*" if finding.on_memory else ""
    return f"{rule_set_title(finding.rule_set)} {finding.cites}{star}{local}"
