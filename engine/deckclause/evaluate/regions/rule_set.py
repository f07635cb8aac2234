"""What a rule set asks on a topic, all over a region."""

from __future__ import annotations

from msgspec.structs import replace

from deckclause.evaluate.plan import Plan, provided_quantity
from deckclause.evaluate.regions.asked import Asked, together
from deckclause.evaluate.regions.linear import Form
from deckclause.evaluate.regions.reader import FREE, RegionReader
from deckclause.evaluate.regions.view import View
from deckclause.evaluate.status import (
    COMPLIES,
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
    NOT_REGULATED,
)
from deckclause.reading.lower import Lowered
from deckclause.reading.special import BEYOND
from deckclause.rulesets.clauses import Clause, Scalar
from deckclause.rulesets.ruleset import RuleSet
from deckclause.rulesets.vocabulary import Topic
from deckclause.rulesets.walk import clause_reads


class RuleSetReader:
    """Reads one rule set's clauses on one region; `lowered` has them in the form they are read in.

    `like` is a reader of the same rule set on the same region: what it found to be provided there
    is not worked out again.
    """

    def __init__(
        self,
        ruleset: RuleSet,
        plan: Plan,
        lowered: Lowered,
        view: View,
        like: RuleSetReader | None = None,
    ) -> None:
        self.ruleset = ruleset
        self.lowered = lowered
        self.view = view
        self.reader = RegionReader(view, self.source)
        self._given: dict[str, object] = {} if like is None else like._given
        self._settings: dict[str, Scalar] = (
            {s.quantity: s.value for s in ruleset.settings} if like is None else like._settings
        )
        self._providers: dict[str, list[Clause]] = {} if like is None else like._providers
        if like is None:
            for clause, quantity in zip(ruleset.clauses, plan.provides, strict=True):
                if quantity:
                    self._providers.setdefault(quantity, []).append(clause)

    def source(self, name: str) -> object:
        """Return what clauses or the place give for a quantity; FREE where it is an input."""
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

    def clause(self, clause: Clause) -> Asked:
        """Return what one clause asks."""
        return self.reader.clause(self.lowered.rule(clause)).outcome

    def topic(self, topic: Topic) -> Asked:
        """Return what all the clauses on a topic ask together.

        A value given to other clauses is part of it only where it answers the topic's question.
        """
        asked = [self._on(topic, clause) for clause in self.ruleset.topic_clauses(topic.name)]
        return together(self.view, asked) if asked else Asked(NOT_REGULATED)

    def _on(self, topic: Topic, clause: Clause) -> Asked:
        asked = self.clause(clause)
        answers = provided_quantity(clause) in topic.answered_by
        return asked if answers else replace(asked, provided=())


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
