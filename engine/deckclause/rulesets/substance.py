"""What a clause asks, apart from where it stands and how well it is known."""

from __future__ import annotations

from typing import Any

from deckclause.rulesets.clauses import (
    Arithmetic,
    ByChoice,
    Cases,
    Clause,
    Condition,
    Limit,
    Lookup,
    MustBe,
    Not,
    NotPermitted,
    Provides,
    Requirement,
    Table,
    Test,
    Value,
)
from deckclause.rulesets.files import digest


def substance(clause: Clause | None) -> Any:
    """Return what a clause asks, without where it stands and how well it is known.

    Two clauses of equal substance give the same outcome on every design.
    """
    if clause is None:
        return None
    return (
        _plain_condition(clause.applies),
        _plain_condition(clause.scope),
        _plain_requirement(clause.requirement),
        tuple(
            (_plain_condition(e.when), _plain_requirement(e.requirement)) for e in clause.exceptions
        ),
        tuple(_plain_requirement(r.requirement) for r in clause.readings),
    )


def _plain_requirement(requirement: Requirement) -> Any:
    if isinstance(requirement, Limit):
        bounds = (requirement.least, requirement.most, requirement.exactly)
        plain = tuple(None if b is None else _plain_value(b) for b in bounds)
        return (requirement.subject, plain, requirement.one_of)
    if isinstance(requirement, Provides):
        return (requirement.quantity, _plain_value(requirement.value))
    if isinstance(requirement, MustBe | NotPermitted):
        return (type(requirement).__name__, _plain_condition(requirement.condition))
    return requirement


def _plain_condition(condition: Condition) -> Any:
    """Return a condition; a table it reads a bound from counts by its axes and cells alone."""
    if isinstance(condition, Test):
        bounds = (condition.low, condition.high)
        low, high = (None if b is None else _plain_value(b) for b in bounds)
        open_ends = (condition.low_open, condition.high_open)
        return (condition.quantity, condition.options, low, high, *open_ends)
    if isinstance(condition, Not):
        return ("Not", _plain_condition(condition.part))
    return (type(condition).__name__, tuple(_plain_condition(p) for p in condition.parts))


def _plain_value(value: Value) -> Any:
    if isinstance(value, Lookup):
        return (_plain_table(value.table), value.fixed)
    if isinstance(value, ByChoice):
        return (value.quantity, tuple((c, _plain_value(v)) for c, v in value.cases))
    if isinstance(value, Cases):
        return ("Cases", tuple((_plain_condition(c), _plain_value(v)) for c, v in value.cases))
    if isinstance(value, Arithmetic):
        return (value.operation, tuple(_plain_value(p) for p in value.parts))
    return value


def _plain_table(table: Table) -> Any:
    return (table.axes, table.cells)


def substance_digest(clause: Clause) -> str:
    """Return a short text that two clauses share exactly where their substance is the same."""
    return digest(repr(substance(clause)))[:24]
