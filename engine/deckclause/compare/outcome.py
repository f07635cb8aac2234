"""What a topic comes to under one rule set, as two rule sets are compared by it.

Two rule sets differ on a topic exactly where their outcomes differ (docs/decisions, "What makes two
outcomes differ"). An outcome holds, for each part of the deck the topic was read for:

- the status;
- what the requirement asks, with its figures, and the value as the rule measures it;
- which facts are missing, and why: not stated, not seen in print, not modelled;
- which bound of the rule was left, where it needs engineering.

A value provided to other clauses counts only in a topic that it answers (`answered_by` in
topics.yaml): a helper is seen through what it changes, or not at all.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from typing import Any

from msgspec import Struct

from deckclause.evaluate.findings import Finding
from deckclause.evaluate.plan import provided_quantity
from deckclause.evaluate.status import (
    COMPLIES,
    DOES_NOT_COMPLY,
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
    NOT_APPLICABLE,
    NOT_REGULATED,
    worst,
)
from deckclause.evaluate.traces import Traces
from deckclause.reading.forms import Node, OneOf, Within
from deckclause.reading.trace import Step, Trace
from deckclause.rulesets.vocabulary import Topic
from deckclause.rulesets.walk import is_unmodelled

Figures = tuple[Any, Fraction | None, Fraction | None]
"""(value as measured, least, most), in inch-pound-degree units."""
Lack = tuple[str, str]
"""(why, name): NOT_STATED with a fact's name, NOT_SEEN or NOT_MODELLED with a clause's key."""
NOT_STATED = "not stated"
NOT_SEEN = "not seen"
NOT_MODELLED = "not modelled"

Bound = tuple[str, str, str]
"""(quantity, from, to): a bound that a deck left; empty texts where there is none on that side."""
Asks = frozenset[Any]
"""Requirements without a figure, as asked: options, conditions."""


class PartOutcome(Struct, frozen=True):
    """What a topic comes to for one part of the deck: of its clauses, those of the worst status."""

    status: int
    figures: tuple[Figures, ...] = ()
    asks: Asks = frozenset()
    answers: tuple[Any, ...] = ()
    """Values given that answer the topic's own question."""
    lacks: frozenset[Lack] = frozenset()
    bounds: frozenset[Bound] = frozenset()
    """Which bounds of the rule were left, where it needs engineering."""


class Outcome(Struct, frozen=True, eq=False):
    """What a topic comes to under one rule set, part by part.

    The status is that of the worst part, and no more than that: of a rule set that is silent and one
    whose rules do not apply to this deck, neither asks anything, and the two outcomes are the same.
    """

    status: int
    parts: tuple[tuple[str, PartOutcome], ...] = ()

    def __eq__(self, other: object) -> bool:
        """Tell whether another comes to the same, part by part."""
        return isinstance(other, Outcome) and self.parts == other.parts

    def __ne__(self, other: object) -> bool:
        """Tell whether another is not; a record's own would compare every field."""
        return not self == other

    def __hash__(self) -> int:
        """Hash what is compared."""
        return hash(self.parts)

    def part(self, name: str) -> PartOutcome | None:
        """Return what the topic comes to for one part of the deck, if it was read for it."""
        return dict(self.parts).get(name)

    @property
    def figure(self) -> Fraction | None:
        """The one figure that is asked or given, where there is just one; else None."""
        figures = {(least, most) for _, part in self.parts for _, least, most in part.figures}
        answers = {answer for _, part in self.parts for answer in part.answers}
        if len(figures) == 1 and not answers:
            least, most = figures.pop()
            return (
                None if least is not None and most is not None and least != most else least or most
            )
        if len(answers) == 1 and not figures:
            answer = answers.pop()
            return answer if isinstance(answer, Fraction) else None
        return None


CONTRADICTS_ITSELF = Outcome(-1, (("", PartOutcome(-1)),))
"""What a hybrid comes to that is no rule set: it gives a quantity two values."""
SILENT = Outcome(NOT_REGULATED)
NOTHING_TO_APPLY_TO = Outcome(NOT_APPLICABLE)


class Piece(Struct, frozen=True):
    """What one clause adds to a part: raw sets, so that pieces join in any order.

    The status is `not regulated` where nothing was added.
    """

    status: int = NOT_REGULATED
    figures: frozenset[Figures] = frozenset()
    asks: Asks = frozenset()
    answers: frozenset[Any] = frozenset()
    lacks: frozenset[Lack] = frozenset()
    bounds: frozenset[Bound] = frozenset()

    def joined(self, other: Piece) -> Piece:
        """Return the two together: the graver status counts, and what comes with it."""
        if self.status != other.status:
            return self if self.status > other.status else other
        return Piece(
            self.status,
            self.figures | other.figures,
            self.asks | other.asks,
            self.answers | other.answers,
            self.lacks | other.lacks,
            self.bounds | other.bounds,
        )

    def settled(self) -> PartOutcome:
        """Return the outcome of the part: for one value measured, the tightest bounds count."""
        return PartOutcome(
            self.status,
            _tightest(self.figures),
            self.asks,
            tuple(sorted(self.answers, key=_order)),
            self.lacks,
            self.bounds,
        )


Pieces = Mapping[str, Piece]
"""By part of the deck."""


def piece(
    status: int,
    requirement: Any,
    figures: Figures,
    missing: Iterable[Any],
    *,
    gives: str,
    topic: Topic,
    key: str,
    bounds: frozenset[Bound] = frozenset(),
) -> Piece:
    """Return what one clause's result adds to its topic.

    `gives` names the quantity the clause provides, if any; `requirement` is the one that governed.
    """
    value, least, most = figures
    unmodelled = is_unmodelled(requirement)
    if status == NOT_APPLICABLE:
        return Piece(status)
    if gives:
        counts = gives in topic.answered_by and value is not None
        answers = frozenset([value]) if counts else frozenset()
        return Piece(
            status, answers=answers, lacks=_lacks(status, missing, key, unmodelled), bounds=bounds
        )
    bounded = least is not None or most is not None
    decided = status in (COMPLIES, DOES_NOT_COMPLY)
    return Piece(
        status,
        frozenset([figures]) if bounded or (decided and value is not None) else frozenset(),
        frozenset([requirement]) if decided and not bounded else frozenset(),
        lacks=_lacks(status, missing, key, unmodelled),
        bounds=bounds if status == ENGINEERING_REQUIRED else frozenset(),
    )


def _lacks(status: int, missing: Iterable[Any], key: str, unmodelled: bool) -> frozenset[Lack]:
    if status != INFORMATION_MISSING:
        return frozenset()
    if unmodelled:
        return frozenset([(NOT_MODELLED, key)])
    names = frozenset((NOT_STATED, str(name)) for name in missing)
    return names or frozenset([(NOT_SEEN, key)])


def _tightest(figures: frozenset[Figures]) -> tuple[Figures, ...]:
    """Put bounds on the same value together: the greatest least and the least most."""
    by_value: dict[Any, list[Figures]] = {}
    for found in figures:
        by_value.setdefault(found[0], []).append(found)
    joined = [
        (
            value,
            max((f[1] for f in found if f[1] is not None), default=None),
            min((f[2] for f in found if f[2] is not None), default=None),
        )
        for value, found in by_value.items()
    ]
    return tuple(sorted(joined, key=lambda f: (_order(f[0]), str(f[1]), str(f[2]))))


def _order(value: Any) -> tuple[str, Any]:
    return type(value).__name__, "" if value is None else value


def settled(
    pieces: Pieces, *, spoken: bool, known: dict[Piece, PartOutcome] | None = None
) -> Outcome:
    """Return a topic's outcome; `spoken` tells that the rule set has clauses on it.

    `known` keeps what pieces have been settled to: thousands of exchanges come to a few of them.

    A part that a rule does not apply to says nothing beside parts that it does apply to.
    """
    read = {part: found for part, found in pieces.items() if found.status > NOT_REGULATED}
    if not read:
        return NOTHING_TO_APPLY_TO if spoken else SILENT
    telling = {p: f for p, f in read.items() if f.status not in (NOT_APPLICABLE, NOT_REGULATED)}
    if not telling:
        status = worst([f.status for f in read.values()])
        return NOTHING_TO_APPLY_TO if status == NOT_APPLICABLE else SILENT
    kept = {} if known is None else known
    parts = []
    for part in sorted(telling):
        found = telling[part]
        if found not in kept:
            kept[found] = found.settled()
        parts.append((part, kept[found]))
    return Outcome(worst([part.status for _, part in parts]), tuple(parts))


def outcome_of(
    findings: Iterable[Finding], topic: Topic, traces: Traces, *, spoken: bool = False
) -> Outcome:
    """Return the outcome of a topic's findings; `traces` reads again those that need engineering.

    `spoken` tells that the rule set has clauses on the topic: with no finding, the design states
    that it has no such part, and the topic is not applicable.
    """
    pieces: dict[str, Piece] = {}
    for finding in findings:
        adds = piece_of(finding, topic, traces)
        before = pieces.get(finding.part)
        pieces[finding.part] = adds if before is None else before.joined(adds)
    return settled(pieces, spoken=spoken)


def piece_of(finding: Finding, topic: Topic, traces: Traces) -> Piece:
    """Return what one finding adds to its topic."""
    engineering = finding.status == ENGINEERING_REQUIRED
    return piece(
        finding.status,
        finding.requirement,
        (finding.value, finding.least, finding.most),
        finding.missing,
        gives=provided_quantity(finding.clause),
        topic=topic,
        key=finding.key,
        bounds=bounds_left(traces.of(finding)) if engineering else frozenset(),
    )


def bounds_left(trace: Trace[Any]) -> frozenset[Bound]:
    """Return which bounds of a rule a deck left, so that the rule needs engineering here.

    The tests of its scope that came out false, with their bounds; the axes of a table past whose
    keys it was entered; the quantity no clause could give. A rule that always asks for an engineer
    has left none.
    """
    found: set[Bound] = set()
    if trace.scope is not None and trace.scope.gave is False:
        found |= {_test(s) for s in trace.scope.walk() if s.gave is False and is_test(s.node)}
    for read in trace.cells:
        axes = (read.table.axes[n] for n in read.outside)
        found |= {(axis.quantity, str(axis.keys[0]), str(axis.keys[-1])) for axis in axes}
    if trace.outcome.beyond:
        found.add((trace.outcome.beyond, "", ""))
    return frozenset(found)


def _test(step: Step) -> Bound:
    """Write a test as the bounds or options it holds a fact to, as read."""
    node = step.node
    assert isinstance(node, Within | OneOf)
    if isinstance(node, OneOf):
        return node.fact.name, ", ".join(map(str, node.options)), ""
    figures = [str(s.gave) for s in step.steps[1:]]
    low = figures.pop(0) if node.low is not None and figures else ""
    high = figures.pop(0) if node.high is not None and figures else ""
    return node.fact.name, low, high


def is_test(node: Node) -> bool:
    """Tell a test of one fact from what joins several."""
    return isinstance(node, Within | OneOf)
