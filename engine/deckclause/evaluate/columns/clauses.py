"""Build the graph of a lowered clause: where it comes to each status.

Each clause ends in masks that exclude one another: not applicable, information missing,
engineering required, does not comply; the rows left comply.
"""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from deckclause.evaluate.columns.forms import Known, among, compare, select, unreal
from deckclause.evaluate.columns.graph import FALSE, TRUE
from deckclause.evaluate.columns.values import ValueBuilder
from deckclause.reading import forms
from deckclause.reading.forms import Rule
from deckclause.reading.status import Status

NOT_APPLIES, COMPLIES, _, ENGINEERING, FAILS = range(5)
"""The places of an outcome's masks, the mildest first."""


class Outcome(Struct, frozen=True):
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

    # -- requirements -----------------------------------------------------------------------------

    def requirement(self, ask: forms.Ask) -> Outcome:
        """Build a requirement, as though nothing stood before it."""
        before, self.ended = self.ended, FALSE
        outcome = self._ask(ask)
        ended, self.ended = self.ended, before
        if ended == FALSE:
            return outcome
        graph = self.graph
        not_applicable, complies, missing, _, fails = (
            graph.without(mask, ended) for mask in outcome.masks()
        )
        engineering = graph.either(ended, outcome.engineering)
        return Outcome(not_applicable, complies, missing, engineering, fails, outcome.provided)

    def _ask(self, ask: forms.Ask) -> Outcome:
        match ask:
            case forms.Limits():
                return self._limits(ask)
            case forms.Member(subject, options):
                fact = self.value(subject, subject.kind, TRUE)
                return self._held(fact, among(self.graph, fact.form, options), TRUE)
            case forms.Holds(condition, wanted):
                sure, may = self.condition(condition, TRUE)
                never, unsure = self.graph.negate(may), self.graph.without(may, sure)
                good, bad = (sure, never) if wanted else (never, sure)
                return Outcome(complies=good, missing=unsure, fails=bad)
            case forms.Gives(_, value, kind):
                return self._gives(value, kind)
            case forms.Settled(status, _, _):
                return Outcome(
                    not_applicable=TRUE if status is Status.NOT_APPLICABLE else FALSE,
                    missing=TRUE if status is Status.INFORMATION_MISSING else FALSE,
                    engineering=TRUE if status is Status.ENGINEERING_REQUIRED else FALSE,
                )

    def _gives(self, value: forms.Value, kind: str) -> Outcome:
        graph = self.graph
        figure = self.value(value, kind, TRUE)
        missing = graph.either(figure.none, figure.unseen)
        complies = graph.without(TRUE, unreal(graph, figure))
        return Outcome(
            FALSE, complies, missing, figure.beyond, figure.forbidden, Known(figure.form)
        )

    def _limits(self, limit: forms.Limits) -> Outcome:
        graph = self.graph
        kind = limit.subject.kind
        fact = self.value(limit.subject, kind, TRUE)
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

    def _bounds(self, limit: forms.Limits) -> list[tuple[forms.Value, str]]:
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

    def clause(self, rule: Rule) -> tuple[Outcome, int]:
        """Build a clause; also return where two of its exceptions fire together."""
        graph = self.graph
        self.ended = FALSE
        applies, may_apply = self.condition(rule.applies, TRUE)
        scope, may_scope = self.condition(rule.scope, applies)
        inside = graph.both(applies, scope)
        fault = FALSE
        if rule.exceptions:
            outcome, fault = self._with_exceptions(rule, inside)
        elif rule.readings:
            outcome = self._with_readings(rule)
        else:
            outcome = self.requirement(rule.own)
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

    def _with_readings(self, rule: Rule) -> Outcome:
        """Let the gravest reading govern; of readings alike, the first."""
        graph = self.graph
        chosen, unsettled = self.requirement(rule.own), FALSE
        for ask in rule.readings:
            other = self.requirement(ask)
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

    def _with_exceptions(self, rule: Rule, inside: int) -> tuple[Outcome, int]:
        """Let the exception that fires govern; where one may fire, only a status they share counts."""
        graph = self.graph
        base = self.requirement(rule.own)
        fired: list[int] = []
        unsure: list[int] = []
        fault = FALSE
        for when, _ in rule.exceptions:
            sure, may = self.condition(when, inside)
            fault = graph.either(fault, *(graph.both(sure, other) for other in fired))
            fired.append(sure)
            unsure.append(graph.without(may, sure))
        others = [self.requirement(ask) for _, ask in rule.exceptions]
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
