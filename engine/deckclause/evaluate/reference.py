"""A whole rule set read clause by clause on exact facts, by the reference reader.

What the printed functions do in ticks, done plainly: clauses that give a quantity come before those
that read it, a clause on a repeated part is read once for each part. Used to explain a finding (the
trace of one clause on the facts it had) and to hold every fast path to.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from msgspec import Struct, field
from msgspec.structs import replace

from deckclause.designs.geometry import known_distances
from deckclause.evaluate.plan import Plan, two_values
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.reading.exact import Distances, read_clause
from deckclause.reading.forms import SET_BY_PLACE, Every, Rule
from deckclause.reading.lower import lower
from deckclause.reading.special import BEYOND
from deckclause.reading.status import COMPLIES, ENGINEERING_REQUIRED, INFORMATION_MISSING
from deckclause.reading.trace import Missing, Outcome, Step, Trace
from deckclause.rulesets.clauses import Scalar
from deckclause.rulesets.ruleset import RuleSet
from deckclause.rulesets.vocabulary import QuantityDefinition


class Given(Struct, dict=True):
    """The facts clauses read: stated, set by the place, and given by clauses so far.

    `lacking` tells what the quantities that no clause could give were lacking, `valued` which
    quantities were given a value.
    """

    facts: dict[str, Any]
    lacking: dict[str, tuple[Missing, ...]] = field(default_factory=dict)
    valued: set[str] = field(default_factory=set)

    @property
    def known(self) -> dict[str, Any]:
        """The facts that are known: neither open nor without a figure here."""
        return {n: v for n, v in self.facts.items() if v is not None and v is not BEYOND}

    def of_part(self, facts: Mapping[str, Any]) -> Given:
        """Return a copy for one part, whose own facts count where the whole has none."""
        return Given({**facts, **self.facts}, dict(self.lacking), set(self.valued))

    def read(self, rule: Rule, distances: Distances) -> Trace[Outcome]:
        """Read a clause; what is missing is named to its root."""
        trace = read_clause(rule, self.facts, distances)
        outcome = self.resolved(trace.outcome)
        return trace if outcome is trace.outcome else replace(trace, outcome=outcome)

    def give(self, quantity: str, outcome: Outcome) -> bool:
        """Take in what a clause that gives a quantity came to; False for a second, other value.

        Of several clauses it does not matter which is read first: a value stands; without one, what
        one of them lacks keeps it open, though another leaves it to engineering.
        """
        status = outcome.status
        if status is COMPLIES:
            if quantity in self.valued and self.facts[quantity] != outcome.value:
                return False
            self.facts[quantity] = outcome.value
            self.valued.add(quantity)
        elif quantity not in self.valued and status is ENGINEERING_REQUIRED:
            if self.facts.get(quantity, BEYOND) is not None:
                self.facts[quantity] = BEYOND
        elif quantity not in self.valued and status is INFORMATION_MISSING:
            self.facts[quantity] = None
        if status is INFORMATION_MISSING and outcome.missing:
            known = self.lacking.get(quantity, ())
            self.lacking[quantity] = tuple(dict.fromkeys((*known, *outcome.missing)))
        return True

    def resolved(self, outcome: Outcome) -> Outcome:
        """Name what a missing quantity was lacking in its turn."""
        if not self.lacking or outcome.status is not INFORMATION_MISSING:
            return outcome
        names: dict[Missing, None] = {}
        for name in outcome.missing:
            through = self.lacking.get(name, (name,)) if isinstance(name, str) else (name,)
            names.update(dict.fromkeys(through))
        return replace(outcome, missing=tuple(names))


class ReferenceRow(Struct, frozen=True, dict=True):
    """One clause read for one part of the deck."""

    index: int
    part: str
    trace: Trace[Outcome]

    @property
    def outcome(self) -> Outcome:
        """What the clause comes to."""
        return self.trace.outcome


class ReferenceEvaluator:
    """Reads a rule set's clauses on designs. Slow and plain; nothing is kept between designs."""

    def __init__(
        self, ruleset: RuleSet, plan: Plan, quantities: Mapping[str, QuantityDefinition]
    ) -> None:
        self.ruleset = ruleset
        self.plan = plan
        self.rules = tuple(lower(clause, quantities) for clause in ruleset.clauses)
        self.settings: dict[str, Scalar] = {s.quantity: s.value for s in ruleset.settings}

    def rows(self, design: PreparedDesign) -> list[ReferenceRow]:
        """Return every clause's trace on a design.

        Raises ExceptionsConflict, or InputError where two clauses give a quantity two values.
        """
        once = Given({**design.facts(), **self.settings})
        distances = known_distances(design.facts())
        rows = list(self._run("", self.plan.once, distances, once))
        for group, order in self.plan.groups:
            for name, facts in design.named_parts(group):
                rows += self._run(name, order, known_distances(facts), once.of_part(facts))
        return rows

    def _run(
        self, part: str, order: tuple[int, ...], distances: Distances, given: Given
    ) -> Iterator[ReferenceRow]:
        for index in order:
            quantity = self.plan.provides[index]
            if quantity in self.settings:
                yield ReferenceRow(index, part, self._set(self.rules[index], quantity))
                continue
            trace = given.read(self.rules[index], distances)
            if quantity and not given.give(quantity, trace.outcome):
                raise two_values(self.ruleset.clauses[index], quantity)
            yield ReferenceRow(index, part, trace)

    def _set(self, rule: Rule, quantity: str) -> Trace[Outcome]:
        outcome = Outcome(COMPLIES, self.settings[quantity])
        return Trace(rule, outcome, SET_BY_PLACE, Step(Every(()), True))
