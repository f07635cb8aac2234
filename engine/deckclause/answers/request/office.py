"""What the office brings to a request: its power to grant it, and its own earlier decisions."""

from __future__ import annotations

from pathlib import Path

from deckclause.variance.request.build import Request
from deckclause.variance.request.decisions import Decision, read_decisions


def power(request: Request) -> str:
    """Name the sections that give the power to grant the request, each with its standing."""
    topic = request.kind.topic
    clauses = request.case.evaluator.ruleset.topic_clauses(topic) if topic else ()
    return (
        "; ".join(f"{c.cites} ({c.standing})" for c in clauses)
        or "to be named from the adopted law: no rule looked at here gives it"
    )


def earlier_decisions(request: Request) -> tuple[Decision, ...]:
    """Return the office's decisions on the clauses asked that may be cited; none without a log.

    A decision of another place is none of this office's. Raises InputError for what is no log.
    """
    named = request.written("office_log")
    if not named:
        return ()
    clauses = {item.finding.key for item in request.items if item.finding is not None}
    place = office(request.case.evaluator.ruleset.name)
    return tuple(
        decision
        for decision in read_decisions(Path(request.file).parent / named)
        if decision.is_precedent and decision.clause in clauses and office(decision.under) == place
    )


def office(rule_set: str) -> str:
    """Name the place whose office decides under a rule set; a bare edition stands for itself.

    >>> office("Tarn Hollow@2025-03-01"), office("irc-2012")
    ('Tarn Hollow', 'irc-2012')
    """
    return rule_set.partition("@")[0]


def decided_words(decision: Decision) -> str:
    """Say in one line what the office decided, on which conditions and for which reasons."""
    words = (
        f"This office, {decision.decided}: {decision.cites}, {decision.allowed} in place of "
        f"{decision.required} ({decision.outcome})."
    )
    if decision.conditions:
        words += f" Conditions: {'; '.join(c.rstrip('.') for c in decision.conditions)}."
    if decision.reasons:
        words += f" Reasons: {decision.reasons.rstrip('.')}."
    return words
