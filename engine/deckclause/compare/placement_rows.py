"""Two rows no clause has alone: the greatest drop of the ledger and the greatest step down.

Both are solved from all the distance clauses together, so what drives a difference may be a set
of clauses. Each exchange is verified by solving the hybrid.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from deckclause.compare.drivers import Drivers, find_drivers
from deckclause.compare.outcome import (
    NOT_STATED,
    NOTHING_TO_APPLY_TO,
    SILENT,
    Outcome,
    PartOutcome,
)
from deckclause.evaluate.evaluator import Evaluator
from deckclause.evaluate.explain import RANK
from deckclause.evaluate.findings import Evaluation, Finding
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.status import (
    DOES_NOT_COMPLY,
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
    NOT_APPLICABLE,
    NOT_REGULATED,
    Status,
)
from deckclause.placement.answers import Ask, Extreme
from deckclause.placement.boards import BAND_TOP, DECK_SURFACE, FLOOR, LEDGER_TOP
from deckclause.placement.bodies import Bodies, Pull
from deckclause.placement.constraints import Distance
from deckclause.placement.decide import decide
from deckclause.placement.from_design import (
    DROP,
    THRESHOLD_HEIGHT,
    boards_of,
    missing_for_step_down,
)
from deckclause.placement.from_rules import PlacementRules, RuleLimit, speaks_of_band_joist
from deckclause.placement.solve import solve
from deckclause.placement.sums import conflict_text, extreme_text
from deckclause.reading.branch import OWN
from deckclause.rulesets.clauses import (
    Clause,
    Fixed,
    Limit,
    NeedsEngineering,
    Origin,
    Requirement,
)
from deckclause.rulesets.clauses import Distance as ClauseDistance
from deckclause.rulesets.vocabulary import Vocabulary

GREATEST_DROP = "ledger_greatest_drop"
GREATEST_STEP_DOWN = "greatest_step_down"
PLACEMENT_TOPICS = (GREATEST_DROP, GREATEST_STEP_DOWN)
MEASURED = {GREATEST_DROP: (BAND_TOP, LEDGER_TOP), GREATEST_STEP_DOWN: (FLOOR, DECK_SURFACE)}
MEASURED_WORDS = {
    GREATEST_DROP: "Greatest drop of the ledger's top below the band joist's top",
    GREATEST_STEP_DOWN: "Greatest step down from the floor inside to the deck",
}


class Measured(Struct, frozen=True):
    """What the distance clauses together make of one measure: status, figure asked, most.

    The figure asked is left out where there is no most to hold it against.
    """

    status: int
    value: Fraction | None
    most: Fraction | None


class PlacementRows:
    """Works the two rows out for one design under several rule sets."""

    def __init__(
        self, design: PreparedDesign, evaluators: Sequence[Evaluator], vocabulary: Vocabulary
    ) -> None:
        self.design = design
        self.vocabulary = vocabulary
        self.boards = boards_of(design)
        self.rules = [PlacementRules(e, vocabulary) for e in evaluators]
        self.limits = [rules.limits(design) for rules in self.rules]
        self.free = self.boards.distances(open_drop=True, open_rows=True)
        self.fixed = self.boards.distances(open_rows=True)
        every = [d for limits in self.limits for i in limits for d in (*i.strict, *i.loose)]
        self.open_bodies = Bodies(self.free, every)
        self.shut_bodies = Bodies(self.fixed, every)
        self.asked = {topic: self._asked(topic) for topic in PLACEMENT_TOPICS}
        self.lacking = {
            GREATEST_DROP: () if self.boards.drop is not None else (DROP,),
            GREATEST_STEP_DOWN: self._lacking_for_step_down(),
        }

    def _asked(self, topic: str) -> Fraction | None:
        if topic == GREATEST_DROP:
            return self.boards.drop
        rigid = [d for d in self.fixed if d.is_rigid]
        bodies = Bodies(rigid, ())
        matrix = bodies.closed(())
        if matrix is None or self.boards.drop is None:
            return None
        return bodies.greatest(matrix, *MEASURED[topic])

    def _lacking_for_step_down(self) -> tuple[str, ...]:
        missing = missing_for_step_down(self.boards)
        return missing if self.boards.drop is not None else (*missing, DROP)

    # -- one rule set ---------------------------------------------------------------------------

    def relevant(self, topic: str, limits: Iterable[RuleLimit]) -> list[RuleLimit]:
        """Return the limits a topic rests on: the fasteners' alone, or the doors' too."""
        return [i for i in limits if topic == GREATEST_STEP_DOWN or not i.is_at_door]

    def measured(self, topic: str, limits: Sequence[RuleLimit]) -> Measured | None:
        """Measure a topic under the limits that concern it; None where no clause speaks of it."""
        if self.boards.facts.get("deck.attachment") == "freestanding":
            return Measured(NOT_APPLICABLE, None, None)
        status, most = self._status(topic, limits), None
        if not self.boards.missing:
            matrix = self.open_bodies.closed(_pulls(self.open_bodies, limits, strict=True))
            if matrix is None and status not in (DOES_NOT_COMPLY, ENGINEERING_REQUIRED):
                status = INFORMATION_MISSING
            if matrix is not None:
                most = self.open_bodies.greatest(matrix, *MEASURED[topic])
        if not limits and status == NOT_REGULATED:
            return None
        if any(item.limits.status == ENGINEERING_REQUIRED for item in limits):
            most = None
        asked = None if most is None else self.asked[topic]
        return Measured(status, asked, most)

    def missing(self, topic: str, limits: Sequence[RuleLimit]) -> tuple[str, ...]:
        """Return what would have to be known for a topic."""
        names = [*self.boards.missing, *self.lacking[topic], *self._doors(topic, limits)]
        names += [name for item in limits for name in item.limits.missing]
        return tuple(dict.fromkeys(names))

    def _doors(self, topic: str, limits: Sequence[RuleLimit]) -> list[str]:
        """Ask for a threshold a door's limit is measured from."""
        if topic == GREATEST_DROP:
            return []
        unknown = {d.datum for d in self.boards.doors if d.threshold is None}
        limited = {d.start for item in limits if item.is_at_door for d in item.strict}
        return [THRESHOLD_HEIGHT] if unknown & limited else []

    def _status(self, topic: str, limits: Sequence[RuleLimit]) -> int:
        bodies = self.shut_bodies
        if self.boards.missing:
            return decide(limits, known=False)
        holds = bodies.closed(_pulls(bodies, limits, strict=True)) is not None
        sure = all(item.loose == item.strict for item in limits)
        loosely = holds or (
            not sure and bodies.closed(_pulls(bodies, limits, strict=False)) is not None
        )
        status = decide(limits, strict_holds=holds, loose_holds=loosely)
        if status in (DOES_NOT_COMPLY, ENGINEERING_REQUIRED):
            return status
        if self.lacking[topic] or self._doors(topic, limits):
            return INFORMATION_MISSING if limits else NOT_REGULATED
        # a door's clause alone is no permission for what the bolts do to the band joist
        silent = not speaks_of_band_joist(limits)
        return NOT_REGULATED if silent and status != INFORMATION_MISSING else status

    def compared(self, column: int, topic: str) -> Outcome:
        """Return what a rule set's outcome on a topic is compared by."""
        return self.outcome(topic, self.relevant(topic, self.limits[column]))

    def outcome(self, topic: str, limits: Sequence[RuleLimit]) -> Outcome:
        """Return the outcome of a topic under limits."""
        measured = self.measured(topic, limits)
        if measured is None or measured.status == NOT_REGULATED:
            return SILENT
        if measured.status == NOT_APPLICABLE:
            return NOTHING_TO_APPLY_TO
        missing = measured.status == INFORMATION_MISSING
        lacks = self.missing(topic, limits) if missing else ()
        figures = () if measured.most is None else ((measured.value, None, measured.most),)
        part = PartOutcome(
            measured.status,
            figures,
            lacks=frozenset((NOT_STATED, str(name)) for name in lacks),
        )
        return Outcome(measured.status, (("", part),))

    # -- findings -------------------------------------------------------------------------------

    def findings(self, column: int, topics: Sequence[str]) -> list[Finding]:
        """Return the findings of one rule set on the topics asked for."""
        found: list[Finding] = []
        for topic in topics:
            limits = self.relevant(topic, self.limits[column])
            measured = self.measured(topic, limits)
            if measured is not None:
                found.append(self._finding(column, topic, limits, measured))
        return found

    def added_to(
        self, evaluations: Sequence[Evaluation], topics: Sequence[str]
    ) -> tuple[Evaluation, ...]:
        """Return each rule set's evaluation with the worked-out findings after the clauses' own."""
        return tuple(
            replace(e, findings=(*e.findings, *self.findings(column, topics)))
            for column, e in enumerate(evaluations)
        )

    def drivers(self, first: int, second: int, topic: str) -> Drivers:
        """Find what drives a difference: each exchange of clauses is solved."""
        from deckclause.compare.placement_hybrid import PlacementHybrid

        return find_drivers(PlacementHybrid(self, first, second, topic))

    def _finding(
        self, column: int, topic: str, limits: Sequence[RuleLimit], measured: Measured
    ) -> Finding:
        ruleset = self.rules[column].ruleset
        missing = () if measured.status == NOT_APPLICABLE else self.missing(topic, limits)
        if measured.status == ENGINEERING_REQUIRED:
            limits = [i for i in limits if i.limits.status == ENGINEERING_REQUIRED]
        extreme, strict = self._proof(topic, limits, measured)
        leaned_on = _clauses_of(limits, extreme, strict)
        says = self._says(topic, extreme, strict, measured, limits)
        if (
            measured.status == NOT_REGULATED
        ):  # where only the wood ends it there is no limit to keep
            measured = Measured(NOT_REGULATED, None, None)
        clause = Clause(
            key=topic,
            topic=topic,
            cites=_cites(extreme, strict) or _own_cites(limits) or "the boards",
            says=says,
            requirement=_requirement(topic, limits, measured),
            standing=_standing(extreme, strict),
            sources=tuple(dict.fromkeys(s for c in leaned_on for s in c.sources)),
            origin=Origin(ruleset.name, "", 0),
            note="Worked out from several clauses together; it is no clause of its own.",
        )
        return Finding(
            ruleset=ruleset.name,
            clause=clause,
            part="",
            status=Status(measured.status),
            value=measured.value,
            least=None,
            most=measured.most,
            branch=OWN,
            missing=missing,
            kind="length",
            unit="in",
        )

    def _proof(
        self, topic: str, limits: Sequence[RuleLimit], measured: Measured
    ) -> tuple[Extreme | None, tuple[Distance, ...]]:
        """Return the greatest with its chain, and the strict limits."""
        strict = _strict(limits)
        if measured.most is None:
            return None, strict
        extreme = solve((*self.free, *strict), [Ask(*MEASURED[topic])]).extremes[0]
        assert extreme.value == measured.most
        return extreme, strict

    def _says(
        self,
        topic: str,
        extreme: Extreme | None,
        strict: tuple[Distance, ...],
        measured: Measured,
        limits: Sequence[RuleLimit],
    ) -> str:
        words: list[str] = []
        if extreme is not None:
            words.append(f"{MEASURED_WORDS[topic]}: {extreme_text(extreme)}.")
            if not any(link.distance.kind == "clause" for link in extreme.chain):
                words.append("No clause bounds it, only the wood; that is no permission.")
        elif measured.status == DOES_NOT_COMPLY:
            from deckclause.placement.conflicts import all_conflicts

            conflicts = all_conflicts((*self.free, *strict)).conflicts
            words += [f"At any drop: {conflict_text(conflict)}." for conflict in conflicts]
        if measured.status == ENGINEERING_REQUIRED:
            words = [f"{MEASURED_WORDS[topic]}: not prescribed for this connection."]
        else:
            words += dict.fromkeys(
                f"{i.clause.cites}: {i.limits.reason}." for i in limits if i.limits.reason
            )
        if limits and measured.status != NOT_APPLICABLE and not speaks_of_band_joist(limits):
            words.append(
                "This rule set has no limit on the band joist; there only the wood ends it."
            )
        return " ".join(words) or f"{MEASURED_WORDS[topic]}: not known."


def _pulls(bodies: Bodies, limits: Iterable[RuleLimit], *, strict: bool) -> Iterable[Pull]:
    for item in limits:
        for distance in item.strict if strict else item.loose:
            yield from bodies.pulls(distance)


def _strict(limits: Iterable[RuleLimit]) -> tuple[Distance, ...]:
    return tuple(dict.fromkeys(d for item in limits for d in item.strict))


def _clauses_of(
    limits: Sequence[RuleLimit], extreme: Extreme | None, strict: tuple[Distance, ...]
) -> list[Clause]:
    chain = strict if extreme is None else [link.distance for link in extreme.chain]
    return [item.clause for item in limits if any(d in chain for d in item.strict)]


def _cites(extreme: Extreme | None, strict: tuple[Distance, ...]) -> str:
    chain = strict if extreme is None else [link.distance for link in extreme.chain]
    return "; ".join(dict.fromkeys(d.cites for d in chain if d.kind == "clause"))


def _own_cites(limits: Iterable[RuleLimit]) -> str:
    return "; ".join(dict.fromkeys(item.clause.cites for item in limits))


def _standing(extreme: Extreme | None, strict: tuple[Distance, ...]) -> str:
    chain = strict if extreme is None else [link.distance for link in extreme.chain]
    return max((d.standing for d in chain if d.standing in RANK), key=RANK.index, default="derived")


def _requirement(topic: str, limits: Sequence[RuleLimit], measured: Measured) -> Requirement:
    if measured.status == ENGINEERING_REQUIRED:
        reasons = [i.limits.reason for i in limits if i.limits.status == ENGINEERING_REQUIRED]
        return NeedsEngineering("; ".join(dict.fromkeys(reasons)))
    most = None if measured.most is None else Fixed(measured.most)
    return Limit(ClauseDistance(*MEASURED[topic]), most=most)
