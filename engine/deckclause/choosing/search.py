"""Find the least combination that every clause allows, exactly.

Choices are fixed one after another, the cheapest first; a branch is left where a clause forbids
what is fixed so far, or where it cannot become less than the best found (branch and bound; A. H.
Land and A. G. Doig, "An automatic method of solving discrete programming problems", 1960).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import combinations

from deckclause.choosing.members import Choice, Variable
from deckclause.choosing.tables import ClauseTable, Values
from deckclause.rulesets.clauses import Scalar

Cost = tuple[Fraction, ...]
"""Compared in order: what is to be least first, then what decides between equals."""


class CostOf:
    """What a combination costs: a sum of terms, each depending on a few choices."""

    def __init__(
        self,
        terms: Sequence[tuple[tuple[str, ...], Callable[[Choice], Cost]]],
        options: Mapping[str, Sequence[Scalar]],
        length: int,
    ) -> None:
        self.nothing: Cost = (Fraction(0),) * length
        self.terms = [(names, _remembered(names, term)) for names, term in terms]
        self.options = options

    def of(self, choice: Choice) -> Cost:
        """Return the cost of a whole choice."""
        total = self.nothing
        for _, term in self.terms:
            total = added(total, term(choice))
        return total

    def least(
        self, order: Sequence[str]
    ) -> list[list[tuple[tuple[str, ...], Callable[[Choice], Cost]]]]:
        """Return, for each place in an order of choices, the terms that are known from there on."""
        place = {name: n for n, name in enumerate(order)}
        found: list[list[tuple[tuple[str, ...], Callable[[Choice], Cost]]]] = [[] for _ in order]
        for names, term in self.terms:
            known = [place[n] for n in names if n in place]
            if known:
                found[max(known)].append((names, term))
        return found


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
        self.chosen = list(chosen)
        self.cost = cost
        self.order = [v.quantity for v in chosen]
        self.tables = list(tables)
        self.allowed = _allowed_by_scope(tables)

    def best(self, most: int, distinct: Sequence[str]) -> list[Choice]:
        """Return the cheapest combinations, the cheapest first, unlike in the choices of `distinct`."""
        found: list[tuple[Cost, Choice]] = []
        for _ in range(most):
            taken = [tuple(c.get(n) for n in distinct) for _, c in found]
            choice = self.cheapest(
                lambda c, taken=taken: tuple(c.get(n) for n in distinct) not in taken  # type: ignore[misc]
            )
            if choice is None:
                break
            found.append((self.cost.of(choice), choice))
        return [choice for _, choice in found]

    def cheapest(self, wanted: Callable[[Choice], bool] | None = None) -> Choice | None:
        """Return the cheapest combination that every clause allows; None where there is none."""
        checks = self._checks()
        terms = self.cost.least(self.order)
        best: list[tuple[Cost, Choice]] = []
        start = self.cost.nothing
        for names, term in self.cost.terms:
            if not set(names) & set(self.order):
                start = added(start, term({}))
        self._descend(0, {}, start, checks, terms, best, wanted)
        return best[0][1] if best else None

    def feasible(self) -> bool:
        """Tell whether any combination is allowed."""
        return next(self._any(0, {}, self._checks()), None) is not None

    def _descend(
        self,
        depth: int,
        fixed: dict[str, Scalar],
        spent: Cost,
        checks: list[list[tuple[tuple[str, ...], frozenset[Values]]]],
        terms: list[list[tuple[tuple[str, ...], Callable[[Choice], Cost]]]],
        best: list[tuple[Cost, Choice]],
        wanted: Callable[[Choice], bool] | None,
    ) -> None:
        # costs are never negative, so a branch that has spent as much as the best is done
        if best and spent >= best[0][0]:
            return
        if depth == len(self.chosen):
            if wanted is None or wanted(fixed):
                best[:] = [(spent, dict(fixed))]
            return
        variable = self.chosen[depth]
        branches = []
        for number, option in enumerate(variable.options):
            fixed[variable.quantity] = option
            if all(tuple(fixed[n] for n in s) in good for s, good in checks[depth]):
                total = spent
                for _, term in terms[depth]:
                    total = added(total, term(fixed))
                branches.append((total, number, option))
        for total, _, option in sorted(branches, key=lambda b: (b[0], b[1])):
            fixed[variable.quantity] = option
            self._descend(depth + 1, fixed, total, checks, terms, best, wanted)
        del fixed[variable.quantity]

    def _any(
        self,
        depth: int,
        fixed: dict[str, Scalar],
        checks: list[list[tuple[tuple[str, ...], frozenset[Values]]]],
    ) -> Iterator[Choice]:
        if depth == len(self.chosen):
            yield dict(fixed)
            return
        variable = self.chosen[depth]
        for option in variable.options:
            fixed[variable.quantity] = option
            if all(tuple(fixed[n] for n in s) in good for s, good in checks[depth]):
                yield from self._any(depth + 1, fixed, checks)
        del fixed[variable.quantity]

    def _checks(self) -> list[list[tuple[tuple[str, ...], frozenset[Values]]]]:
        """Put each scope where its last choice is fixed."""
        place = {name: n for n, name in enumerate(self.order)}
        found: list[list[tuple[tuple[str, ...], frozenset[Values]]]] = [[] for _ in self.order]
        for scope, good in self.allowed.items():
            found[max(place[name] for name in scope)].append((scope, good))
        return found


def _allowed_by_scope(tables: Sequence[ClauseTable]) -> dict[tuple[str, ...], frozenset[Values]]:
    found: dict[tuple[str, ...], frozenset[Values]] = {}
    for table in tables:
        good = frozenset(values for values in table.verdicts if table.allows(values))
        found[table.scope] = found.get(table.scope, good) & good
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
