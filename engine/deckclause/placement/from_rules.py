"""The limits of a rule set on one design as distances, each labelled with its clause.

The rule set is the only source of limits. Which clauses apply, which exception holds and what a
table or a choice gives is worked out on the design's own facts (`limits`); what is unknown is
kept beside the limits and never relaxes one.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from fractions import Fraction
from typing import Any

from msgspec import Struct

from deckclause.evaluate.evaluator import Evaluator
from deckclause.evaluate.plan import clause_group
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.runtime import BEYOND
from deckclause.evaluate.status import COMPLIES, ENGINEERING_REQUIRED
from deckclause.placement.constraints import Distance
from deckclause.placement.limits import (
    ClauseLimits,
    clause_limits,
)
from deckclause.reading.bounds import BranchBounds
from deckclause.reading.forms import OWN, Rule
from deckclause.rulesets.clauses import Clause, Limit
from deckclause.rulesets.clauses import Distance as ClauseDistance
from deckclause.rulesets.ruleset import RuleSet
from deckclause.rulesets.vocabulary import Vocabulary
from deckclause.rulesets.walk import clause_reads, distances

DOOR = "door."
BAND_JOIST = "band_joist."


class RuleLimit(Struct, frozen=True):
    """One clause's limit as distances: those that hold while anything is unknown, those in any case."""

    limits: ClauseLimits
    strict: tuple[Distance, ...]
    loose: tuple[Distance, ...]

    @property
    def clause(self) -> Clause:
        """The clause the limit comes from."""
        return self.limits.clause

    @property
    def is_at_door(self) -> bool:
        """Whether it limits the step at a door rather than the place of a fastener."""
        return _subject(self.limits).start.startswith(DOOR)

    @property
    def datums(self) -> tuple[str, str]:
        """The two datums as the clause names them."""
        subject = _subject(self.limits)
        return subject.start, subject.end


def _subject(limits: ClauseLimits) -> ClauseDistance:
    assert isinstance(limits.subject, ClauseDistance)
    return limits.subject


class PlacementRules:
    """The distance clauses of one rule set, ready for any design."""

    def __init__(self, evaluator: Evaluator, vocabulary: Vocabulary) -> None:
        self.evaluator = evaluator
        self.vocabulary = vocabulary
        self.clauses = tuple(_with_distances(evaluator.ruleset, vocabulary))
        names = {name for _, clause, _ in self.clauses for name in clause_reads(clause)}
        self._places = {c.key: i for i, c in enumerate(evaluator.ruleset.clauses)}
        quantities = vocabulary.quantities
        self.reads = frozenset(names)
        self.reads_provided = any(
            quantities[n].provided or quantities[n].fixed_by_place for n in names
        )

    @property
    def ruleset(self) -> RuleSet:
        """The rule set."""
        return self.evaluator.ruleset

    def rule(self, clause: Clause) -> Rule:
        """Return a clause of this rule set as lowered."""
        return self.evaluator.rule(self._places[clause.key])

    def limits(self, design: PreparedDesign, axis: str = "vertical") -> tuple[RuleLimit, ...]:
        """Return what applies to a design along one axis, in the rule set's order.

        Raises InputError where two exceptions of a clause fire together.
        """
        provided: dict[str, dict[str, Any]] = {}
        if self.reads_provided:
            provided = provided_facts(self.evaluator, design, self.vocabulary)
        settings = {s.quantity: s.value for s in self.ruleset.settings}
        every = provided.get("", {})

        def known(part: str, facts: dict[str, Any]) -> dict[str, Any]:
            return {**facts, **settings, **every, **provided.get(part, {})}

        return tuple(
            limit
            for entry in self.clauses
            if self.vocabulary.datums[entry[2].start].axis == axis
            for limit in self.limits_of(entry, design, known)
        )

    def limits_of(
        self,
        entry: tuple[str, Clause, ClauseDistance],
        design: PreparedDesign,
        known: Callable[[str, dict[str, Any]], dict[str, Any]],
    ) -> Iterator[RuleLimit]:
        """Yield one clause's limit for each part it is read for.

        `known` completes a part's facts with what other clauses and the place give.
        """
        group, clause, subject = entry
        for part, facts in _parts(design, group):
            full = known(part, facts)
            limits = clause_limits(self.rule(clause), part, subject, full)
            if limits is not None:
                yield self._as_distances(limits, design)

    def _as_distances(self, limits: ClauseLimits, design: PreparedDesign) -> RuleLimit:
        start, end = (datum_of(d, limits.part, design) for d in self._datums(limits))
        label = self._label(limits)
        strict = tuple(_distance(start, end, b, label, limits.clause) for b in limits.strict)
        if any(b.bounds == limits.loose for b in limits.strict):
            loose = tuple(d for d in strict if (d.least, d.most) == limits.loose)[:1]
        elif limits.loose == (None, None):
            loose = ()
        else:
            own = next((b for b in limits.strict if b.branch == OWN), None)
            standing = own.standing if own else limits.clause.standing
            bounds = BranchBounds(OWN, limits.loose, standing)
            loose = (_distance(start, end, bounds, label, limits.clause),)
        return RuleLimit(limits, strict, loose)

    def _datums(self, limits: ClauseLimits) -> tuple[str, str]:
        subject = _subject(limits)
        return subject.start, subject.end

    def _label(self, limits: ClauseLimits) -> str:
        title = self.vocabulary.topics[limits.clause.topic].title
        words = title[:1].lower() + title[1:]
        at_door = self._datums(limits)[0].startswith(DOOR) and limits.part
        return f"{words}, {limits.part}" if at_door else words


def speaks_of_band_joist(limits: Sequence[RuleLimit]) -> bool:
    """Tell whether any limit is measured from the band joist's edges."""
    return any(d.startswith(BAND_JOIST) for item in limits for d in item.datums)


def datum_of(datum: str, part: str, design: PreparedDesign) -> str:
    """Name a datum; each of several doors has a threshold of its own."""
    if datum.startswith(DOOR) and len(design.design.values("doors")) > 1:
        return f"{datum} of {part}"
    return datum


def _with_distances(
    ruleset: RuleSet, vocabulary: Vocabulary
) -> Iterator[tuple[str, Clause, ClauseDistance]]:
    for clause in ruleset.clauses:
        if not _may_limit_distance(clause):
            continue
        for subject in distances(clause):
            yield clause_group(clause, vocabulary.quantities), clause, subject


def _may_limit_distance(clause: Clause) -> bool:
    """Whether a clause's own words limit a distance, or its exceptions or readings may."""
    requirement = clause.requirement
    if isinstance(requirement, Limit) and not isinstance(requirement.subject, str):
        return True
    return bool(clause.exceptions or clause.readings)


def _parts(design: PreparedDesign, group: str) -> Iterable[tuple[str, dict[str, Any]]]:
    """Return name and facts of each part a clause is read for.

    A clause on fasteners that also reads the joists is read once where there are no joists:
    stating none lifts no limit.
    """
    if not group:
        return (("", design.facts()),)
    parts = design.design.values(group)
    if not parts and group != "doors":
        return (("", design.facts()),)
    return tuple((part.name, design.facts(group, part.name)) for part in parts)


def provided_facts(
    evaluator: Evaluator, design: PreparedDesign, vocabulary: Vocabulary
) -> dict[str, dict[str, Any]]:
    """Return what the rule set's clauses provide on a design, by part ("" for the whole)."""
    found: dict[str, dict[str, Any]] = {}
    for index, part, (status, value, *_) in evaluator.rows(design):
        quantity = evaluator.plan.provides[index]
        if quantity and status == COMPLIES:
            kind = vocabulary.quantities[quantity].kind
            number = isinstance(value, int | Fraction) and not isinstance(value, bool)
            exact = evaluator.scale.back(value, kind) if number else value
            found.setdefault(part, {})[quantity] = exact
        elif quantity and status == ENGINEERING_REQUIRED:
            found.setdefault(part, {}).setdefault(quantity, BEYOND)
    return found


def _distance(start: str, end: str, of: BranchBounds, label: str, clause: Clause) -> Distance:
    least, most = of.bounds or (None, None)
    cites = of.branch.cites(clause) or clause.cites
    return Distance(start, end, least, most, label, with_origin(cites, clause), of.standing)


def with_origin(cites: str, clause: Clause) -> str:
    """Add the amendment a clause came from to where it stands.

    An edition's own clause stays as it is.
    """
    origin = clause.origin
    if not origin.ordinance:
        return cites
    act = " ".join(part for part in (origin.ordinance, origin.section) if part)
    return f"{cites}; {origin.place}, {act}" if origin.place else f"{cites}; {act}"
