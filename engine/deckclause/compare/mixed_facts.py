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
from deckclause.evaluate.reference import Given
from deckclause.reading.fold import reads
from deckclause.reading.forms import Rule


class MixedFacts:
    """The quantities some clauses of two rule sets read and others provide, under exchanges."""

    def __init__(self, one: Evaluator, two: Evaluator, wanted: Iterable[str]) -> None:
        self.sides = tuple(_providers(e) for e in (one, two))
        self.settings = tuple(settings_by_key(e.ruleset) for e in (one, two))
        self.order: list[str] = []
        for name in wanted:
            self._visit(name, ())
        self.keys = (*self._clause_keys(), *self._setting_keys())

    def _visit(self, name: str, above: tuple[str, ...]) -> None:
        """Put what a quantity rests on before it."""
        if name in self.order or name in above:
            return
        for side in self.sides:
            for rule in side.get(name, ()):
                for read in reads(rule):
                    self._visit(read, (*above, name))
        self.order.append(name)

    def _clause_keys(self) -> tuple[str, ...]:
        one, two = (
            {r.clause.key: r.clause for name in self.order for r in side.get(name, ())}
            for side in self.sides
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
        given = Given(dict(facts))
        for name in self.order:
            setting = self.settings[SETTING + name in exchanged].get(SETTING + name)
            if setting is not None:
                given.facts[name] = setting.value
                continue
            rules = [
                rule
                for number, side in enumerate(self.sides)
                for rule in side.get(name, ())
                if (rule.clause.key in exchanged) is bool(number)
            ]
            for rule in rules:
                given.give(name, given.read(rule, {}).outcome)
        return given.facts


def _providers(evaluator: Evaluator) -> dict[str, list[Rule]]:
    found: dict[str, list[Rule]] = {}
    for index, quantity in enumerate(evaluator.plan.provides):
        if quantity:
            found.setdefault(quantity, []).append(evaluator.rule(index))
    return found


def _value(setting: Any) -> Any:
    return None if setting is None else setting.value
