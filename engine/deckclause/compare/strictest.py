"""The strictest of several rule sets, topic by topic: what to build to satisfy them all."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from deckclause.compare.comparison import Comparison, ComparisonRow
from deckclause.evaluate.findings import Finding
from deckclause.evaluate.status import (
    DOES_NOT_COMPLY,
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
    NOT_APPLICABLE,
    NOT_REGULATED,
)


@dataclass(frozen=True, slots=True)
class Strictest:
    """One topic: the limits that satisfy every rule set, and who sets each."""

    row: ComparisonRow
    part: str
    value: Fraction | str | bool | None
    least: Fraction | None
    least_by: tuple[Finding, ...]
    most: Fraction | None
    most_by: tuple[Finding, ...]
    fails: tuple[Finding, ...]
    undecided: tuple[Finding, ...]

    @property
    def contradicts(self) -> bool:
        """Whether no value satisfies every rule set."""
        return self.least is not None and self.most is not None and self.least > self.most


def strictest(comparison: Comparison) -> tuple[Strictest, ...]:
    """Return the strictest limits of every topic and part that any rule set regulates.

    Only what was decided enters a limit; topics that some rule set leaves undecided say so.
    """
    found: list[Strictest] = []
    for row in comparison.rows:
        findings = [f for o in row.outcomes for f in o.findings]
        for part in dict.fromkeys(f.part for f in findings):
            here = [
                f
                for f in findings
                if f.part == part and f.status not in (NOT_APPLICABLE, NOT_REGULATED)
            ]
            if here:
                found.append(_strictest(row, part, here))
    return tuple(found)


def _strictest(row: ComparisonRow, part: str, findings: list[Finding]) -> Strictest:
    least = max((f.least for f in findings if f.least is not None), default=None)
    most = min((f.most for f in findings if f.most is not None), default=None)
    return Strictest(
        row=row,
        part=part,
        value=next((f.value for f in findings if _bounded(f) and f.value is not None), None),
        least=least,
        least_by=tuple(f for f in findings if f.least is not None and f.least == least),
        most=most,
        most_by=tuple(f for f in findings if f.most is not None and f.most == most),
        fails=tuple(f for f in findings if f.status == DOES_NOT_COMPLY),
        undecided=tuple(
            f for f in findings if f.status in (INFORMATION_MISSING, ENGINEERING_REQUIRED)
        ),
    )


def _bounded(finding: Finding) -> bool:
    return finding.least is not None or finding.most is not None
