"""The whole question: which sizes comply under every rule set asked, and what keeps the others out."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from deckclause.choosing.lumber import TakeOff, least_lumber, take_off
from deckclause.choosing.members import Choice, Variable, with_choice
from deckclause.choosing.prices import PriceList
from deckclause.choosing.search import Cost, CostOf, Search, conflicting
from deckclause.choosing.tables import ClauseTable, Verdict, clause_tables
from deckclause.designs.design import Design
from deckclause.designs.together.whole import states_whole_deck, worked_out
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.evaluator import Evaluator
from deckclause.evaluate.findings import Evaluation, Finding, evaluate
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.status import (
    DOES_NOT_COMPLY,
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
    worst,
)
from deckclause.evaluate.together import holds_together
from deckclause.rulesets.clauses import Clause, Scalar

MEMBER_TERMS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("joists", ("joists.size", "joists.spacing", "joists.cantilever")),
    ("ledger", ("ledger.size",)),
    ("beams", ("beams.size",)),
    ("posts", ("posts.size",)),
    ("footings", ("footings.diameter", "footings.side")),
    ("fasteners", ("fasteners.kind", "fasteners.spacing")),
)
"""What each member's cost depends on."""
NEXT_BEST = 3
FINISHING = ("fasteners.spacing", "footings.diameter", "footings.side")
"""Choices that do not by themselves make another solution: the least of each is taken."""


@dataclass(frozen=True, slots=True)
class Solution:
    """One combination that every clause asked allows, and what it takes."""

    choice: Choice
    taken: TakeOff
    price: Fraction | None


@dataclass(frozen=True, slots=True)
class Excluded:
    """An option of the best combination's other choices that cannot be, and the clauses that bar it.

    `alone` tells whether each of the clauses bars it whatever else is chosen; else it is barred
    with the other members as chosen.
    """

    quantity: str
    option: Scalar
    by: tuple[tuple[str, Clause, str], ...]
    alone: bool


@dataclass(frozen=True, slots=True)
class Undecided:
    """A topic of the members chosen that the best combination leaves open under one rule set.

    `missing` names facts the design does not state; with none, print was not seen or not modelled,
    or an engineer decides: there the size is chosen by the other rule sets alone.
    """

    ruleset: str
    finding: Finding
    missing: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Chosen:
    """What can be chosen for a deck under several rule sets."""

    design: Design
    names: tuple[str, ...]
    variables: tuple[Variable, ...]
    solutions: tuple[Solution, ...]
    excluded: tuple[Excluded, ...]
    undecided: tuple[Undecided, ...]
    conflicts: tuple[tuple[str, ...], ...]
    evaluations: tuple[Evaluation, ...]
    """The best combination evaluated whole under each rule set; empty where there is none."""
    still_fails: tuple[tuple[str, str], ...]
    """(rule set, topic) that fails whatever is chosen."""
    unpriced: tuple[str, ...] = ()
    unsure: frozenset[str] = frozenset()
    """Choices that some clause does not decide as chosen: not stated, not seen, or an engineer's."""

    @property
    def exit_status(self) -> int:
        """0 a choice that complies on everything it decides, 1 nothing fits or something else fails, 3 open."""
        if not self.solutions or self.still_fails:
            return 1
        return 3 if self.undecided else 0


def choose(
    catalogue: Catalogue,
    design: Design,
    names: Sequence[str],
    chosen: Sequence[Variable],
    prices: PriceList | None = None,
) -> Chosen:
    """Choose every member at once: the least lumber, or the least cost by a price list.

    Exact over the options of `chosen`: every clause of every rule set that depends on them is
    evaluated on every combination of those it depends on. Raises InputError for a name that is none.
    """
    evaluators = [catalogue.evaluator(name) for name in names]
    asked = tuple(e.ruleset.name for e in evaluators)
    tables = clause_tables(design, chosen, evaluators, catalogue.prepare)
    together = catalogue.coherence()
    if together is not None:  # whatever is chosen must hold together, in every town

        def prepare(deck: Design) -> PreparedDesign:
            return catalogue.prepare(worked_out(deck))

        tables = (*tables, *clause_tables(design, chosen, [together], prepare))
    cost = _cost(design, chosen, prices)
    search = Search(chosen, tables, cost)
    kinds = [v.quantity for v in chosen if v.quantity not in FINISHING]
    best = search.best(1 + NEXT_BEST, kinds)
    solutions = tuple(_solution(design, choice, prices) for choice in best)
    always = [t for t in tables if t.ruleset not in asked]
    by_ruleset = {name: [t for t in tables if t.ruleset == name] for name in asked}
    conflicts = () if best else conflicting(chosen, by_ruleset, always, cost)
    evaluations: tuple[Evaluation, ...] = ()
    if best:
        ready = catalogue.prepare(with_choice(design, best[0]))
        evaluations = tuple(evaluate(ready, e, catalogue.vocabulary) for e in evaluators)
        stands = holds_together(catalogue, ready) if states_whole_deck(ready.design) else None
        evaluations = evaluations if stands is None else (*evaluations, stands)
        _hold_to(evaluations, tables, best[0])
    return Chosen(
        design,
        asked,
        tuple(chosen),
        solutions,
        _excluded(chosen, tables, best[0] if best else None),
        _undecided(
            _topics_of(chosen, [*evaluators, *([together] if together else [])]), evaluations
        ),
        conflicts,
        evaluations,
        _still_failing(evaluations),
        _unpriced(solutions, prices),
        _unsure(tables, best[0], evaluations) if best else frozenset(),
    )


def _hold_to(
    evaluations: Sequence[Evaluation], tables: Sequence[ClauseTable], best: Choice
) -> None:
    """Raise RuntimeError where a clause, evaluated on the deck as chosen, is not what was counted on."""
    whole: dict[tuple[str, str], list[int]] = {}
    for evaluation in evaluations:
        for finding in evaluation.findings:
            key = (evaluation.ruleset.name, finding.clause.key)
            whole.setdefault(key, []).append(finding.status)
    for table in tables:
        found = whole.get((table.ruleset, table.clause.key))
        counted_on = table.verdicts[tuple(best[n] for n in table.scope)].status
        if found is not None and worst(found) != counted_on:
            raise RuntimeError(f"{table.ruleset}, {table.clause.key}: the deck as chosen differs")


def _unsure(
    tables: Sequence[ClauseTable], best: Choice, evaluations: Sequence[Evaluation]
) -> frozenset[str]:
    """Return the choices that a clause leaves open: one that depends on them, or on their topic.

    A table that was not seen depends on nothing; what it would decide is known from the same topic
    under the other rule sets.
    """
    open_statuses = (ENGINEERING_REQUIRED, INFORMATION_MISSING)
    topics = {f.topic for e in evaluations for f in e.findings if f.status in open_statuses}
    return frozenset(
        name
        for table in tables
        if table.clause.topic in topics
        or table.verdicts[tuple(best[n] for n in table.scope)].status in open_statuses
        for name in table.scope
        if _deciding(table, name)
    )


def _deciding(table: ClauseTable, name: str) -> bool:
    """Tell whether a choice changes what the clause comes to, the others as they are."""
    place = table.scope.index(name)
    seen: dict[tuple[Scalar, ...], Verdict] = {}
    for values, verdict in table.verdicts.items():
        others = (*values[:place], *values[place + 1 :])
        if seen.setdefault(others, verdict) != verdict:
            return True
    return table.undecided_throughout


def _cost(design: Design, chosen: Sequence[Variable], prices: PriceList | None) -> CostOf:
    opened = {v.quantity for v in chosen}
    terms: list[tuple[tuple[str, ...], Callable[[Choice], Cost]]] = []
    for member, names in MEMBER_TERMS:
        mine = tuple(n for n in names if n in opened)

        def term(choice: Choice, member: str = member, mine: tuple[str, ...] = mine) -> Cost:
            picked = {n: choice[n] for n in mine if n in choice}
            return _member_cost(take_off(design, picked, member), prices)

        terms.append((mine, term))
    length = 3 if prices is None else 4
    return CostOf(terms, length)


def _member_cost(taken: TakeOff, prices: PriceList | None) -> Cost:
    lumber = least_lumber(taken)
    return lumber if prices is None else (prices.cost(taken)[0], *lumber)


def _solution(design: Design, choice: Choice, prices: PriceList | None) -> Solution:
    taken = take_off(design, choice)
    return Solution(choice, taken, None if prices is None else prices.cost(taken)[0])


def _unpriced(solutions: Sequence[Solution], prices: PriceList | None) -> tuple[str, ...]:
    if prices is None or not solutions:
        return ()
    return prices.cost(solutions[0].taken)[1]


def _topics_of(chosen: Sequence[Variable], evaluators: Sequence[Evaluator]) -> frozenset[str]:
    """Return the topics whose clauses read anything of a member that is chosen."""
    members = {variable.quantity.split(".")[0] for variable in chosen}
    return frozenset(
        clause.topic
        for evaluator in evaluators
        for clause, reads in zip(evaluator.ruleset.clauses, evaluator.plan.reads, strict=True)
        if any(name.split(".")[0] in members for name in reads)
    )


def _undecided(topics: frozenset[str], evaluations: Sequence[Evaluation]) -> tuple[Undecided, ...]:
    """Return what the best combination leaves open on the topics of the members chosen."""
    found: dict[tuple[str, str, tuple[str, ...]], Undecided] = {}
    for evaluation in evaluations:
        for finding in evaluation.findings:
            if finding.topic in topics and finding.status in (
                ENGINEERING_REQUIRED,
                INFORMATION_MISSING,
            ):
                missing = tuple(str(name) for name in finding.missing)
                name = evaluation.ruleset.name
                found.setdefault((name, finding.topic, missing), Undecided(name, finding, missing))
    return tuple(found.values())


def _excluded(
    chosen: Sequence[Variable], tables: Sequence[ClauseTable], best: Choice | None
) -> tuple[Excluded, ...]:
    found = []
    for variable in chosen:
        for option in variable.options:
            if best is not None and best[variable.quantity] == option:
                continue
            excluded = _bars(variable.quantity, option, tables, best)
            if excluded is not None:
                found.append(excluded)
    return tuple(found)


def _bars(
    quantity: str, option: Scalar, tables: Sequence[ClauseTable], best: Choice | None
) -> Excluded | None:
    """Return what bars an option: alone, whatever else is chosen, or beside the other members chosen."""
    mine = [t for t in tables if quantity in t.scope]
    alone = [t for t in mine if not any(t.allows(v) for v in _with(t, quantity, option))]
    if alone:
        by = tuple((t.ruleset, t.clause, _why(t, _with(t, quantity, option))) for t in alone)
        return Excluded(quantity, option, by, True)
    if best is None:
        return None
    beside = {**best, quantity: option}
    barred = [t for t in mine if not t.allows(tuple(beside[n] for n in t.scope))]
    if not barred:
        return None
    by = tuple((t.ruleset, t.clause, _why(t, [tuple(beside[n] for n in t.scope)])) for t in barred)
    return Excluded(quantity, option, by, False)


def _with(table: ClauseTable, quantity: str, option: Scalar) -> list[tuple[Scalar, ...]]:
    place = table.scope.index(quantity)
    return [values for values in table.verdicts if values[place] == option]


def _why(table: ClauseTable, values: Sequence[tuple[Scalar, ...]]) -> str:
    statuses = {table.verdicts[v].status for v in values}
    return "fails" if DOES_NOT_COMPLY in statuses else "not decided"


def _still_failing(evaluations: Sequence[Evaluation]) -> tuple[tuple[str, str], ...]:
    failing: Mapping[tuple[str, str], None] = dict.fromkeys(
        (e.ruleset.name, f.topic)
        for e in evaluations
        for f in e.findings
        if f.status == DOES_NOT_COMPLY
    )
    return tuple(failing)
