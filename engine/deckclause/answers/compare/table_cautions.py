"""The short engineering cautions for what a comparison rests on: tables, and the figures beside them."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from deckclause.compare.comparison import ComparisonRow
from deckclause.engineering.cautions import CAUTIONS, for_topic
from deckclause.evaluate.findings import Finding
from deckclause.evaluate.status import NOT_APPLICABLE, NOT_REGULATED
from deckclause.rulesets.names import rule_set_titles
from deckclause.rulesets.walk import clause_tables

KINDS = {
    "fasteners": "ledger",
    "placement": "ledger",
    "joists": "joists",
    "beams": "beams",
    "posts": "posts",
    "footings": "footings",
}
"""The parts of the deck whose figures come from tables, with the kind of caution they carry."""

TABLE_WITHOUT_AXES = "placement"
"""Where a fastener may go is printed as a table of fixed distances, which no look-up reads."""

NEAR = "Near a step or a limit, where a small change can flip the outcome"
"""Begins the caution of such values; their names follow."""

NEAR_SHARE = Fraction(1, 50)
"""Share of its limit within which a value stands near it."""

DRILLING_TOLERANCE = Fraction(1, 8)
"""How far a hole may stray, inches."""


def table_cautions(rows: Iterable[ComparisonRow]) -> tuple[str, ...]:
    """Return the cautions for the tables that any finding of these rows rests on, each once.

    One of them speaks of values near their limits; it is there only if such values are, and
    names them.
    """
    keys: set[str] = set()
    found: dict[str, str] = {}
    for row in rows:
        part = row.topic.part
        findings = [f for o in row.outcomes for f in o.findings if _rests_on_table(part, f)]
        if part in KINDS and findings:
            near = [f for f in findings if _is_near(part, f)]
            if near:
                found[row.topic.title] = _where(row, near)
            keys |= {caution.key for caution in for_topic(KINDS[part])}
    told = [caution.short for caution in CAUTIONS if caution.key in keys]
    return (*told, *[f"{NEAR}: {'; '.join(map(''.join, found.items()))}."] * bool(found))


def _where(row: ComparisonRow, near: Iterable[Finding]) -> str:
    """Name the rule sets whose limit is near, where it is not near in all of them."""
    names = list(dict.fromkeys(f.ruleset for f in near))
    return "" if len(names) == len(row.outcomes) else f" ({rule_set_titles(names)})"


def _rests_on_table(part: str, finding: Finding) -> bool:
    if finding.status in (NOT_APPLICABLE, NOT_REGULATED):
        return False
    return part == TABLE_WITHOUT_AXES or bool(clause_tables(finding.clause))


def _is_near(part: str, finding: Finding) -> bool:
    """Tell whether a value stands within two percent, or a drill's wandering, of a limit."""
    margin = finding.margin
    if margin is None or finding.least == finding.most:
        return False
    if part == TABLE_WITHOUT_AXES and abs(margin) <= DRILLING_TOLERANCE:
        return True
    return any(
        abs(margin) <= NEAR_SHARE * abs(limit) for limit in finding.limit if limit is not None
    )
