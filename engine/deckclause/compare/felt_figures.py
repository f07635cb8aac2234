"""What clauses that read tables come to for one deck: figures a builder feels, side by side."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from deckclause.compare.rule_diff.clauses import RuleDiff
from deckclause.compare.rule_diff.weight import LOOSER, STRICTER, true_changes
from deckclause.evaluate.evaluator import Evaluator
from deckclause.evaluate.findings import Evaluation, Finding, evaluate
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.status import (
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
    NOT_APPLICABLE,
)
from deckclause.evaluate.words import asked_limit
from deckclause.rulesets.vocabulary import Vocabulary


class FeltFigure(Struct, frozen=True):
    """What a clause comes to before and after in words, and which way the figure goes.

    A text is empty where the clause asks nothing; `way` where there are not two figures that differ.
    """

    before: str
    after: str
    way: str = ""


Felt = Mapping[str, FeltFigure]
"""By clause key."""
_RANK = {INFORMATION_MISSING: 1, ENGINEERING_REQUIRED: 2}
_WORDS = {INFORMATION_MISSING: "no figure seen", ENGINEERING_REQUIRED: "engineering"}


def felt_figures(
    diff: RuleDiff,
    evaluators: tuple[Evaluator, Evaluator],
    design: PreparedDesign,
    vocabulary: Vocabulary,
    *,
    si: bool = False,
) -> Felt:
    """Return the figures a design meets under both rule sets.

    Of every clause that truly changes, and of the others where another value a place fixes gives
    them another figure.
    """
    sides = [evaluate(design, e, vocabulary) for e in evaluators]
    found: dict[str, FeltFigure] = {}
    changed = [change.key for change in true_changes(diff)]
    others = [c.key for c in diff.two.clauses if diff.settings and c.key not in changed]
    for key in (*changed, *others):
        findings = [_findings(side, key) for side in sides]
        before, after = (_figure(side, si=si) for side in findings)
        if (before or after) and (key in changed or before != after):
            found[key] = FeltFigure(before, after, _way(*map(_bounded, findings)))
    return found


def _findings(evaluation: Evaluation, key: str) -> list[Finding]:
    return [f for f in evaluation.findings if f.key == key and f.status != NOT_APPLICABLE]


def _bounded(findings: list[Finding]) -> Finding | None:
    """Return the finding with the tightest bound, if one has any."""
    bounded = [f for f in findings if f.least is not None or f.most is not None]
    return min(bounded, key=_tightest) if bounded else None


def _way(one: Finding | None, two: Finding | None) -> str:
    if one is None or two is None:
        return ""
    ways = set()
    if one.most is not None and two.most is not None and one.most != two.most:
        ways.add(STRICTER if two.most < one.most else LOOSER)
    if one.least is not None and two.least is not None and one.least != two.least:
        ways.add(STRICTER if two.least > one.least else LOOSER)
    return ways.pop() if len(ways) == 1 else ""


def _figure(findings: list[Finding], *, si: bool) -> str:
    chosen = _bounded(findings)
    if chosen is not None:
        return asked_limit(chosen, si=si)
    worst = max((_RANK.get(f.status, 0), f.status) for f in findings)[1] if findings else None
    return _WORDS.get(worst, "") if worst is not None else ""


def _tightest(finding: Finding) -> tuple[object, ...]:
    return (
        finding.most is None,
        finding.most or 0,
        -(finding.least or 0),
    )
