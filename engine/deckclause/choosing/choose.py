"""The whole question: which sizes comply under every rule set asked, and what keeps the others out."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction
from functools import partial

from msgspec import Struct

from deckclause.choosing.excluded import Excluded, excluded_options
from deckclause.choosing.lumber import TakeOff, least_lumber, take_off
from deckclause.choosing.members import DROP, Choice, Variable, as_drawn, with_choice
from deckclause.choosing.prices import PriceList
from deckclause.choosing.rows import with_most_room
from deckclause.choosing.search import Cost, CostOf, Search, conflicting
from deckclause.choosing.tables import ClauseTable, clause_tables, tables_at
from deckclause.choosing.unsettled import (
    Silent,
    Undecided,
    decided,
    silent,
    topics_of,
    undecided,
    unsure,
)
from deckclause.designs.design import Design
from deckclause.designs.together.whole import states_whole_deck, worked_out
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.evaluator import Evaluator
from deckclause.evaluate.findings import Evaluation, evaluate
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.status import DOES_NOT_COMPLY, worst
from deckclause.evaluate.together import holds_together

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
APART = ("joists.size", "joists.spacing", "joists.cantilever", "beams.size", "posts.size", "ledger.size", "fasteners.kind")  # fmt: skip
"""Choices that make another solution; of all others the least is taken, or what is named first."""


class Solution(Struct, frozen=True):
    """One combination that every clause asked allows, and what it takes."""

    choice: Choice
    taken: TakeOff
    price: Fraction | None


class Chosen(Struct, frozen=True):
    """What can be chosen for a deck under several rule sets."""

    design: Design
    names: tuple[str, ...]
    variables: tuple[Variable, ...]
    left: tuple[Variable, ...]
    """What none of the rule sets decides: it stays as the design has it."""
    solutions: tuple[Solution, ...]
    excluded: tuple[Excluded, ...]
    undecided: tuple[Undecided, ...]
    silent: tuple[Silent, ...]
    conflicts: tuple[tuple[str, ...], ...]
    evaluations: tuple[Evaluation, ...]
    """The best combination evaluated whole under each rule set; empty where there is none."""
    still_fails: tuple[tuple[str, str], ...]
    """(rule set, topic) that fails whatever is chosen."""
    unpriced: tuple[str, ...] = ()
    unsure: frozenset[str] = frozenset()
    """Choices that one of the rule sets does not decide: not stated, not seen, silent, or an engineer's."""

    @property
    def exit_status(self) -> int:
        """0 a choice that complies on everything it decides, 1 nothing fits or something else fails, 3 open."""
        if not self.solutions or self.still_fails:
            return 1
        return 3 if self.undecided or self.left or self.unsure else 0


def choose(
    catalogue: Catalogue,
    design: Design,
    names: Sequence[str],
    chosen: Sequence[Variable],
    prices: PriceList | None = None,
) -> Chosen:
    """Choose every member at once: the least lumber, or the least cost by a price list.

    Exact over the options of `chosen`: every clause of every rule set that depends on them is
    evaluated on every combination of those it depends on. A size that none of the rule sets decides
    is not chosen: it stays as drawn. Raises InputError for a name that is none.
    """
    evaluators = [catalogue.evaluator(name) for name in names]
    asked = tuple(e.ruleset.name for e in evaluators)
    together = catalogue.coherence()
    whole = tuple(chosen)
    chosen, tables = _decided(catalogue, design, whole, evaluators)
    cost = _cost(design, chosen, prices)
    search = Search(chosen, tables, cost)
    best = search.best(1 + NEXT_BEST, APART)
    best = [with_most_room(chosen, search.allowed, choice) for choice in best]
    solutions = tuple(_solution(design, choice, prices) for choice in best)
    always = [t for t in tables if t.ruleset not in asked]
    by_ruleset = {name: [t for t in tables if t.ruleset == name] for name in asked}
    evaluations = _evaluated(catalogue, with_choice(design, best[0]), evaluators) if best else ()
    if best:
        _hold_to(evaluations, tables, best[0])
    topics = topics_of(whole, [*evaluators, *([together] if together else [])])
    return Chosen(
        design,
        asked,
        tuple(chosen),
        tuple(v for v in whole if v not in chosen),
        solutions,
        excluded_options(chosen, tables, best[0] if best else None),
        undecided(topics, evaluations),
        silent(whole, evaluations, asked),
        () if best else conflicting(chosen, by_ruleset, always, cost),
        evaluations,
        _still_failing(evaluations),
        _unpriced(solutions, prices),
        unsure(chosen, tables, best[0], evaluations, asked) if best else frozenset(),
    )


def _decided(
    catalogue: Catalogue,
    design: Design,
    chosen: tuple[Variable, ...],
    evaluators: Sequence[Evaluator],
) -> tuple[tuple[Variable, ...], tuple[ClauseTable, ...]]:
    """Return the choices that a rule set decides, and the clauses that depend on them."""
    tables = clause_tables(design, chosen, evaluators, catalogue.prepare)
    while (kept := tuple(v for v in chosen if decided(v, tables))) != chosen:
        # the others stand as drawn, which may leave more undecided
        left, chosen = [v for v in chosen if v not in kept], kept
        fixed = as_drawn(design, left)
        if fixed is None:
            tables = clause_tables(design, chosen, evaluators, catalogue.prepare)
        else:
            tables = tables_at(tables, fixed)
    together = catalogue.coherence()
    if together is None:
        return chosen, tables

    def prepare(deck: Design) -> PreparedDesign:
        return catalogue.prepare(worked_out(deck))

    # whatever is chosen must hold together, in every town
    return chosen, (*tables, *clause_tables(design, chosen, [together], prepare))


def _evaluated(
    catalogue: Catalogue, deck: Design, evaluators: Sequence[Evaluator]
) -> tuple[Evaluation, ...]:
    """Evaluate the deck as chosen whole, and whether it holds together where it is a whole deck."""
    ready = catalogue.prepare(deck)
    found = tuple(evaluate(ready, e, catalogue.vocabulary) for e in evaluators)
    stands = holds_together(catalogue, ready) if states_whole_deck(ready.design) else None
    return found if stands is None else (*found, stands)


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


def _cost(design: Design, chosen: Sequence[Variable], prices: PriceList | None) -> CostOf:
    opened = {v.quantity for v in chosen}
    terms: list[tuple[tuple[str, ...], Callable[[Choice], Cost]]] = []
    for member, names in MEMBER_TERMS:
        mine = tuple(n for n in names if n in opened)

        def term(choice: Choice, member: str = member, mine: tuple[str, ...] = mine) -> Cost:
            picked = {n: choice[n] for n in mine if n in choice}
            return _member_cost(take_off(design, picked, member), prices)

        terms.append((mine, term))
    terms.append(((DROP,) if DROP in opened else (), partial(_drop_cost, prices is not None)))
    length = 4 if prices is None else 5
    return CostOf(terms, length)


def _member_cost(taken: TakeOff, prices: PriceList | None) -> Cost:
    lumber = (*least_lumber(taken), Fraction(0))
    return lumber if prices is None else (prices.cost(taken)[0], *lumber)


def _drop_cost(priced: bool, choice: Choice) -> Cost:
    """Let the deck lie as near the floor as it can, of what costs the same."""
    drop = choice.get(DROP)
    nothing = (Fraction(0),) * (4 if priced else 3)
    return (*nothing, abs(drop) if isinstance(drop, Fraction) else Fraction(0))


def _solution(design: Design, choice: Choice, prices: PriceList | None) -> Solution:
    taken = take_off(design, choice)
    return Solution(choice, taken, None if prices is None else prices.cost(taken)[0])


def _unpriced(solutions: Sequence[Solution], prices: PriceList | None) -> tuple[str, ...]:
    if prices is None or not solutions:
        return ()
    return prices.cost(solutions[0].taken)[1]


def _still_failing(evaluations: Sequence[Evaluation]) -> tuple[tuple[str, str], ...]:
    failing: Mapping[tuple[str, str], None] = dict.fromkeys(
        (e.ruleset.name, f.topic)
        for e in evaluations
        for f in e.findings
        if f.status == DOES_NOT_COMPLY
    )
    return tuple(failing)
