"""One topic under one rule set: the outcome, what the design has, what is asked, how well known."""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct

from deckclause.answers.compare.expected import expected_lines
from deckclause.answers.compare.finding import FindingAnswer, FindingReader
from deckclause.answers.figure import Figure
from deckclause.evaluate.findings import Finding, TopicOutcome
from deckclause.evaluate.status import (
    COMPLIES,
    DOES_NOT_COMPLY,
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
    NOT_APPLICABLE,
    NOT_REGULATED,
    STATUS_WORDS,
)
from deckclause.rulesets.ruleset import Struck

CHECKED, SETS, INFORMS, STRUCK, SILENT = "checked", "sets", "informs", "struck", "silent"
"""What a rule set does on a topic: checks the design, gives a figure, tells a reader something,
was struck by the place, or says nothing."""

Ends = tuple[Figure, ...]
"""The least and the greatest of several parts' figures; one where they are alike, none without."""


class CellAnswer(Struct, frozen=True):
    """What one rule set makes of one topic.

    `drawn` is what the design has, `least` and `most` what is asked: ends of a range where parts
    of the deck differ. `findings` are all of them in an answer built in depth; else those that
    fail, need engineering or lack something, and the one that decides.
    """

    rule_set: str
    status: int
    role: str
    deciding: FindingAnswer | None
    drawn: Ends
    least: Ends
    most: Ends
    on_memory: bool
    findings: tuple[FindingAnswer, ...]
    failing_parts: tuple[FindingAnswer, ...]
    """Where the outcome fails or needs engineering: the finding that decides for each part."""
    struck: tuple[Struck, ...]
    practice: str
    outcome: int
    """Cells of one row with the same number come to the same outcome."""
    at_stated: str = ""
    """What it comes to at a load the design states higher than the place does; empty where alike."""

    @property
    def status_words(self) -> str:
        """The status in words."""
        return STATUS_WORDS[self.status]

    def expected(self, *, si: bool = False) -> tuple[str, ...]:
        """Say what to expect where print was not seen, a sentence each."""
        return tuple(expected_lines((e for f in self.findings for e in f.expected), si=si))

    @property
    def given(self) -> Figure | None:
        """The figure a topic gives where it checks nothing."""
        if self.role != SETS or self.status != COMPLIES or self.deciding is None:
            return None
        return self.deciding.value


_TOLD = (DOES_NOT_COMPLY, ENGINEERING_REQUIRED, INFORMATION_MISSING)
_GRAVE = (DOES_NOT_COMPLY, ENGINEERING_REQUIRED)


def cell_answer(
    outcome: TopicOutcome, number: int, reader: FindingReader, at_stated: str = ""
) -> CellAnswer:
    """Return the answer of one rule set on one topic; `number` tells like outcomes apart."""
    governing = outcome.governing
    role = _role(outcome)
    wanted = outcome.findings if reader.depth else _worth_telling(outcome, governing)
    read = {id(finding): reader.read(finding) for finding in wanted}
    grave = outcome.worst_by_part if outcome.status in _GRAVE else ()
    alike = _alike(outcome, governing)
    bounds = _by_part(alike)
    return CellAnswer(
        rule_set=outcome.ruleset,
        status=outcome.status,
        role=role,
        deciding=read[id(governing)] if governing is not None else None,
        drawn=_ends([f.value for f in alike if isinstance(f.value, Fraction)], governing),
        least=_ends([low for low, _ in bounds if low is not None], governing),
        most=_ends([high for _, high in bounds if high is not None], governing),
        on_memory=governing is not None and read[id(governing)].on_memory,
        findings=tuple(read.values()),
        failing_parts=tuple(read[id(finding)] for finding in grave),
        struck=outcome.struck,
        practice=outcome.practice,
        outcome=number,
        at_stated=at_stated,
    )


def _worth_telling(outcome: TopicOutcome, governing: Finding | None) -> list[Finding]:
    return [f for f in outcome.findings if f.status in _TOLD or f is governing]


def _role(outcome: TopicOutcome) -> str:
    if outcome.governing is None:
        return STRUCK if outcome.struck else SILENT
    if outcome.only_informs:
        return INFORMS
    if outcome.status == NOT_APPLICABLE and outcome.struck:
        return STRUCK
    if outcome.status == NOT_REGULATED:
        return SILENT
    return SETS if outcome.only_sets else CHECKED


def _alike(outcome: TopicOutcome, governing: Finding | None) -> list[Finding]:
    """Return the findings of the outcome's own status that measure the same kind of thing."""
    if governing is None:
        return []
    measure = (governing.kind, governing.unit)
    found = [f for f in outcome.findings if f.status == outcome.status]
    limited = [f for f in found if (f.kind, f.unit) == measure and f.limit != (None, None)]
    return limited or [governing]


def _by_part(findings: list[Finding]) -> list[tuple[Fraction | None, Fraction | None]]:
    """Return each part's limits: of several on one part the strictest counts."""
    strictest: dict[str, tuple[Fraction | None, Fraction | None]] = {}
    for finding in findings:
        low, high = strictest.get(finding.part, (None, None))
        lows = [b for b in (low, finding.least) if b is not None]
        highs = [b for b in (high, finding.most) if b is not None]
        strictest[finding.part] = (max(lows, default=None), min(highs, default=None))
    return list(strictest.values())


def _ends(values: list[Fraction], governing: Finding | None) -> Ends:
    if governing is None or not values:
        return ()
    ends = dict.fromkeys((min(values), max(values)))
    return tuple(Figure(value, governing.kind, governing.unit) for value in ends)
