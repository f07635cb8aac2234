"""Find the least combination that every clause allows, exactly.

Choices are taken out one after another: all that depends on a choice is put together, and for each
combination of the choices it stands beside, the least it can still cost is kept (variable
elimination; U. Bertele and F. Brioschi, "Nonserial Dynamic Programming", 1972). From what is kept
the least cost of any beginning is known, so that combinations are then read off in order of cost.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from heapq import heappop, heappush
from itertools import combinations, islice, product
from math import prod

from msgspec import Struct

from deckclause.choosing.facts import Values
from deckclause.choosing.members import Choice, Variable
from deckclause.choosing.tables import ClauseTable
from deckclause.rulesets.clauses import Scalar

Cost = tuple[Fraction, ...]
"""Compared in order: what is to be least first, then what decides between equals."""
Term = tuple[tuple[str, ...], Callable[[Choice], Cost]]
"""The choices a part of the cost depends on, and that part."""


class CostOf:
    """What a combination costs: a sum of terms, each depending on a few choices."""

    def __init__(self, terms: Sequence[Term], length: int) -> None:
        self.nothing: Cost = (Fraction(0),) * length
        self.terms = [(names, _remembered(names, term)) for names, term in terms]

    def of(self, choice: Choice) -> Cost:
        """Return the cost of a whole choice."""
        total = self.nothing
        for _, term in self.terms:
            total = added(total, term(choice))
        return total


def less(one: Cost, two: Cost) -> Cost:
    """Take one cost from another, kind by kind."""
    return tuple(a - b for a, b in zip(one, two, strict=True))


def added(one: Cost, two: Cost) -> Cost:
    """Add two costs, kind by kind."""
    return tuple(a + b for a, b in zip(one, two, strict=True))


def _remembered(names: tuple[str, ...], term: Callable[[Choice], Cost]) -> Callable[[Choice], Cost]:
    known: dict[tuple[Scalar | None, ...], Cost] = {}

    def cost(choice: Choice) -> Cost:
        key = tuple(choice.get(name) for name in names)
        if key not in known:
            known[key] = term(choice)
        return known[key]

    return cost


class Search:
    """Searches the combinations of some choices under some clauses."""

    def __init__(
        self, chosen: Sequence[Variable], tables: Sequence[ClauseTable], cost: CostOf
    ) -> None:
        self.cost = cost
        self.order = [v.quantity for v in chosen]
        self.allowed = _allowed_by_scope(tables)
        self.options = {v.quantity: self._alone(v) for v in chosen}

    def _alone(self, variable: Variable) -> tuple[Scalar, ...]:
        good = self.allowed.get((variable.quantity,))
        return tuple(o for o in variable.options if good is None or (o,) in good)

    def best(self, most: int, distinct: Sequence[str]) -> list[Choice]:
        """Return the cheapest combinations, the cheapest first, unlike in the choices of `distinct`.

        Between equals the option named first stands first.
        """
        front = [name for name in self.order if name in distinct]
        found = islice(self._in_order(front), most)
        return [{name: choice[name] for name in self.order} for choice in found]

    def cheapest(self) -> Choice | None:
        """Return the cheapest combination that every clause allows; None where there is none."""
        return next(iter(self.best(1, ())), None)

    def feasible(self) -> bool:
        """Tell whether any combination is allowed."""
        return _taken_out(self, ()) is not None

    def _in_order(self, front: Sequence[str]) -> Iterator[Choice]:
        """Yield the cheapest combination for each choice of `front`, in order of cost."""
        out = _taken_out(self, front)
        if out is None:
            return
        waiting: list[tuple[Cost, tuple[int, ...], Choice]] = [(out.start, (), {})]
        while waiting:
            cost, places, choice = heappop(waiting)
            if len(places) == len(front):
                yield out.completed(choice)
                continue
            step = out.steps[len(places)]
            before = step.least[tuple(choice[n] for n in step.beside)][0]
            for place, option in enumerate(step.options):
                whole = {**choice, step.name: option}
                total = step.total(whole, self.cost.nothing)
                if total is not None:
                    changed = added(less(cost, before), total)
                    heappush(waiting, (changed, (*places, place), whole))


class _Step(Struct, frozen=True):
    """One choice taken out: what depends on it, and the least it costs beside the others.

    `least` holds, by the values of `beside`, the least cost and the option that has it.
    """

    name: str
    options: tuple[Scalar, ...]
    checks: tuple[tuple[tuple[str, ...], frozenset[Values]], ...]
    costs: tuple[tuple[tuple[str, ...], Mapping[Values, Cost]], ...]
    beside: tuple[str, ...]
    least: dict[Values, tuple[Cost, Scalar]]

    def total(self, choice: Choice, nothing: Cost) -> Cost | None:
        """Return the cost of what depends on the choice; None where it cannot be."""
        for names, good in self.checks:
            if tuple(choice[n] for n in names) not in good:
                return None
        total = nothing
        for names, costs in self.costs:
            cost = costs.get(tuple(choice[n] for n in names))
            if cost is None:
                return None
            total = added(total, cost)
        return total


class _TakenOut(Struct, frozen=True):
    """All choices taken out. `steps` are in the order in which they are put back."""

    start: Cost
    steps: tuple[_Step, ...]

    def completed(self, choice: Choice) -> Choice:
        """Return a beginning with all other choices put back, each the least."""
        whole = dict(choice)
        for step in self.steps[len(choice) :]:
            whole[step.name] = step.least[tuple(whole[n] for n in step.beside)][1]
        return whole


def _taken_out(search: Search, front: Sequence[str]) -> _TakenOut | None:
    """Take all choices out, those of `front` last and the first of them at the very end.

    None where no combination can be.
    """
    options = search.options
    checks: dict[tuple[str, ...], frozenset[Values]] = {
        names: good for names, good in search.allowed.items() if len(names) > 1
    }
    start = search.cost.nothing
    costs: list[tuple[tuple[str, ...], Mapping[Values, Cost]]] = []
    for names, term in search.cost.terms:
        costs.append((names, _term_table(names, options, term)))
    left = [n for n in options if n not in front]
    steps: list[_Step] = []
    while len(steps) < len(options):
        name = (
            _smallest(left, checks, costs, options)
            if left
            else front[len(options) - len(steps) - 1]
        )
        if left:
            left.remove(name)
        mine = tuple((n, good) for n, good in checks.items() if name in n)
        priced = tuple((n, c) for n, c in costs if name in n)
        beside = _beside(name, mine, priced)
        step = _Step(name, options[name], mine, priced, beside, {})
        _find_least(step, options, search.cost.nothing)
        if not step.least:
            return None
        checks = {n: good for n, good in checks.items() if name not in n}
        costs = [(n, c) for n, c in costs if name not in n]
        if priced:
            costs.append((beside, {values: cost for values, (cost, _) in step.least.items()}))
        else:
            good = frozenset(step.least)
            checks[beside] = checks.get(beside, good) & good
        steps.append(step)
    for _, constant in costs:
        start = added(start, constant[()])
    return _TakenOut(start, tuple(reversed(steps)))


def _term_table(
    names: tuple[str, ...],
    options: Mapping[str, tuple[Scalar, ...]],
    term: Callable[[Choice], Cost],
) -> dict[Values, Cost]:
    return {
        values: term(dict(zip(names, values, strict=True)))
        for values in product(*(options[n] for n in names))
    }


def _beside(name: str, *groups: Iterable[tuple[tuple[str, ...], object]]) -> tuple[str, ...]:
    """Return the other choices that what depends on a choice depends on too."""
    return tuple(
        dict.fromkeys(n for group in groups for names, _ in group for n in names if n != name)
    )


def _smallest(
    left: Sequence[str],
    checks: Mapping[tuple[str, ...], object],
    costs: Sequence[tuple[tuple[str, ...], object]],
    options: Mapping[str, tuple[Scalar, ...]],
) -> str:
    """Return the choice with the fewest combinations beside it."""

    def combinations_of(name: str) -> int:
        mine = [(n, None) for n in (*checks, *(names for names, _ in costs)) if name in n]
        return prod(len(options[n]) for n in _beside(name, mine))

    return min(left, key=combinations_of)


def _find_least(step: _Step, options: Mapping[str, tuple[Scalar, ...]], nothing: Cost) -> None:
    """Fill in the least cost of a step for every combination of the choices beside it."""
    for values in product(*(options[n] for n in step.beside)):
        choice = dict(zip(step.beside, values, strict=True))
        best: tuple[Cost, Scalar] | None = None
        for option in step.options:
            choice[step.name] = option
            total = step.total(choice, nothing)
            if total is not None and (best is None or total < best[0]):
                best = total, option
                if not step.costs:  # all cost the same: the first that can be
                    break
        if best is not None:
            step.least[values] = best


def _allowed_by_scope(tables: Sequence[ClauseTable]) -> dict[tuple[str, ...], frozenset[Values]]:
    found: dict[tuple[str, ...], frozenset[Values]] = {}
    for table in tables:
        found[table.scope] = found.get(table.scope, table.allowed) & table.allowed
    return found


def conflicting(
    chosen: Sequence[Variable],
    by_ruleset: Mapping[str, Sequence[ClauseTable]],
    always: Sequence[ClauseTable],
    cost: CostOf,
) -> tuple[tuple[str, ...], ...]:
    """Return every smallest set of rule sets that no combination satisfies together.

    None is returned twice, and none holds another; `always` is asked beside each of them. An empty
    set alone tells that even without any rule set there is none.
    """
    names = list(by_ruleset)
    found: list[tuple[str, ...]] = []
    for size in range(len(names) + 1):
        for some in combinations(names, size):
            if any(set(smaller) <= set(some) for smaller in found):
                continue
            tables = [*always, *(table for name in some for table in by_ruleset[name])]
            if not Search(chosen, tables, cost).feasible():
                found.append(some)
    return tuple(found)
