"""Which topics deserve a reader's eye: the rest are named together and never left out unsaid."""

from __future__ import annotations

from collections.abc import Sequence

from deckclause.compare.comparison import Comparison, ComparisonRow
from deckclause.evaluate.status import (
    COMPLIES,
    DOES_NOT_COMPLY,
    INFORMATION_MISSING,
    NOT_APPLICABLE,
    NOT_REGULATED,
)

SHOWN, ALIKE, BEGUN, UNSTATED = "shown", "alike", "begun", "unstated"
"""A row is shown in the matrix, alike under all and quiet, regulated only from a later rule set on
and alike since, or of a part of the deck the design says nothing of."""

_NO_ATTENTION = (COMPLIES, NOT_APPLICABLE, NOT_REGULATED, INFORMATION_MISSING)
_COMMON_GROUPS = ("site", "deck", "loads", "design")


def attention(comparison: Comparison) -> dict[str, str]:
    """Return for each topic how much of a reader's eye it deserves."""
    parts: dict[str, list[ComparisonRow]] = {}
    for row in comparison.rows:
        parts.setdefault(row.topic.part, []).append(row)
    design = comparison.design.design
    stated = {*design.facts, *(f for ps in design.parts.values() for p in ps for f in p.facts)}
    reads_of = _reads_by_key(comparison)
    unstated = {part for part, rows in parts.items() if _unstated(rows, stated, reads_of)}
    one = len(comparison.evaluators) == 1
    quiet = [s for s in _NO_ATTENTION if not (one and s == INFORMATION_MISSING)]
    found = {row.topic.name: _of(row, quiet, row.topic.part in unstated) for row in comparison.rows}
    columns = range(len(comparison.heavier))
    marked = [r for r in comparison.rows if any(comparison.at_stated(r, c) for c in columns)]
    return found | {row.topic.name: SHOWN for row in marked}


def _of(row: ComparisonRow, quiet: Sequence[int], unstated: bool) -> str:
    if unstated:
        return UNSTATED
    if not row.differs and row.status in quiet:
        return ALIKE
    return BEGUN if _begins_and_complies(row) else SHOWN


def _reads_by_key(comparison: Comparison) -> list[dict[str, tuple[str, ...]]]:
    """Return for each rule set what each of its clauses reads."""
    return [
        dict(zip((c.key for c in e.ruleset.clauses), e.plan.reads, strict=True))
        for e in comparison.evaluators
    ]


def _unstated(
    rows: list[ComparisonRow], stated: set[str], reads_of: list[dict[str, tuple[str, ...]]]
) -> bool:
    """Tell whether the design says nothing of a part of the deck, so that nothing is decided."""
    statuses = {o.status for row in rows for o in row.outcomes}
    if INFORMATION_MISSING not in statuses or statuses & {COMPLIES, DOES_NOT_COMPLY}:
        return False
    reads = {
        name
        for row in rows
        for known, outcome in zip(reads_of, row.outcomes, strict=True)
        for finding in outcome.findings
        for name in known.get(finding.key, ())
        if name.split(".")[0] not in _COMMON_GROUPS
    }
    return not reads & stated


def _begins_and_complies(row: ComparisonRow) -> bool:
    """Tell whether a row is silent at first and complies alike from some rule set on."""
    statuses = [o.status for o in row.outcomes]
    begun = statuses.count(NOT_REGULATED)
    return (
        0 < begun < len(statuses)
        and set(statuses[:begun]) == {NOT_REGULATED}
        and set(statuses[begun:]) <= {COMPLIES, NOT_APPLICABLE}
        and len(set(row.compared[begun:])) == 1
        and not any(o.struck for o in row.outcomes)
    )
