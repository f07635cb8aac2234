"""Walk a clause's conditions, values and requirements: what it reads, which tables it uses."""

from __future__ import annotations

from collections.abc import Iterator

from deckclause.rulesets.clauses import (
    AllOf,
    AnyOf,
    Arithmetic,
    ByChoice,
    Cases,
    Clause,
    Condition,
    Distance,
    Fixed,
    Limit,
    Lookup,
    MustBe,
    Not,
    NotPermitted,
    Provides,
    Reads,
    Requirement,
    Subject,
    Table,
    Test,
    Unmodelled,
    Value,
)


def condition_tests(condition: Condition) -> Iterator[Test]:
    """Yield every test in a condition."""
    if isinstance(condition, Test):
        yield condition
    elif isinstance(condition, Not):
        yield from condition_tests(condition.part)
    else:
        assert isinstance(condition, AllOf | AnyOf)
        for part in condition.parts:
            yield from condition_tests(part)


def condition_reads(condition: Condition) -> Iterator[str]:
    """Yield every quantity a condition reads, thresholds included."""
    for test in condition_tests(condition):
        yield test.quantity
        for bound in (test.low, test.high):
            if bound is not None:
                yield from value_reads(bound)


def value_reads(value: Value) -> Iterator[str]:
    """Yield every quantity a value reads."""
    if isinstance(value, Reads):
        yield value.quantity
    elif isinstance(value, ByChoice):
        yield value.quantity
        for _, case in value.cases:
            yield from value_reads(case)
    elif isinstance(value, Cases):
        for condition, case in value.cases:
            yield from condition_reads(condition)
            yield from value_reads(case)
    elif isinstance(value, Arithmetic):
        for part in value.parts:
            yield from value_reads(part)
    elif isinstance(value, Lookup):
        fixed = dict(value.fixed)
        for axis in value.table.axes:
            if axis.quantity not in fixed:
                yield axis.quantity
    else:
        assert isinstance(value, Fixed)


def value_lookups(value: Value) -> Iterator[Lookup]:
    """Yield every reading of a table in a value."""
    if isinstance(value, Lookup):
        yield value
    elif isinstance(value, ByChoice | Cases):
        for _, case in value.cases:
            yield from value_lookups(case)
    elif isinstance(value, Arithmetic):
        for part in value.parts:
            yield from value_lookups(part)


def value_tables(value: Value) -> Iterator[Table]:
    """Yield every table a value reads."""
    for lookup in value_lookups(value):
        yield lookup.table


def requirement_values(requirement: Requirement) -> Iterator[Value]:
    """Yield the values a requirement sets limits with, or provides."""
    if isinstance(requirement, Limit):
        for value in (requirement.least, requirement.most, requirement.exactly):
            if value is not None:
                yield value
    elif isinstance(requirement, Provides):
        yield requirement.value


def requirement_reads(requirement: Requirement) -> Iterator[str]:
    """Yield every quantity a requirement reads (not the distances)."""
    if isinstance(requirement, Limit) and isinstance(requirement.subject, str):
        yield requirement.subject
    if isinstance(requirement, MustBe | NotPermitted):
        yield from condition_reads(requirement.condition)
    for value in requirement_values(requirement):
        yield from value_reads(value)


def requirements(clause: Clause) -> Iterator[Requirement]:
    """Yield the clause's own requirement, those of its exceptions and of other readings."""
    yield clause.requirement
    for exception in clause.exceptions:
        yield exception.requirement
    for reading in clause.readings:
        yield reading.requirement


def subjects(clause: Clause) -> Iterator[Subject]:
    """Yield what the clause's limits are set on."""
    for requirement in requirements(clause):
        if isinstance(requirement, Limit):
            yield requirement.subject


def distances(clause: Clause) -> tuple[Distance, ...]:
    """Return the distances the clause limits, each once."""
    found = dict.fromkeys(s for s in subjects(clause) if isinstance(s, Distance))
    return tuple(found)


def clause_reads(clause: Clause) -> tuple[str, ...]:
    """Return every quantity the clause may read, each once, in order of first mention."""
    names: dict[str, None] = {}
    for condition in (clause.applies, clause.scope, *(e.when for e in clause.exceptions)):
        names.update(dict.fromkeys(condition_reads(condition)))
    for requirement in requirements(clause):
        names.update(dict.fromkeys(requirement_reads(requirement)))
    return tuple(names)


def clause_lookups(clause: Clause) -> Iterator[Lookup]:
    """Yield every reading of a table in what a clause asks or gives."""
    for requirement in requirements(clause):
        for value in requirement_values(requirement):
            yield from value_lookups(value)


def clause_tables(clause: Clause) -> tuple[Table, ...]:
    """Return every table the clause reads, each once."""
    found: dict[str, Table] = {}
    for requirement in requirements(clause):
        for value in requirement_values(requirement):
            found.update({table.name: table for table in value_tables(value)})
    return tuple(found.values())


def limit_of(requirement: Requirement) -> Limit | None:
    """Return the limit a requirement sets; None where it is none."""
    return requirement if isinstance(requirement, Limit) else None


def is_unmodelled(requirement: Requirement) -> bool:
    """Tell whether a requirement stands for words that could not be expressed."""
    return isinstance(requirement, Unmodelled)
