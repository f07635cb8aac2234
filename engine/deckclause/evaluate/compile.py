"""Compile a rule set: plan, lowered clauses, scale, printed source, byte code."""

from __future__ import annotations

import marshal
from collections.abc import Container, Iterable, Iterator
from fractions import Fraction

from msgspec.structs import replace

from deckclause.evaluate.evaluator import Compiled, in_ticks, source_name
from deckclause.evaluate.plan import Plan, make_plan
from deckclause.evaluate.scalar.run import print_runs
from deckclause.evaluate.scale import scale_for
from deckclause.reading.fold import nodes
from deckclause.reading.forms import Cell, Constant, Node, Rule
from deckclause.reading.lower import lower
from deckclause.rulesets.problems import InputError, Problem
from deckclause.rulesets.ruleset import RuleSet
from deckclause.rulesets.substance import substance_digest
from deckclause.rulesets.vocabulary import QuantityDefinition


def compile_ruleset(ruleset: RuleSet, quantities: dict[str, QuantityDefinition]) -> Compiled:
    """Compile a rule set.

    Raises InputError where provided quantities go in a circle, or a clause cannot be lowered.
    """
    plan = make_plan(ruleset, quantities)
    rules = _lowered(ruleset, quantities)
    figures = [*_figures(rules), *_settings(ruleset, quantities)]
    scale = scale_for(
        (v for kind, v in figures if kind == "length"), (v for kind, v in figures if kind == "load")
    )
    page = print_runs(rules, plan, scale, in_ticks(ruleset, scale, quantities))
    code = compile(page.source(), source_name(ruleset), "exec")
    substances = tuple(substance_digest(clause) for clause in ruleset.clauses)
    return Compiled(ruleset, plan, scale, marshal.dumps(code), page.constants, substances)


def narrowed(
    compiled: Compiled, wanted: Container[int], quantities: dict[str, QuantityDefinition]
) -> Compiled:
    """Return some clauses of a rule set, and what gives them what they read, to run alone."""
    plan = compiled.plan
    kept = _with_providers(plan, wanted)
    narrow = replace(
        plan,
        once=tuple(i for i in plan.once if i in kept),
        groups=tuple(
            (group, tuple(i for i in order if i in kept))
            for group, order in plan.groups
            if not kept.isdisjoint(order)
        ),
    )
    ruleset, scale = compiled.ruleset, compiled.scale
    rules = {i: lower(ruleset.clauses[i], quantities) for i in kept}
    page = print_runs(rules, narrow, scale, in_ticks(ruleset, scale, quantities))
    code = compile(page.source(), f"{source_name(ruleset)}, in part", "exec")
    return replace(compiled, plan=narrow, code=marshal.dumps(code), constants=page.constants)


def _with_providers(plan: Plan, wanted: Container[int]) -> set[int]:
    kept: set[int] = set()
    waiting = [i for i in range(len(plan.provides)) if i in wanted]
    while waiting:
        index = waiting.pop()
        kept.add(index)
        reads = set(plan.reads[index])
        waiting += [i for i, given in enumerate(plan.provides) if given in reads and i not in kept]
    return kept


def _lowered(ruleset: RuleSet, quantities: dict[str, QuantityDefinition]) -> tuple[Rule, ...]:
    rules: list[Rule] = []
    problems: list[Problem] = []
    for clause in ruleset.clauses:
        try:
            rules.append(lower(clause, quantities))
        except ValueError as fault:
            origin = clause.origin
            problems.append(Problem(origin.file, origin.line, f"{clause.key}: {fault}"))
    if problems:
        raise InputError(problems)
    return tuple(rules)


def _figures(rules: Iterable[Rule]) -> Iterator[tuple[str, Fraction]]:
    """Yield kind and figure of everything a rule compares with."""
    for rule in rules:
        for node in nodes(rule):
            yield from ((kind, v) for kind, v in _of_node(node) if isinstance(v, Fraction))


def _of_node(node: Node) -> Iterator[tuple[str, object]]:
    if isinstance(node, Constant):
        yield node.kind, node.value
    elif isinstance(node, Cell):
        yield from ((node.kind, cell) for cell in node.table.cells)
        for key in node.keys:
            yield from ((key.entered.kind, figure) for figure in key.keys)


def _settings(
    ruleset: RuleSet, quantities: dict[str, QuantityDefinition]
) -> Iterator[tuple[str, Fraction]]:
    for setting in ruleset.settings:
        if isinstance(setting.value, Fraction):
            yield quantities[setting.quantity].kind, setting.value
