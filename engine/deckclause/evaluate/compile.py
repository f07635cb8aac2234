"""Compile a rule set: plan, scale, generated source, byte code."""

from __future__ import annotations

import marshal
from collections.abc import Iterator
from fractions import Fraction

from deckclause.evaluate.evaluator import Compiled
from deckclause.evaluate.generate import ClauseGenerator
from deckclause.evaluate.generate_run import RunGenerator
from deckclause.evaluate.plan import make_plan
from deckclause.evaluate.scale import scale_for
from deckclause.rulesets.clauses import (
    Arithmetic,
    ByChoice,
    Cases,
    Clause,
    Condition,
    Fixed,
    Limit,
    Lookup,
    Provides,
    Test,
    Value,
)
from deckclause.rulesets.ruleset import RuleSet
from deckclause.rulesets.substance import substance_digest
from deckclause.rulesets.vocabulary import QuantityDefinition
from deckclause.rulesets.walk import condition_tests, requirements


def compile_ruleset(ruleset: RuleSet, quantities: dict[str, QuantityDefinition]) -> Compiled:
    """Compile a rule set. Raises InputError where provided quantities go in a circle."""
    plan = make_plan(ruleset, quantities)
    figures = list(_figures(ruleset, quantities))
    scale = scale_for(
        (v for kind, v in figures if kind == "length"), (v for kind, v in figures if kind == "load")
    )
    generator = ClauseGenerator(quantities, scale)
    for index, clause in enumerate(ruleset.clauses):
        generator.clause(index, clause)
    runs = RunGenerator(quantities, scale)
    runs.runs(ruleset, plan)
    return Compiled(
        ruleset,
        plan,
        scale,
        _code(generator, f"<{ruleset.name}>"),
        generator.out.constants,
        _code(runs, f"<{ruleset.name}, all clauses>"),
        runs.out.constants,
        tuple(substance_digest(clause) for clause in ruleset.clauses),
    )


def _code(generator: ClauseGenerator, name: str) -> bytes:
    return marshal.dumps(compile(generator.out.source(), name, "exec"))


def _figures(
    ruleset: RuleSet, quantities: dict[str, QuantityDefinition]
) -> Iterator[tuple[str, Fraction]]:
    for clause in ruleset.clauses:
        yield from _clause_figures(clause, quantities)
    for setting in ruleset.settings:
        if isinstance(setting.value, Fraction):
            yield quantities[setting.quantity].kind, setting.value


def _clause_figures(
    clause: Clause, quantities: dict[str, QuantityDefinition]
) -> Iterator[tuple[str, Fraction]]:
    for condition in (clause.applies, clause.scope, *(e.when for e in clause.exceptions)):
        yield from _condition_figures(condition, quantities)
    for requirement in requirements(clause):
        if isinstance(requirement, Limit):
            subject = requirement.subject
            kind = quantities[subject].kind if isinstance(subject, str) else "length"
            for value in (requirement.least, requirement.most, requirement.exactly):
                if value is not None:
                    yield from _value_figures(value, kind, quantities)
        elif isinstance(requirement, Provides):
            kind = quantities[requirement.quantity].kind
            yield from _value_figures(requirement.value, kind, quantities)
        elif hasattr(requirement, "condition"):
            yield from _condition_figures(requirement.condition, quantities)


def _condition_figures(
    condition: Condition, quantities: dict[str, QuantityDefinition]
) -> Iterator[tuple[str, Fraction]]:
    for test in condition_tests(condition):
        for bound in _bounds(test):
            yield from _value_figures(bound, quantities[test.quantity].kind, quantities)


def _bounds(test: Test) -> list[Value]:
    return [bound for bound in (test.low, test.high) if bound is not None]


def _value_figures(
    value: Value, kind: str, quantities: dict[str, QuantityDefinition]
) -> Iterator[tuple[str, Fraction]]:
    if isinstance(value, Fixed):
        if isinstance(value.value, Fraction):
            yield kind, value.value
    elif isinstance(value, ByChoice | Cases):
        for _, case in value.cases:
            yield from _value_figures(case, kind, quantities)
    elif isinstance(value, Arithmetic) and value.operation != "product":
        for part in value.parts:
            yield from _value_figures(part, kind, quantities)
    elif isinstance(value, Lookup):
        for cell in value.table.cells:
            if isinstance(cell, Fraction):
                yield kind, cell
        for axis in value.table.axes:
            for key in axis.keys:
                if isinstance(key, Fraction):
                    yield quantities[axis.quantity].kind, key
