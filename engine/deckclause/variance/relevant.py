"""Which changes can matter: those that alter something a failing clause reads."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from typing import Any

from deckclause.designs.design import Design
from deckclause.designs.geometry import known_distances
from deckclause.evaluate.findings import Finding
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.rulesets.clauses import Clause, Fixed, Scalar
from deckclause.rulesets.relief import Move
from deckclause.rulesets.walk import (
    clause_reads,
    clause_tables,
    condition_tests,
    distances,
    requirements,
)
from deckclause.variance.case import ReliefCase
from deckclause.variance.changing import changed, stated

MOST_THRESHOLDS = 8
"""Thresholds of one measure tried on the way to compliance, nearest first."""
Pair = tuple[str, str]


def clauses_behind(case: ReliefCase, findings: Iterable[Finding]) -> tuple[Clause, ...]:
    """Return the clauses of findings and, in turn, those that provide what they read."""
    ruleset = case.evaluator.ruleset
    provides = case.evaluator.plan.provides
    kept: dict[str, Clause] = {}
    wanted = [f.clause for f in findings]
    while wanted:
        clause = wanted.pop()
        if clause.key in kept:
            continue
        kept[clause.key] = clause
        reads = set(clause_reads(clause))
        wanted += [ruleset.clauses[i] for i, q in enumerate(provides) if q and q in reads]
    return tuple(kept.values())


def relevant_moves(
    case: ReliefCase, findings: Iterable[Finding], also: Iterable[Pair] = ()
) -> tuple[Move, ...]:
    """Return the moves that alter a fact or distance the findings' clauses read, or one of `also`.

    Each move is tried on the design: what it alters is seen, not guessed.
    """
    behind = clauses_behind(case, findings)
    names = {name for clause in behind for name in clause_reads(clause)}
    pairs = {(d.start, d.end) for clause in behind for d in distances(clause)}
    pairs.update(also)
    return tuple(m for m in case.rules.moves if _alters(case, m, names, pairs))


def _alters(case: ReliefCase, move: Move, names: set[str], pairs: set[Pair]) -> bool:
    design = case.design.design
    now = stated(design, move.quantity, case.vocabulary)
    other = _another(move, now)
    if now is None or other is None:
        return False
    if move.quantity in names:
        return True
    trial = case.catalogue.prepare(changed(design, {move.quantity: other}, case.vocabulary))
    return any(_sees(case.design, trial, where, names, pairs) for where in _places(design))


def _another(move: Move, now: Scalar | None) -> Scalar | None:
    for size in move.sizes:
        if size != now:
            return size
    if isinstance(now, Fraction) and isinstance(move.step, Fraction):
        return now + move.step
    return None


def _places(design: Design) -> list[Pair]:
    parts = [(group, part.name) for group, kept in design.parts.items() for part in kept]
    return [("", ""), *parts]


def _sees(
    one: PreparedDesign, two: PreparedDesign, where: Pair, names: set[str], pairs: set[Pair]
) -> bool:
    before, after = one.facts(*where), two.facts(*where)
    if any(before.get(name) != after.get(name) for name in names):
        return True
    if not pairs:
        return False
    old, new = known_distances(before), known_distances(after)
    return any(old.get(pair) != new.get(pair) for pair in pairs)


def thresholds(clauses: Iterable[Clause], quantity: str) -> tuple[Fraction, ...]:
    """Return every figure at which clauses treat a measure differently, in order.

    Between two of them the outcome cannot change: trying each is trying all.
    """
    found: set[Fraction] = set()
    for clause in clauses:
        for table in clause_tables(clause):
            for axis in table.axes:
                if axis.quantity == quantity:
                    found.update(k for k in axis.keys if isinstance(k, Fraction))
        conditions = (clause.applies, clause.scope, *(e.when for e in clause.exceptions))
        asked = [r.condition for r in requirements(clause) if hasattr(r, "condition")]
        for condition in (*conditions, *asked):
            for test in condition_tests(condition):
                if test.quantity == quantity:
                    found.update(_fixed(test.low))
                    found.update(_fixed(test.high))
    return tuple(sorted(found))


def _fixed(value: Any) -> list[Fraction]:
    if isinstance(value, Fixed) and isinstance(value.value, Fraction):
        return [value.value]
    return []
