"""The limits an evaluation found on vertical distances, each with the finding it came from.

Where `from_rules` asks what a rule set says while something is open, this takes what was found
on the design as it stands.
"""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct

from deckclause.evaluate.explain import Explainer
from deckclause.evaluate.findings import Evaluation, Finding
from deckclause.placement.boards import FLOOR, THRESHOLD
from deckclause.placement.constraints import Distance
from deckclause.placement.from_rules import with_origin
from deckclause.rulesets.clauses import Distance as ClauseDistance
from deckclause.rulesets.clauses import Limit
from deckclause.rulesets.vocabulary import Vocabulary


class ClauseLimit(Struct, frozen=True):
    """One clause's limit on a vertical distance, and the finding it came from."""

    distance: Distance
    finding: Finding


def clause_limits(evaluation: Evaluation, vocabulary: Vocabulary) -> tuple[ClauseLimit, ...]:
    """Return the limits the evaluation found on vertical distances."""
    explainer = Explainer(evaluation, vocabulary)
    limits: list[ClauseLimit] = []
    for finding in evaluation.findings:
        requirement = finding.requirement
        if not isinstance(requirement, Limit) or finding.limit == (None, None):
            continue
        subject = requirement.subject
        if isinstance(subject, ClauseDistance) and _is_vertical(subject, vocabulary):
            title = vocabulary.topics[finding.topic].title
            distance = _distance(evaluation, finding, subject, title, explainer.standing(finding))
            if distance is not None:
                limits.append(ClauseLimit(distance, finding))
    return tuple(limits)


def _is_vertical(subject: ClauseDistance, vocabulary: Vocabulary) -> bool:
    return all(vocabulary.datums[d].axis == "vertical" for d in (subject.start, subject.end))


def _distance(
    evaluation: Evaluation, finding: Finding, subject: ClauseDistance, title: str, standing: str
) -> Distance | None:
    start, end, least, most = subject.start, subject.end, finding.least, finding.most
    if THRESHOLD in (start, end):
        # each door has a threshold of its own over the one floor: measure from the floor
        up = evaluation.design.facts("doors", finding.part).get("doors.threshold_above_floor")
        if not isinstance(up, Fraction) or start != THRESHOLD:
            return None
        start = FLOOR
        least = None if least is None else least - up
        most = None if most is None else most - up
    label = title[0].lower() + title[1:]
    cites = with_origin(finding.cites, finding.clause)
    return Distance(start, end, least, most, label, cites, standing)
