"""The vertical section of a design as exact distances, with some of its measures set free.

What the design states is an equality, each clause on a distance an inequality. Setting a measure
free takes its equality away; the solver then says how far it may go.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from deckclause.designs.design import Facts
from deckclause.designs.geometry import fixed_distances, known_distances
from deckclause.evaluate.explain import Explainer
from deckclause.evaluate.findings import Evaluation, Finding
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.words import name_text
from deckclause.placement.boards import (
    BAND_BOTTOM,
    BAND_TOP,
    DECK_SURFACE,
    FLOOR,
    JOISTS_BOTTOM,
    JOISTS_TOP,
    LEDGER_BOTTOM,
    LEDGER_TOP,
    LOWER_ROW,
    THRESHOLD,
    UPPER_ROW,
)
from deckclause.placement.constraints import Distance, fixed
from deckclause.rulesets.clauses import Distance as ClauseDistance
from deckclause.rulesets.clauses import Limit
from deckclause.rulesets.vocabulary import Vocabulary

ROWS = ("fasteners.upper_row_below_ledger_top", "fasteners.lower_row_below_ledger_top")
DROP = "ledger.below_band_joist"
JOISTS = "joists.below_ledger_top"
MEASURES: dict[str, tuple[str, str]] = {
    ROWS[0]: (LEDGER_TOP, UPPER_ROW),
    ROWS[1]: (LEDGER_TOP, LOWER_ROW),
    JOISTS: (LEDGER_TOP, JOISTS_TOP),
    DROP: (BAND_TOP, LEDGER_TOP),
}
"""The measures that can be set free, each with the datums it lies between."""
_SURFACE = "deck.surface_below_ledger_top"


@dataclass(frozen=True, slots=True)
class ClauseLimit:
    """One clause's limit on a vertical distance, and the finding it came from."""

    distance: Distance
    finding: Finding


def section_facts(design: PreparedDesign) -> Facts:
    """Return what the design states of its section; a joist field counts where all are alike."""
    facts = dict(design.facts())
    fields = design.design.parts.get("joists", ())
    for name in (JOISTS, "joists.depth"):
        values = {design.facts("joists", field.name).get(name) for field in fields}
        if len(values) == 1 and (value := values.pop()) is not None:
            facts[name] = value
    return facts


def surface_height(design: PreparedDesign) -> Fraction | None:
    """Return how far the deck's surface lies below the band joist's top, inches."""
    return known_distances(section_facts(design)).get((BAND_TOP, DECK_SURFACE))


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
    return Distance(start, end, least, most, label, finding.cites, standing)


def board_distances(
    facts: Facts, free: Iterable[str] = (), *, hung: bool = False
) -> tuple[Distance, ...]:
    """Return what the boards and the design fix, without the measures set free.

    Rows pass through both boards, the upper above the lower. `hung` keeps the joists within the
    ledger's depth, so that hangers have wood behind them (common practice).
    """
    loose = {*free, _SURFACE}
    kept = {name: value for name, value in facts.items() if name not in loose}
    found = [
        fixed(item.start, item.end, item.length, " and ".join(map(name_text, item.because)))
        for item in fixed_distances(kept)
    ]
    for row in (UPPER_ROW, LOWER_ROW):
        for top, bottom in ((LEDGER_TOP, LEDGER_BOTTOM), (BAND_TOP, BAND_BOTTOM)):
            found += [_within(top, row), _within(row, bottom)]
    found.append(_within(UPPER_ROW, LOWER_ROW))
    if hung:
        found += [_within(LEDGER_TOP, JOISTS_TOP), _within(JOISTS_BOTTOM, LEDGER_BOTTOM)]
    return tuple(found)


def _within(start: str, end: str) -> Distance:
    label = f"{end} below {start}"
    return Distance(start, end, Fraction(0), None, label, "", "derived", "boards")


def held_surface(height: Fraction) -> Distance:
    """Hold the deck's surface where it is: the step down at every door stays as designed."""
    return fixed(BAND_TOP, DECK_SURFACE, height, "deck surface as designed")
