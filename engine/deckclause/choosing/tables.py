"""Which sizes a rule set allows together: each clause tried on the choices it depends on.

A clause depends on a choice where one of the facts it reads, or of the facts that what it reads is
given from, changes with it. So each clause is evaluated once for every combination of the few
choices it depends on, by the ordinary evaluator on the whole design, and never for the rest.

Which facts change with which choice is found by changing one choice at a time, beside the first
and beside the last option of all the others; the sizes chosen in the end are evaluated whole.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import product
from typing import Any

from deckclause.choosing.members import Variable, with_choice
from deckclause.designs.design import Design
from deckclause.designs.geometry import known_distances
from deckclause.evaluate.evaluator import Evaluator
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.status import (
    COMPLIES,
    DOES_NOT_COMPLY,
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
    NOT_APPLICABLE,
    worst,
)
from deckclause.rulesets.clauses import Clause, Scalar
from deckclause.rulesets.walk import distances

Prepare = Callable[[Design], PreparedDesign]
Values = tuple[Scalar, ...]
Name = str | tuple[str, str]
"""A quantity, or the distance between two datums."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """What a clause makes of one combination: its status, and facts the design does not state."""

    status: int
    missing: frozenset[str] = frozenset()

    @property
    def waits_on_the_design(self) -> bool:
        """Whether it is undecided only for facts that the design could state."""
        return self.status == INFORMATION_MISSING and bool(self.missing)


@dataclass(frozen=True, slots=True)
class ClauseTable:
    """One clause of one rule set on every combination of the choices it depends on."""

    ruleset: str
    clause: Clause
    scope: tuple[str, ...]
    verdicts: Mapping[Values, Verdict]

    @property
    def undecided_throughout(self) -> bool:
        """Whether no choice at all makes the clause decide: an engineer, or print not seen."""
        read = [v for v in self.verdicts.values() if v.status != NOT_APPLICABLE]
        return bool(read) and all(
            v.status in (ENGINEERING_REQUIRED, INFORMATION_MISSING) for v in read
        )

    def allows(self, values: Values) -> bool:
        """Tell whether a combination may be chosen as far as this clause goes.

        What fails may not; nor what is not known or needs an engineer where another choice is
        known to comply. A fact the design leaves out is a question, not a bar.
        """
        verdict = self.verdicts[values]
        if verdict.status == DOES_NOT_COMPLY:
            return False
        if verdict.status in (COMPLIES, NOT_APPLICABLE) or verdict.waits_on_the_design:
            return True
        return self.undecided_throughout


def clause_tables(
    design: Design, chosen: Sequence[Variable], evaluators: Iterable[Evaluator], prepare: Prepare
) -> tuple[ClauseTable, ...]:
    """Return every clause that depends on a choice, with what it makes of each combination."""
    influence = _Influence(design, chosen, prepare)
    both = [(e, _scopes(e, influence)) for e in evaluators]
    design = _without_unread_parts(design, both)
    found: list[ClauseTable] = []
    prepared: dict[tuple[Any, ...], PreparedDesign] = {}
    for evaluator, scopes in both:
        pending = {i: s for i, s in enumerate(scopes) if s}
        for scope in _widest(pending.values()):
            mine = [i for i, s in pending.items() if s <= scope]
            names = tuple(v.quantity for v in chosen if v.quantity in scope)
            rows = _tried(design, chosen, names, (evaluator, frozenset(mine)), prepare, prepared)
            found += [_table(evaluator, i, pending.pop(i), names, rows) for i in mine]
    return tuple(found)


UNREAD_BY_MEMBERS = ("guards", "stairs")
"""Parts with many facts of their own, which what carries the deck is seldom worked out from."""


def _without_unread_parts(
    design: Design, both: Sequence[tuple[Evaluator, list[frozenset[str]]]]
) -> Design:
    """Leave out parts that no clause reads which depends on a choice: the rest is quicker to try."""
    read = {
        group
        for evaluator, scopes in both
        for group, order in evaluator.plan.groups
        if any(scopes[i] for i in order)
    }
    parts = {
        group: () if group in UNREAD_BY_MEMBERS and group not in read else stated
        for group, stated in design.parts.items()
    }
    return replace(design, parts=parts)


def _widest(scopes: Iterable[frozenset[str]]) -> list[frozenset[str]]:
    """Return the scopes none of the others holds, the widest first."""
    every = sorted(set(scopes), key=lambda s: (-len(s), sorted(s)))
    return [s for n, s in enumerate(every) if not any(s < other for other in every[:n])]


def _tried(
    design: Design,
    chosen: Sequence[Variable],
    names: tuple[str, ...],
    asked: tuple[Evaluator, frozenset[int]],
    prepare: Prepare,
    prepared: dict[tuple[Any, ...], PreparedDesign],
) -> dict[Values, dict[int, Verdict]]:
    """Evaluate every combination of some choices; the others stand at their first option."""
    evaluator, wanted = asked
    options = {v.quantity: v.options for v in chosen}
    first = {v.quantity: v.options[0] for v in chosen}
    rows: dict[Values, dict[int, Verdict]] = {}
    for values in product(*(options[name] for name in names)):
        key = (names, values)
        if key not in prepared:
            choice = {**first, **dict(zip(names, values, strict=True))}
            prepared[key] = prepare(with_choice(design, choice))
        rows[values] = _verdicts(evaluator, prepared[key], wanted)
    return rows


def _verdicts(
    evaluator: Evaluator, design: PreparedDesign, wanted: frozenset[int]
) -> dict[int, Verdict]:
    found: dict[int, list[Any]] = {}
    for index, _, result in evaluator.rows(design):
        if index in wanted:
            found.setdefault(index, []).append(result)
    return {index: _together(results) for index, results in found.items()}


def _together(results: list[Any]) -> Verdict:
    status = worst([r[0] for r in results])
    lacking = [r for r in results if r[0] == status == INFORMATION_MISSING]
    if any(not r[5] for r in lacking):  # for one part at least, nothing stated would decide it
        return Verdict(status)
    return Verdict(status, frozenset(str(name) for r in lacking for name in r[5]))


def _table(
    evaluator: Evaluator,
    index: int,
    scope: frozenset[str],
    names: tuple[str, ...],
    rows: Mapping[Values, Mapping[int, Verdict]],
) -> ClauseTable:
    own = [n for n, name in enumerate(names) if name in scope]
    verdicts = {
        tuple(values[n] for n in own): found.get(index, Verdict(NOT_APPLICABLE))
        for values, found in rows.items()
    }
    clause = evaluator.ruleset.clauses[index]
    return ClauseTable(evaluator.ruleset.name, clause, tuple(names[n] for n in own), verdicts)


class _Influence:
    """Which facts and distances change with which choice."""

    def __init__(self, design: Design, chosen: Sequence[Variable], prepare: Prepare) -> None:
        self.of: dict[Name, set[str]] = {}
        for end in (0, -1):
            base = {v.quantity: v.options[end] for v in chosen}
            before = _known(prepare(with_choice(design, base)))
            for variable in chosen:
                for option in _samples(variable):
                    after = _known(
                        prepare(with_choice(design, {**base, variable.quantity: option}))
                    )
                    for name in before.keys() | after.keys():
                        if before.get(name) != after.get(name):
                            self.of.setdefault(name, set()).add(variable.quantity)

    def on(self, names: Iterable[Name]) -> frozenset[str]:
        """Return the choices that any of the facts and distances depends on."""
        return frozenset(choice for name in names for choice in self.of.get(name, ()))


def _samples(variable: Variable) -> tuple[Scalar, ...]:
    """Return options to change a fact by: every choice; of measures the ends and one between.

    What is worked out from a measure changes with every change of it, or at an end.
    """
    options = variable.options
    if all(isinstance(option, Fraction) for option in options):
        return tuple(dict.fromkeys((options[0], options[len(options) // 2], options[-1])))
    return options


WITH_A_SECTION = ("joists", "doors")
"""Parts that datums of the section belong to; the others stand on the section of the whole deck."""


def _known(design: PreparedDesign) -> dict[Name, tuple[Any, ...]]:
    """Return every fact and distance, for the deck as a whole and for each of its parts."""
    found: dict[Name, tuple[Any, ...]] = {}

    def add(place: int, facts: Mapping[Any, Any]) -> None:
        for name, value in facts.items():
            found[name] = (*found.get(name, ()), (place, value))

    whole = design.facts()
    add(0, whole)
    add(0, known_distances(whole))
    number = 0
    for group, parts in design.design.parts.items():
        for part in parts:
            number += 1
            facts = design.facts(group, part.name)
            own = {n: v for n, v in facts.items() if whole.get(n) is not v}
            add(number, own)
            if group in WITH_A_SECTION:
                add(number, known_distances(facts))
    return found


def _scopes(evaluator: Evaluator, influence: _Influence) -> list[frozenset[str]]:
    plan, clauses = evaluator.plan, evaluator.ruleset.clauses
    fixed = {s.quantity for s in evaluator.ruleset.settings}
    providers: dict[str, list[int]] = {}
    for index, quantity in enumerate(plan.provides):
        if quantity:
            providers.setdefault(quantity, []).append(index)

    def scope(index: int) -> frozenset[str]:
        names: set[Name] = set()
        waiting, seen = [index], {index}
        while waiting:
            at = waiting.pop()
            names |= {(d.start, d.end) for d in distances(clauses[at])}
            for name in plan.reads[at]:
                if name in fixed:
                    continue
                names.add(name)
                new = [i for i in providers.get(name, ()) if i not in seen]
                seen.update(new)
                waiting += new
        return influence.on(names)

    return [scope(index) for index in range(len(clauses))]
