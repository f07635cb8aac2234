"""What clauses provide to other clauses, when some are taken from one rule set and some from another.

A distance clause may read a quantity that another clause or a jurisdiction gives (the snow rows of
a table, say). Exchanging that one changes this one's figure, so it counts among the clauses that
may drive a difference.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from deckclause.compare.difference import SETTING, settings_by_key, substance
from deckclause.evaluate.evaluator import Evaluator
from deckclause.evaluate.plain import OutsideTables, figure, truth
from deckclause.evaluate.runtime import BEYOND, Special
from deckclause.placement.limits import requirement_of
from deckclause.rulesets.clauses import Clause, Provides
from deckclause.rulesets.walk import clause_reads


class MixedFacts:
    """The quantities some clauses of two rule sets read and others provide, under exchanges."""

    def __init__(self, one: Evaluator, two: Evaluator, reads: Iterable[str]) -> None:
        self.sides = tuple(_providers(e) for e in (one, two))
        self.settings = tuple(settings_by_key(e.ruleset) for e in (one, two))
        self.order: list[str] = []
        for name in reads:
            self._visit(name, ())
        self.keys = (*self._clause_keys(), *self._setting_keys())

    def _visit(self, name: str, above: tuple[str, ...]) -> None:
        """Put what a quantity rests on before it."""
        if name in self.order or name in above:
            return
        for side in self.sides:
            for clause in side.get(name, ()):
                for read in clause_reads(clause):
                    self._visit(read, (*above, name))
        self.order.append(name)

    def _clause_keys(self) -> tuple[str, ...]:
        one, two = (
            {c.key: c for name in self.order for c in side.get(name, ())} for side in self.sides
        )
        keys = dict.fromkeys([*one, *two])
        return tuple(k for k in keys if substance(one.get(k)) != substance(two.get(k)))

    def _setting_keys(self) -> tuple[str, ...]:
        one, two = self.settings
        return tuple(
            SETTING + name
            for name in self.order
            if _value(one.get(SETTING + name)) != _value(two.get(SETTING + name))
        )

    def facts(self, facts: Mapping[str, Any], exchanged: frozenset[str]) -> dict[str, Any]:
        """Return a part's facts with what is provided and set under an exchange."""
        full = dict(facts)
        for name in self.order:
            setting = self.settings[SETTING + name in exchanged].get(SETTING + name)
            if setting is not None:
                full[name] = setting.value
                continue
            clauses = [
                clause
                for number, side in enumerate(self.sides)
                for clause in side.get(name, ())
                if (clause.key in exchanged) is bool(number)
            ]
            for clause in clauses:
                _provide(clause, name, full)
        return full


def _providers(evaluator: Evaluator) -> dict[str, list[Clause]]:
    found: dict[str, list[Clause]] = {}
    for quantity, clause in zip(evaluator.plan.provides, evaluator.ruleset.clauses, strict=True):
        if quantity:
            found.setdefault(quantity, []).append(clause)
    return found


def _value(setting: Any) -> Any:
    return None if setting is None else setting.value


def _provide(clause: Clause, name: str, facts: dict[str, Any]) -> None:
    """Give a quantity what a clause provides, as the evaluator does."""
    missing: list[str] = []
    try:
        if truth(clause.applies, facts, missing) is not True:
            return
        number = next(
            (n for n, e in enumerate(clause.exceptions, 1) if truth(e.when, facts, missing)), 0
        )
        requirement = requirement_of(clause, number)
        covered = truth(clause.scope, facts, missing)
        value = None
        if covered and isinstance(requirement, Provides):
            value = figure(requirement.value, facts, missing)
        beyond = covered is False or isinstance(value, Special)
    except OutsideTables:
        value, beyond = None, True
    facts[name] = BEYOND if beyond else value
