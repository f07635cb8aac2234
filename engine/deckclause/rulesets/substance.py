"""What a clause asks, apart from where it stands and how well it is known."""

from __future__ import annotations

from typing import Any

from deckclause.rulesets.clauses import (
    Arithmetic,
    ByChoice,
    Cases,
    Clause,
    Limit,
    Lookup,
    Provides,
    Requirement,
    Table,
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
        clause.applies,
        clause.scope,
        _plain_requirement(clause.requirement),
        tuple((e.when, _plain_requirement(e.requirement)) for e in clause.exceptions),
        tuple(_plain_requirement(r.requirement) for r in clause.readings),
    )


def _plain_requirement(requirement: Requirement) -> Any:
    if isinstance(requirement, Limit):
        bounds = (requirement.least, requirement.most, requirement.exactly)
        plain = tuple(None if b is None else _plain_value(b) for b in bounds)
        return (requirement.subject, plain, requirement.one_of)
    if isinstance(requirement, Provides):
        return (requirement.quantity, _plain_value(requirement.value))
    return requirement


def _plain_value(value: Value) -> Any:
    if isinstance(value, Lookup):
        return (_plain_table(value.table), value.fixed)
    if isinstance(value, ByChoice | Cases):
        return (type(value).__name__, tuple((c, _plain_value(v)) for c, v in value.cases))
    if isinstance(value, Arithmetic):
        return (value.operation, tuple(_plain_value(p) for p in value.parts))
    return value


def _plain_table(table: Table) -> Any:
    return (table.axes, table.cells)


def substance_digest(clause: Clause) -> str:
    """Return a short text that two clauses share exactly where their substance is the same."""
    return digest(repr(substance(clause)))[:24]
