"""Which clauses of two rule sets differ, by key; what counts as the same rule."""

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
from deckclause.rulesets.ruleset import RuleSet, Setting

SETTING = "set:"
"""Marks the key of a value a jurisdiction sets."""


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


def settings_by_key(ruleset: RuleSet) -> dict[str, Setting]:
    """Return a rule set's settings by key."""
    return {SETTING + s.quantity: s for s in ruleset.settings}


def differing_keys(one: RuleSet, two: RuleSet) -> tuple[str, ...]:
    """Return the keys of clauses and settings that are not the same in both, in order."""
    first = {c.key: c for c in one.clauses}
    second = {c.key: c for c in two.clauses}
    keys = [
        key
        for key in dict.fromkeys([*first, *second])
        if substance(first.get(key)) != substance(second.get(key))
    ]
    set_one, set_two = settings_by_key(one), settings_by_key(two)
    for key in dict.fromkeys([*set_one, *set_two]):
        a, b = set_one.get(key), set_two.get(key)
        if (a.value if a else None) != (b.value if b else None):
            keys.append(key)
    return tuple(keys)
