"""What a rule set asks on a topic, all over a region."""

from __future__ import annotations

from dataclasses import dataclass, replace

from deckclause.evaluate.plan import Plan, provided_quantity
from deckclause.evaluate.regions.figures import FREE, Beyond, Figure, Reader
from deckclause.evaluate.regions.linear import Form
from deckclause.evaluate.regions.view import View
from deckclause.evaluate.runtime import BEYOND, FORBIDDEN, Special
from deckclause.evaluate.status import (
    COMPLIES,
    DOES_NOT_COMPLY,
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
    NOT_APPLICABLE,
    NOT_REGULATED,
    worst,
)
from deckclause.rulesets.clauses import (
    Clause,
    Informs,
    Limit,
    MustBe,
    NeedsEngineering,
    NotPermitted,
    Provides,
    Requirement,
    Scalar,
    Unmodelled,
    Waived,
)
from deckclause.rulesets.ruleset import RuleSet
from deckclause.rulesets.vocabulary import Topic
from deckclause.rulesets.walk import clause_reads

CONFLICT = -1
"""Two exceptions of one clause fire together: the rule set is at fault here."""


@dataclass(frozen=True, slots=True)
class Bound:
    """The least and most that comply for one subject, or the choices that do."""

    subject: str
    least: Form | None = None
    most: Form | None = None
    one_of: frozenset[str] | None = None
    decided: bool = False
    """The subject is given by clauses or a place, and was found inside: nothing is left open."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked: the status without the limits, the limits, and what is provided.

    A status of `complies` with a bound means: complies inside the bound, not outside.
    """

    status: int
    bounds: tuple[Bound, ...] = ()
    provided: tuple[Figure, ...] = ()


class RuleSetReader:
    """Reads one rule set's clauses on one region.

    `like` is a reader of the same rule set on the same region: what it found to be provided there
    is not worked out again.
    """

    def __init__(
        self, ruleset: RuleSet, plan: Plan, view: View, like: RuleSetReader | None = None
    ) -> None:
        self.ruleset = ruleset
        self.view = view
        self.reader = Reader(view, self._source)
        self._given: dict[str, object] = {} if like is None else like._given
        self._settings: dict[str, Scalar] = (
            {s.quantity: s.value for s in ruleset.settings} if like is None else like._settings
        )
        self._providers: dict[str, list[Clause]] = {} if like is None else like._providers
        if like is None:
            for clause, quantity in zip(ruleset.clauses, plan.provides, strict=True):
                if quantity:
                    self._providers.setdefault(quantity, []).append(clause)

    def _source(self, name: str) -> object:
        if name not in self._given:
            self._given[name] = self._provided(name)
        return self._given[name]

    def _provided(self, name: str) -> object:
        setting = self._settings.get(name)
        if setting is not None:
            return setting if isinstance(setting, str | bool) else Form.fixed(setting)
        definition = self.view.quantities[name]
        found: object = None if definition.provided else FREE
        lacking = False
        for clause in self._providers.get(name, ()):
            asked = self.clause(clause)
            if asked.status == COMPLIES and asked.provided:
                return asked.provided[0]
            if asked.status == ENGINEERING_REQUIRED:
                found = BEYOND
            elif asked.status == INFORMATION_MISSING:
                lacking = True
        return None if lacking else found

    # -- clauses ------------------------------------------------------------------------------

    def clause(self, clause: Clause) -> Asked:
        """Return what one clause asks."""
        try:
            return self._clause(clause)
        except Beyond:
            return Asked(ENGINEERING_REQUIRED)

    def _clause(self, clause: Clause) -> Asked:
        for gate, otherwise in (
            (clause.applies, NOT_APPLICABLE),
            (clause.scope, ENGINEERING_REQUIRED),
        ):
            holds = self.reader.condition(gate)
            if holds is not True:
                return Asked(otherwise if holds is False else INFORMATION_MISSING)
        if clause.exceptions:
            return self._with_exceptions(clause)
        asked = [self.requirement(clause.requirement)]
        asked += [self.requirement(reading.requirement) for reading in clause.readings]
        found = self.together(asked)
        # neither of two values given is the stricter: readings that differ leave it open
        return found if len(found.provided) < 2 else Asked(INFORMATION_MISSING)

    def _with_exceptions(self, clause: Clause) -> Asked:
        holds = [self.reader.condition(e.when) for e in clause.exceptions]
        fired = [e for e, h in zip(clause.exceptions, holds, strict=True) if h]
        if len(fired) > 1:
            return Asked(CONFLICT)
        governing = fired[0].requirement if fired else clause.requirement
        asked = self.requirement(governing)
        unsure = [e for e, h in zip(clause.exceptions, holds, strict=True) if h is None]
        if any(self.requirement(e.requirement) != asked for e in unsure):
            return Asked(INFORMATION_MISSING)
        return asked

    def requirement(self, requirement: Requirement) -> Asked:
        """Return what one requirement asks."""
        if isinstance(requirement, Limit):
            return self._limit(requirement)
        if isinstance(requirement, MustBe | NotPermitted):
            holds = self.reader.condition(requirement.condition)
            if holds is None:
                return Asked(INFORMATION_MISSING)
            good = isinstance(requirement, MustBe)
            return Asked(COMPLIES if holds is good else DOES_NOT_COMPLY)
        if isinstance(requirement, Provides):
            figure = self.reader.value(requirement.value)
            return _without_figure(figure) or Asked(COMPLIES, (), (figure,))
        if isinstance(requirement, NeedsEngineering):
            return Asked(ENGINEERING_REQUIRED)
        if isinstance(requirement, Waived | Informs):
            return Asked(NOT_APPLICABLE)
        assert isinstance(requirement, Unmodelled)
        return Asked(INFORMATION_MISSING)

    def _limit(self, limit: Limit) -> Asked:
        subject = str(limit.subject)
        given = self._source(limit.subject) if isinstance(limit.subject, str) else FREE
        if given is BEYOND:
            return Asked(ENGINEERING_REQUIRED)
        if limit.one_of is not None:
            return self._within(given, Bound(subject, one_of=frozenset(limit.one_of)))
        forms: dict[str, Form | None] = {"least": None, "most": None}
        for word, value in (
            ("least", limit.exactly or limit.least),
            ("most", limit.exactly or limit.most),
        ):
            if value is not None:
                figure = self.reader.value(value)
                special = _without_figure(figure)
                if special is not None:
                    return special
                assert isinstance(figure, Form)
                forms[word] = figure
        return self._within(given, Bound(subject, forms["least"], forms["most"]))

    def _within(self, given: object, bound: Bound) -> Asked:
        """Return what a bound asks; decided here where its subject is no input of a design."""
        if given is FREE:
            return Asked(COMPLIES, (bound,))
        if given is None:
            return Asked(INFORMATION_MISSING)
        met = bound.one_of is None or given in bound.one_of
        if isinstance(given, Form):
            met = (bound.least is None or self.view.at_most(bound.least, given)) and (
                bound.most is None or self.view.at_most(given, bound.most)
            )
        return Asked(COMPLIES, (replace(bound, decided=True),)) if met else Asked(DOES_NOT_COMPLY)

    # -- topics -------------------------------------------------------------------------------

    def topic(self, topic: Topic) -> Asked:
        """Return what all the clauses on a topic ask together.

        A value given to other clauses is part of it only where it answers the topic's question.
        """
        asked = [self._on(topic, clause) for clause in self.ruleset.topic_clauses(topic.name)]
        return self.together(asked) if asked else Asked(NOT_REGULATED)

    def _on(self, topic: Topic, clause: Clause) -> Asked:
        asked = self.clause(clause)
        answers = provided_quantity(clause) in topic.answered_by
        return asked if answers else replace(asked, provided=())

    def together(self, asked: list[Asked]) -> Asked:
        """Join what several ask: all of it must be met; the worst status counts."""
        if len(asked) == 1:
            return asked[0]
        if any(a.status == CONFLICT for a in asked):
            return Asked(CONFLICT)
        status = worst([a.status for a in asked])
        if status >= DOES_NOT_COMPLY:
            return Asked(status)
        bounds: dict[str, Bound] = {}
        for bound in (b for a in asked for b in a.bounds):
            before = bounds.get(bound.subject)
            bounds[bound.subject] = bound if before is None else self._tighter(before, bound)
        provided = tuple(dict.fromkeys(p for a in asked for p in a.provided))
        return Asked(status, tuple(bounds[s] for s in sorted(bounds)), provided)

    def _tighter(self, one: Bound, two: Bound) -> Bound:
        least, most = one.least or two.least, one.most or two.most
        if one.least is not None and two.least is not None:
            least = two.least if self.view.at_most(one.least, two.least) else one.least
        if one.most is not None and two.most is not None:
            most = one.most if self.view.at_most(one.most, two.most) else two.most
        options = one.one_of if two.one_of is None else two.one_of
        if one.one_of is not None and two.one_of is not None:
            options = one.one_of & two.one_of
        return Bound(one.subject, least, most, options, one.decided and two.decided)


def _without_figure(figure: Figure) -> Asked | None:
    """Return what is asked where there is no figure; None where there is one."""
    if figure is None:
        return Asked(INFORMATION_MISSING)
    if not isinstance(figure, Special):
        return None
    if figure is BEYOND:
        return Asked(ENGINEERING_REQUIRED)
    return Asked(DOES_NOT_COMPLY if figure is FORBIDDEN else INFORMATION_MISSING)


def topic_reads(ruleset: RuleSet, plan: Plan, topic: str) -> tuple[str, ...]:
    """Return every input that can bear on a topic: read by its clauses, or by what they read."""
    return topic_rests_on(ruleset, plan, topic)[0]


def topic_rests_on(
    ruleset: RuleSet, plan: Plan, topic: str
) -> tuple[tuple[str, ...], tuple[Clause, ...]]:
    """Return every input that can bear on a topic, and every clause: its own, and what they read."""
    providers: dict[str, list[Clause]] = {}
    for clause, quantity in zip(ruleset.clauses, plan.provides, strict=True):
        if quantity:
            providers.setdefault(quantity, []).append(clause)
    names: dict[str, None] = {}
    waiting = list(ruleset.topic_clauses(topic))
    seen: dict[str, Clause] = {}
    while waiting:
        clause = waiting.pop(0)
        if clause.key in seen:
            continue
        seen[clause.key] = clause
        for name in clause_reads(clause):
            names[name] = None
            waiting += providers.get(name, [])
    return tuple(names), tuple(seen.values())
