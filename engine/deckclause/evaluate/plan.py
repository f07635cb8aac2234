"""The order of evaluation: clauses that provide a quantity come before those that read it."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct

from deckclause.rulesets.clauses import Clause, Provides
from deckclause.rulesets.problems import InputError, Problem
from deckclause.rulesets.ruleset import RuleSet
from deckclause.rulesets.vocabulary import QuantityDefinition
from deckclause.rulesets.walk import clause_reads, distances, requirements


class Plan(Struct, frozen=True):
    """Clause indices in order: those read once, then those read for each part of a group."""

    once: tuple[int, ...]
    groups: tuple[tuple[str, tuple[int, ...]], ...]
    provides: tuple[str, ...]
    """For each clause, the quantity it provides, or nothing."""
    reads: tuple[tuple[str, ...], ...] = ()
    """For each clause, every quantity it may read."""


def provided_quantity(clause: Clause) -> str:
    """Return the quantity a clause provides, or an empty name."""
    for requirement in requirements(clause):
        if isinstance(requirement, Provides):
            return requirement.quantity
    return ""


def clause_group(clause: Clause, quantities: dict[str, QuantityDefinition]) -> str:
    """Return the repeated part a clause is read for, or an empty name."""
    for name in clause_reads(clause):
        if quantities[name].of:
            return quantities[name].of
    for distance in distances(clause):
        for datum in (distance.start, distance.end):
            if datum.startswith("joists."):
                return "joists"
    return ""


def make_plan(ruleset: RuleSet, quantities: dict[str, QuantityDefinition]) -> Plan:
    """Order a rule set's clauses. Raises InputError where provided quantities go in a circle."""
    clauses = ruleset.clauses
    provides = tuple(provided_quantity(c) for c in clauses)
    groups = [clause_group(c, quantities) for c in clauses]
    _spread_groups(clauses, provides, groups)
    order = _ordered(clauses, provides)
    once = tuple(i for i in order if not groups[i])
    names = dict.fromkeys(groups[i] for i in order if groups[i])
    by_group = tuple((g, tuple(i for i in order if groups[i] == g)) for g in names)
    return Plan(once, by_group, provides, tuple(clause_reads(c) for c in clauses))


def _spread_groups(
    clauses: tuple[Clause, ...], provides: tuple[str, ...], groups: list[str]
) -> None:
    """A clause that reads what a part's clause provides is read for each part too."""
    moved = True
    while moved:
        moved = False
        by_quantity = {q: groups[i] for i, q in enumerate(provides) if q and groups[i]}
        for i, clause in enumerate(clauses):
            found = next((by_quantity[q] for q in clause_reads(clause) if q in by_quantity), "")
            if found and not groups[i]:
                groups[i] = found
                moved = True


def _ordered(clauses: tuple[Clause, ...], provides: tuple[str, ...]) -> list[int]:
    providers: dict[str, list[int]] = {}
    for i, quantity in enumerate(provides):
        if quantity:
            providers.setdefault(quantity, []).append(i)
    done: dict[int, None] = {}
    for i in range(len(clauses)):
        _visit(i, clauses, providers, done, [])
    return list(done)


def _visit(
    index: int,
    clauses: tuple[Clause, ...],
    providers: dict[str, list[int]],
    done: dict[int, None],
    above: list[int],
) -> None:
    if index in done:
        return
    if index in above:
        raise InputError(_circle(clauses[i] for i in above[above.index(index) :]))
    for quantity in clause_reads(clauses[index]):
        for provider in providers.get(quantity, ()):
            if provider != index:
                _visit(provider, clauses, providers, done, [*above, index])
    done[index] = None


def _circle(clauses: Iterable[Clause]) -> list[Problem]:
    chain = list(clauses)
    keys = " reads ".join(c.key for c in chain)
    return [
        Problem(
            c.origin.file, c.origin.line, f"{c.key}: provided quantities go in a circle ({keys})"
        )
        for c in chain
    ]


def two_values(clause: Clause, quantity: str) -> InputError:
    """Return the fault of rules in which two clauses that apply give a quantity different values."""
    return InputError.single(
        clause.origin.file,
        f"{clause.key}: {quantity} is given two different values by clauses that both apply",
        clause.origin.line,
    )
