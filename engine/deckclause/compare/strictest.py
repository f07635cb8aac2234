"""The strictest of several rule sets, topic by topic: what to build to satisfy them all.

A strictest figure exists only where every rule set that regulates the topic gives one. Where one
of them is undecided, asks an engineer, or fails the design without a figure, the figures of the
others are told as theirs alone and never as a figure to build to.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from msgspec import Struct

from deckclause.compare.comparison import Comparison, ComparisonRow
from deckclause.evaluate.findings import Finding
from deckclause.evaluate.status import (
    DOES_NOT_COMPLY,
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
    NOT_APPLICABLE,
    NOT_REGULATED,
)
from deckclause.rulesets.clauses import Distance, Limit, Scalar
from deckclause.rulesets.walk import condition_reads, requirement_values, value_reads


class Bounds(Struct, frozen=True):
    """The limits several findings set together, and the findings that set them."""

    least: Fraction | None
    least_by: tuple[Finding, ...]
    most: Fraction | None
    most_by: tuple[Finding, ...]

    @property
    def is_any(self) -> bool:
        """Whether there is a figure at all."""
        return self.least is not None or self.most is not None

    @property
    def setters(self) -> tuple[Finding, ...]:
        """The findings that set the least, then those that set the most."""
        return (*self.least_by, *self.most_by)

    @property
    def contradicts(self) -> bool:
        """Whether no value satisfies them all."""
        return self.least is not None and self.most is not None and self.least > self.most


class Strictest(Struct, frozen=True):
    """One thing limited, of one part: what each rule set that regulates it makes of the design.

    `subject` names the quantity or distance where a topic limits several, and is empty elsewhere.
    """

    row: ComparisonRow
    part: str
    subject: str
    findings: tuple[Finding, ...]
    silent: tuple[str, ...]

    @property
    def fails(self) -> tuple[Finding, ...]:
        """The findings the design fails."""
        return tuple(f for f in self.findings if f.status == DOES_NOT_COMPLY)

    @property
    def without_figure(self) -> tuple[Finding, ...]:
        """The findings that bar a strictest figure: undecided or failing, with none of their own."""
        return tuple(f for f in self.findings if bars_a_figure(f))

    @property
    def value_unknown(self) -> bool:
        """Whether a figure is known and the design's own value is not."""
        return any(f.status == INFORMATION_MISSING for f in self.findings)

    @property
    def bounds(self) -> Bounds | None:
        """The limits that satisfy every rule set; None where some rule set bars telling them."""
        return None if self.without_figure else bounds_of(self.findings)

    @property
    def alone(self) -> tuple[tuple[str, Bounds], ...]:
        """The limits of each rule set that has figures and lacks nothing, by its name."""
        barred = {f.ruleset for f in self.without_figure}
        names = dict.fromkeys(f.ruleset for f in self.findings if f.ruleset not in barred)
        own = {n: bounds_of([f for f in self.findings if f.ruleset == n]) for n in names}
        return tuple((name, bounds) for name, bounds in own.items() if bounds.is_any)

    @property
    def values(self) -> tuple[Scalar, ...]:
        """The design's values held against figures, each once: they may differ by rule set."""
        held = (f.value for f in self.findings if f.limit != (None, None))
        return tuple(dict.fromkeys(v for v in held if v is not None))


def strictest(comparison: Comparison) -> tuple[Strictest, ...]:
    """Return every topic, part and thing limited that any rule set regulates.

    A finding on the whole deck bears on each of a topic's named parts, and one that bars a figure
    on each thing the topic limits.
    """
    found: list[Strictest] = []
    for row in comparison.rows:
        findings = [
            f
            for o in row.outcomes
            for f in o.findings
            if f.status not in (NOT_APPLICABLE, NOT_REGULATED)
        ]
        silent = tuple(o.ruleset for o in row.outcomes if o.status == NOT_REGULATED)
        named = list(dict.fromkeys(f.part for f in findings if f.part))
        for part in named or [""] * bool(findings):
            here = [f for f in findings if f.part in ("", part)]
            found += _by_subject(row, part, here, silent)
    return tuple(found)


def _by_subject(
    row: ComparisonRow, part: str, findings: list[Finding], silent: tuple[str, ...]
) -> list[Strictest]:
    limited = [subject_of(f) for f in findings if f.limit != (None, None)]
    subjects = list(dict.fromkeys(limited))
    if len(subjects) < 2:
        return [Strictest(row, part, "", tuple(findings), silent)]
    return [
        Strictest(
            row,
            part,
            subject,
            tuple(f for f in findings if f.limit == (None, None) or subject_of(f) == subject),
            silent,
        )
        for subject in subjects
    ]


def subject_of(finding: Finding) -> str:
    """Name the quantity or the distance a finding limits; nothing where it limits none."""
    requirement = finding.requirement
    if not isinstance(requirement, Limit):
        return ""
    subject = requirement.subject
    return f"{subject.start} to {subject.end}" if isinstance(subject, Distance) else subject


def bounds_of(findings: Sequence[Finding]) -> Bounds:
    """Return the limits findings set together, those of undecided figures left out."""
    sound = [f for f in findings if f.status != INFORMATION_MISSING or lacks_only_its_value(f)]
    least = max((f.least for f in sound if f.least is not None), default=None)
    most = min((f.most for f in sound if f.most is not None), default=None)
    return Bounds(
        least,
        tuple(f for f in sound if f.least is not None and f.least == least),
        most,
        tuple(f for f in sound if f.most is not None and f.most == most),
    )


def bars_a_figure(finding: Finding) -> bool:
    """Tell whether a finding leaves its rule set without a figure one could build to."""
    if finding.status == ENGINEERING_REQUIRED:
        return True
    if finding.status == INFORMATION_MISSING:
        return not lacks_only_its_value(finding)
    return finding.status == DOES_NOT_COMPLY and finding.limit == (None, None)


def lacks_only_its_value(finding: Finding) -> bool:
    """Tell whether a limit is settled and only the design's own value is not known.

    That is so if nothing else is missing and the value decides nothing about the limit itself.
    """
    requirement = finding.requirement
    if finding.limit == (None, None) or not isinstance(requirement, Limit):
        return False
    subject = requirement.subject
    if isinstance(subject, Distance):
        return finding.missing == ((subject.start, subject.end),)
    clause = finding.clause
    conditions = (clause.applies, clause.scope, *(e.when for e in clause.exceptions))
    read = {name for condition in conditions for name in condition_reads(condition)}
    read |= {name for value in requirement_values(requirement) for name in value_reads(value)}
    return finding.missing == (subject,) and subject not in read
