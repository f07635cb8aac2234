"""The short engineering cautions for what a comparison rests on: tables, and the figures beside them."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from deckclause.compare.comparison import ComparisonRow
from deckclause.engineering.cautions import CAUTIONS, for_topic
from deckclause.evaluate.findings import Finding
from deckclause.evaluate.status import NOT_APPLICABLE, NOT_REGULATED
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


NEAR_SHARE = Fraction(1, 50)
"""Share of its limit within which a value stands near it."""

DRILLING_TOLERANCE = Fraction(1, 8)
"""How far a hole may stray, inches."""


def table_cautions(rows: Iterable[ComparisonRow]) -> tuple[str, ...]:
    """Return the cautions for the tables that any finding of these rows rests on, each once.

    One of them speaks of a value near its limit; it is there only if such a value is.
    """
    keys: set[str] = set()
    for row in rows:
        part = row.topic.part
        findings = [f for o in row.outcomes for f in o.findings if _rests_on_table(part, f)]
        if part in KINDS and findings:
            near = ("near_a_limit",) if any(_is_near(part, f) for f in findings) else ()
            keys |= {caution.key for caution in for_topic(KINDS[part], *near)}
    return tuple(caution.short for caution in CAUTIONS if caution.key in keys)


def _rests_on_table(part: str, finding: Finding) -> bool:
    if finding.status in (NOT_APPLICABLE, NOT_REGULATED):
        return False
    return part == TABLE_WITHOUT_AXES or bool(clause_tables(finding.clause))


def _is_near(part: str, finding: Finding) -> bool:
    """Tell whether a value stands within two percent, or a drill's wandering, of a limit."""
    margin = finding.margin
    if margin is None:
        return False
    if part == TABLE_WITHOUT_AXES and abs(margin) <= DRILLING_TOLERANCE:
        return True
    return any(
        abs(margin) <= NEAR_SHARE * abs(limit) for limit in finding.limit if limit is not None
    )
