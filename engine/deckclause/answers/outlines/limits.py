"""How far a measure of the plan may go under each rule set, from what evaluating the deck found."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction

from deckclause.answers.section_board import End, Reach
from deckclause.evaluate.findings import Evaluation, Finding, TopicOutcome
from deckclause.evaluate.status import (
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
    STATUS_TOLD,
    worst,
)
from deckclause.rulesets.names import short_titles

Moved = Callable[[Fraction], Fraction]


class Limits:
    """The limits the rule sets set a deck as it stands, by topic and part."""

    def __init__(self, evaluations: Sequence[Evaluation]) -> None:
        self._evaluations = evaluations
        names = [e.ruleset.name for e in evaluations]
        self._titles = dict(zip(names, short_titles(names), strict=True))

    @property
    def are_told(self) -> bool:
        """Whether any rule set's limits are told."""
        return bool(self._evaluations)

    def reaches(
        self,
        topic: str,
        part: str | None = None,
        least: Moved | None = None,
        most: Moved | None = None,
    ) -> tuple[Reach, ...]:
        """Return what each rule set leaves a measure.

        `part` None takes the strictest of all parts. `least` and `most` turn a limit of the
        topic into one of the measure that is moved, where that is another; given one alone, the
        other end has no limit.
        """
        return tuple(self._reach(e, topic, part, least, most) for e in self._evaluations)

    def not_known(self, lacks: str) -> tuple[Reach, ...]:
        """Return no range under any rule set: what it would be counted from is not known."""
        names = [e.ruleset.name for e in self._evaluations]
        return tuple(Reach(n, self._titles[n], None, None, f"not known: {lacks}") for n in names)

    def _reach(
        self,
        evaluation: Evaluation,
        topic: str,
        part: str | None,
        least: Moved | None,
        most: Moved | None,
    ) -> Reach:
        name = evaluation.ruleset.name
        outcome = evaluation.outcome(topic)
        found = [f for f in outcome.findings if part is None or f.part == part]
        lows = [(f.least, f) for f in found if f.least is not None]
        highs = [(f.most, f) for f in found if f.most is not None]
        ends: dict[str, End | None] = {"least": None, "most": None}
        if least is None and most is None:
            least = most = _same
        if lows and least is most:
            value, finding = max(lows, key=lambda pair: pair[0])
            ends["least"] = End(value, _because(finding))
        if highs:
            value, finding = min(highs, key=lambda pair: pair[0])
            if most is not None:
                ends["most"] = End(most(value), _because(finding))
            if least is not None and least is not most:
                ends["least"] = End(least(value), _because(finding))
        words = _words(outcome, found)
        return Reach(name, self._titles[name], ends["least"], ends["most"], words)


def _same(value: Fraction) -> Fraction:
    return value


def _words(outcome: TopicOutcome, found: Sequence[Finding]) -> str:
    """Say why there is no limit, or of one that others may yet lie inside of that it is not all."""
    limited = [f for f in found if f.limit != (None, None)]
    if not limited:
        return STATUS_TOLD[worst([f.status for f in found]) if found else outcome.status]
    unlimited = worst([f.status for f in found if f not in limited])
    if unlimited in (INFORMATION_MISSING, ENGINEERING_REQUIRED):
        return f"of another part: {STATUS_TOLD[unlimited]}"
    return ""


def _because(finding: Finding) -> str:
    return f"{finding.clause.topic.replace('_', ' ')}, {finding.cites}"
