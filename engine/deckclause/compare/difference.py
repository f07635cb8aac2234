"""Which clauses of two rule sets differ, by key; what counts as the same rule."""

from __future__ import annotations

from collections.abc import Mapping

from deckclause.evaluate.evaluator import Evaluator
from deckclause.rulesets.ruleset import RuleSet, Setting
from deckclause.rulesets.substance import substance

__all__ = ["SETTING", "differing_keys", "keys_that_differ", "settings_by_key", "substance"]

SETTING = "set:"
"""Marks the key of a value a jurisdiction sets."""


def settings_by_key(ruleset: RuleSet) -> dict[str, Setting]:
    """Return a rule set's settings by key."""
    return {SETTING + s.quantity: s for s in ruleset.settings}


def differing_keys(one: RuleSet, two: RuleSet) -> tuple[str, ...]:
    """Return the keys of clauses and settings that are not the same in both, in order."""
    first = {c.key: substance(c) for c in one.clauses}
    second = {c.key: substance(c) for c in two.clauses}
    return (*_unlike(first, second), *_settings_unlike(one, two))


def keys_that_differ(one: Evaluator, two: Evaluator) -> tuple[str, ...]:
    """Do as `differing_keys`, by what was kept of each clause when it was compiled."""
    first, second = (
        dict(zip((c.key for c in e.ruleset.clauses), e.substances, strict=True)) for e in (one, two)
    )
    return (*_unlike(first, second), *_settings_unlike(one.ruleset, two.ruleset))


def _unlike(one: Mapping[str, object], two: Mapping[str, object]) -> list[str]:
    return [key for key in dict.fromkeys([*one, *two]) if one.get(key) != two.get(key)]


def _settings_unlike(one: RuleSet, two: RuleSet) -> list[str]:
    first, second = (
        {key: setting.value for key, setting in settings_by_key(r).items()} for r in (one, two)
    )
    return _unlike(first, second)
