"""Build the graph of a clause: the columnar counterpart of generate.py.

Each clause ends in masks that exclude one another: not applicable, information missing,
engineering required, does not comply; the rows left comply.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from deckclause.evaluate.columns.forms import Known, among, compare, select, unreal
from deckclause.evaluate.columns.graph import FALSE, TRUE
from deckclause.evaluate.columns.values import ValueBuilder
from deckclause.rulesets.clauses import (
    Clause,
    Distance,
    Informs,
    Limit,
    MustBe,
    NeedsEngineering,
    NotPermitted,
    Provides,
    Requirement,
    Unmodelled,
    Value,
    Waived,
)

NOT_APPLIES, COMPLIES, _, ENGINEERING, FAILS = range(5)
"""The places of an outcome's masks, the mildest first."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """Where a requirement or a clause comes to each status, and the value it provides."""

    not_applicable: int = FALSE
    complies: int = FALSE
    missing: int = FALSE
    engineering: int = FALSE
    fails: int = FALSE
    provided: Known | None = None

    def masks(self) -> tuple[int, int, int, int, int]:
        """Return the masks in the order of the statuses, the mildest first (evaluate/status.py)."""
        return self.not_applicable, self.complies, self.missing, self.engineering, self.fails


class ClauseBuilder(ValueBuilder):
    """Builds clauses on the facts of one part of the deck."""

    def distance(self, distance: Distance) -> Known:
        """Return the distance between two datums; the rule set's builder knows where it is."""
        raise NotImplementedError

    # -- requirements -----------------------------------------------------------------------------

    def requirement(self, requirement: Requirement) -> Outcome:
        """Build a requirement, as though nothing stood before it."""
        before, self.ended = self.ended, FALSE
        outcome = self._requirement(requirement)
        ended, self.ended = self.ended, before
        if ended == FALSE:
            return outcome
        graph = self.graph
        not_applicable, complies, missing, _, fails = (
            graph.without(mask, ended) for mask in outcome.masks()
        )
        engineering = graph.either(ended, outcome.engineering)
        return Outcome(not_applicable, complies, missing, engineering, fails, outcome.provided)

    def _requirement(self, requirement: Requirement) -> Outcome:
        graph = self.graph
        if isinstance(requirement, Limit):
            return self._limit(requirement)
        if isinstance(requirement, MustBe | NotPermitted):
            sure, may = self.condition(requirement.condition, TRUE)
            never = graph.negate(may)
            unsure = graph.without(may, sure)
            if isinstance(requirement, MustBe):
                return Outcome(complies=sure, missing=unsure, fails=never)
            return Outcome(complies=never, missing=unsure, fails=sure)
        if isinstance(requirement, Provides):
            kind = self.quantities[requirement.quantity].kind
            figure = self.value(requirement.value, kind, TRUE)
            missing = graph.either(figure.none, figure.unseen)
            complies = graph.without(TRUE, unreal(graph, figure))
            return Outcome(
                FALSE, complies, missing, figure.beyond, figure.forbidden, Known(figure.form)
            )
        if isinstance(requirement, NeedsEngineering):
            return Outcome(engineering=TRUE)
        if isinstance(requirement, Waived | Informs):
            return Outcome(not_applicable=TRUE)
        assert isinstance(requirement, Unmodelled)
        return Outcome(missing=TRUE)

    def _limit(self, limit: Limit) -> Outcome:
        graph = self.graph
        if isinstance(limit.subject, Distance):
            fact, kind = self.distance(limit.subject), "length"
        else:
            fact = self.read(limit.subject, TRUE)
            kind = self.quantities[limit.subject].kind
        if limit.one_of is not None:
            holds = among(graph, fact.form, limit.one_of)
            return self._held(fact, holds, TRUE)
        open_rows = TRUE
        missing = engineering = fails = FALSE
        checks: list[int] = []
        for bound, operation in self._bounds(limit):
            figure = self.value(bound, kind, open_rows)
            unknown = graph.either(figure.none, figure.unseen)
            missing = graph.either(missing, graph.both(open_rows, unknown))
            engineering = graph.either(engineering, graph.both(open_rows, figure.beyond))
            fails = graph.either(fails, graph.both(open_rows, figure.forbidden))
            open_rows = graph.without(open_rows, unreal(graph, figure))
            checks.append(compare(graph, fact.form, operation, figure.form))
        held = self._held(fact, graph.both(*checks), open_rows)
        return Outcome(
            complies=held.complies,
            missing=graph.either(missing, held.missing),
            engineering=engineering,
            fails=graph.either(fails, held.fails),
        )

    def _bounds(self, limit: Limit) -> list[tuple[Value, str]]:
        if limit.exactly is not None:
            return [(limit.exactly, "==")]
        bounds = ((limit.least, ">="), (limit.most, "<="))
        return [(bound, operation) for bound, operation in bounds if bound is not None]

    def _held(self, fact: Known, holds: int, rows: int) -> Outcome:
        graph = self.graph
        known = graph.without(rows, fact.none)
        return Outcome(
            complies=graph.both(known, holds),
            missing=graph.both(rows, fact.none),
            fails=graph.without(known, holds),
        )

    # -- clauses ----------------------------------------------------------------------------------

    def clause(self, clause: Clause) -> tuple[Outcome, int]:
        """Build a clause; also return where two of its exceptions fire together."""
        graph = self.graph
        self.ended = FALSE
        applies, may_apply = self.condition(clause.applies, TRUE)
        scope, may_scope = self.condition(clause.scope, applies)
        inside = graph.both(applies, scope)
        fault = FALSE
        if clause.exceptions:
            outcome, fault = self._with_exceptions(clause, inside)
        elif clause.readings:
            outcome = self._with_readings(clause)
        else:
            outcome = self.requirement(clause.requirement)
        unsure = graph.either(
            graph.without(may_apply, applies),
            graph.both(applies, graph.without(may_scope, scope)),
        )
        ended = self.ended
        plain = [graph.without(graph.both(inside, mask), ended) for mask in outcome.masks()]
        outside = graph.either(graph.without(applies, may_scope), ended)
        return (
            Outcome(
                not_applicable=graph.either(graph.without(TRUE, may_apply, ended), plain[0]),
                complies=plain[1],
                missing=graph.either(graph.without(unsure, ended), plain[2]),
                engineering=graph.either(outside, plain[3]),
                fails=plain[4],
                provided=outcome.provided,
            ),
            graph.both(inside, fault),
        )

    def _with_readings(self, clause: Clause) -> Outcome:
        """Let the gravest reading govern; of readings alike, the first."""
        graph = self.graph
        chosen, unsettled = self.requirement(clause.requirement), FALSE
        for reading in clause.readings:
            other = self.requirement(reading.requirement)
            ranks, others = chosen.masks(), other.masks()
            graver = graph.either(
                *(
                    graph.both(mask, graph.either(*others[rank + 1 :]))
                    for rank, mask in enumerate(ranks)
                )
            )
            alike = self._gives_alike(chosen, other, COMPLIES)
            open_rows = graph.without(graph.both(chosen.complies, other.complies), alike)
            chosen = self._choose([(graph.negate(graver), chosen), (graver, other)])
            unsettled = graph.either(unsettled, open_rows)
        return replace(
            chosen,
            complies=graph.without(chosen.complies, unsettled),
            missing=graph.either(chosen.missing, graph.both(chosen.complies, unsettled)),
        )

    def _gives_alike(self, one: Outcome, two: Outcome, status: int) -> int:
        """Return where two branches that give a value give the same; everywhere for other statuses."""
        if status != COMPLIES or one.provided is None or two.provided is None:
            return TRUE
        return compare(self.graph, one.provided.form, "==", two.provided.form)

    def _choose(self, items: list[tuple[int, Outcome]]) -> Outcome:
        graph = self.graph
        not_applicable, complies, missing, engineering, fails = (
            graph.either(*(graph.both(m, outcome.masks()[i]) for m, outcome in items))
            for i in range(5)
        )
        given = [(m, o.provided) for m, o in items if o.provided is not None]
        provided = select(graph, given) if given else None
        return Outcome(not_applicable, complies, missing, engineering, fails, provided)

    def _with_exceptions(self, clause: Clause, inside: int) -> tuple[Outcome, int]:
        """Let the exception that fires govern; where one may fire, only a status they share counts."""
        graph = self.graph
        base = self.requirement(clause.requirement)
        fired: list[int] = []
        unsure: list[int] = []
        fault = FALSE
        for exception in clause.exceptions:
            sure, may = self.condition(exception.when, inside)
            fault = graph.either(fault, *(graph.both(sure, other) for other in fired))
            fired.append(sure)
            unsure.append(graph.without(may, sure))
        others = [self.requirement(e.requirement) for e in clause.exceptions]
        none_fired = graph.negate(graph.either(*fired))
        chosen = self._choose([(none_fired, base), *zip(fired, others, strict=True)])
        agreed = [
            graph.both(
                chosen.masks()[status],
                *(
                    graph.either(
                        graph.negate(open_rows),
                        graph.both(other.masks()[status], self._gives_alike(chosen, other, status)),
                    )
                    for open_rows, other in zip(unsure, others, strict=True)
                ),
            )
            for status in (NOT_APPLIES, COMPLIES, ENGINEERING, FAILS)
        ]
        missing = graph.negate(graph.either(*agreed))
        return (
            Outcome(agreed[0], agreed[1], missing, agreed[2], agreed[3], chosen.provided),
            fault,
        )
