"""Build the graph of a whole rule set: clauses in order, each giving what the later ones read."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from msgspec import Struct

from deckclause.evaluate.columns.clauses import ClauseBuilder, Outcome
from deckclause.evaluate.columns.derive import Pair
from deckclause.evaluate.columns.forms import (
    NOTHING,
    UNKNOWN,
    Known,
    compare,
    constant,
    select,
)
from deckclause.evaluate.columns.graph import FALSE, TRUE, Graph, Unsupported
from deckclause.evaluate.columns.layout import Layout, Name, Shape, known_column
from deckclause.evaluate.plan import Plan
from deckclause.evaluate.scale import Scale
from deckclause.reading.fold import asks, nodes, reads
from deckclause.reading.forms import Holds, Limits, Member, Rule, Span
from deckclause.rulesets.clauses import Scalar
from deckclause.rulesets.ruleset import RuleSet
from deckclause.rulesets.vocabulary import QuantityDefinition


class Given(Struct, frozen=True):
    """A quantity clauses give: its value, where it is given, left to engineering, or spoken of.

    Where a clause has spoken of it, what the design states for it no longer counts.
    """

    value: Known
    given: int
    beyond: int
    spoken: int

    def known(self, graph: Graph, stated: Known) -> Known:
        """Return it as a fact; what the design states stands where no clause has spoken."""
        silent = graph.negate(self.spoken)
        merged = select(graph, [(self.given, self.value), (silent, stated)])
        unknown = graph.without(self.spoken, self.given, self.beyond)
        return Known(merged.form, graph.either(merged.none, unknown), self.beyond)


class Source(Struct, frozen=True):
    """What a columnar rule set is built from."""

    ruleset: RuleSet
    rules: tuple[Rule, ...]
    plan: Plan
    scale: Scale
    quantities: Mapping[str, QuantityDefinition]

    def groups(self) -> list[tuple[str, tuple[int, ...]]]:
        """Return clause indices by part of the deck, in the order they are evaluated."""
        return [("", self.plan.once), *self.plan.groups]

    def names(self) -> Iterable[Name]:
        """Yield the columns the rule set may read."""
        for group, order in self.groups():
            for index in order:
                rule = self.rules[index]
                for quantity in reads(rule):
                    yield group, quantity
                    yield "", quantity
                for node in nodes(rule):
                    if isinstance(node, Span):
                        yield group, (node.start, node.end)

    def pairs(self) -> dict[str, list[Pair]]:
        """Return the distances the rule set reads, by part of the deck."""
        found: dict[str, list[Pair]] = {}
        for group, what in self.names():
            if not isinstance(what, str):
                found.setdefault(group, []).append(what)
        return found


class RuleSetBuilder(ClauseBuilder):
    """Builds every clause of a rule set, or those of some topics and what they read."""

    def __init__(self, source: Source, layout: Layout) -> None:
        super().__init__(Graph(), source.scale, self._fact)
        self.quantities = source.quantities
        self.source = source
        self.shapes: dict[Name, Shape] = dict(layout.shapes)
        self.settings: dict[str, Scalar] = {s.quantity: s.value for s in source.ruleset.settings}
        self.given: dict[str, Given] = {}
        self.group = ""
        self.fault = FALSE

    def outputs(self, wanted: frozenset[int] | None = None) -> list[tuple[Any, tuple[int, ...]]]:
        """Build the clauses; return each one's masks by its index, and last where to fall back."""
        found: list[tuple[Any, tuple[int, ...]]] = []
        for group, order in self.source.groups():
            once = dict(self.given)
            self.group = group
            for index in order:
                outcome = self._clause(index)
                if wanted is None or index in wanted:
                    found.append((index, outcome.masks()))
            if group:
                self.given = once
        return [*found, (-1, (self.fault,))]

    def _clause(self, index: int) -> Outcome:
        rule = self.source.rules[index]
        outcome, fault = self.clause(rule)
        self.fault = self.graph.either(self.fault, fault)
        quantity = self.source.plan.provides[index]
        if not quantity:
            return outcome
        if quantity in self.settings:
            return Outcome(complies=TRUE)
        if any(isinstance(ask, Holds | Limits | Member) for ask in asks(rule)):
            raise Unsupported(f"{rule.clause.key} gives a value in one case and a limit in another")
        self._give(quantity, outcome)
        return outcome

    def _give(self, quantity: str, outcome: Outcome) -> None:
        graph = self.graph
        before = self.given.get(quantity, Given(Known(NOTHING), FALSE, FALSE, FALSE))
        value = outcome.provided or Known(NOTHING)
        again = graph.both(outcome.complies, before.given)
        if again != FALSE:
            same = compare(graph, value.form, "==", before.value.form)
            self.fault = graph.either(self.fault, graph.without(again, same))
        merged = select(
            graph,
            [
                (outcome.complies, value),
                (graph.without(before.given, outcome.complies), before.value),
            ],
        )
        given = graph.either(before.given, outcome.complies)
        kept = graph.without(before.beyond, outcome.missing)
        lacked = graph.without(before.spoken, before.given, before.beyond)
        beyond = graph.without(graph.either(outcome.engineering, kept), given, lacked)
        spoken = graph.either(before.spoken, given, outcome.engineering, outcome.missing)
        self.given[quantity] = Given(merged, given, beyond, spoken)

    # -- facts ------------------------------------------------------------------------------------

    def _fact(self, quantity: str) -> Known:
        if quantity in self.settings:
            kind = self.quantities[quantity].kind
            return constant(self.ticks(self.settings[quantity], kind))
        stated = self._stated(quantity)
        if quantity in self.given:
            return self.given[quantity].known(self.graph, stated)
        return stated

    def _stated(self, quantity: str) -> Known:
        definition = self.quantities[quantity]
        for group in dict.fromkeys((self.group, "")):
            shape = self.shapes.get((group, quantity))
            if shape is not None:
                ticks = self.scale.of(definition.kind)
                return known_column(self.graph, (group, quantity), shape, ticks)
        return UNKNOWN

    def distance(self, span: Span) -> Known:
        """Return the column of a distance, as the design fixes it."""
        name: Name = (self.group, (span.start, span.end))
        return known_column(self.graph, name, self.shapes.get(name), self.scale.of("length"))
