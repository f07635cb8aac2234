"""Whether an amendment changes anything: changes that leave a rule set as it was, and odd ones."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from deckclause.evaluate.words import fact_text
from deckclause.rulesets.clauses import Fixed, Limit, Provides, Scalar
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.ruleset import RuleSet
from deckclause.rulesets.substance import substance
from deckclause.rulesets.vocabulary import Vocabulary
from deckclause.rulesets.walk import clause_reads


def without_effect(base: RuleSet, amended: RuleSet, vocabulary: Vocabulary) -> list[str]:
    """Name every change of `amended` that leaves what `base` asks as it was, and why."""
    found = [*unchanged_clauses(base, amended), *unchanged_values(base, amended, vocabulary)]
    return [f"{target}: {why}" for target, why in found]


def refuse_idle(idle: Sequence[str]) -> None:
    """Raise InputError where changes change nothing; `idle` is what `without_effect` names."""
    if idle:
        raise InputError.single("amend", f"nothing would change. {'; '.join(idle)}")


def unchanged_clauses(base: RuleSet, amended: RuleSet) -> Iterator[tuple[str, str]]:
    """Yield key and reason of each replaced clause that asks of every design what it asked."""
    before = {c.key: c for c in base.clauses}
    for clause in amended.clauses:
        old = before.get(clause.key)
        if old is None or old is clause or not clause.origin.ordinance:
            continue
        if old.origin != clause.origin and substance(old) == substance(clause):
            yield clause.key, f"it asks what {base.name} asks ({old.cites}: {old.says})"


def unchanged_values(
    base: RuleSet, amended: RuleSet, vocabulary: Vocabulary
) -> Iterator[tuple[str, str]]:
    """Yield quantity and reason of each value fixed that the rule set gives itself."""
    own = {s.quantity: s.value for s in base.settings}
    for name, value in edition_values(base).items():
        own.setdefault(name, value)
    before = {s.quantity: s for s in base.settings}
    for setting in amended.settings:
        if before.get(setting.quantity) == setting:
            continue
        if own.get(setting.quantity) == setting.value:
            figure = fact_text(setting.value, vocabulary.quantities[setting.quantity])
            yield setting.quantity, f"{base.name} gives {figure} itself"


def edition_values(ruleset: RuleSet) -> dict[str, Scalar]:
    """Return the quantities a rule set's clauses give one fixed value wherever they apply."""
    found: dict[str, Scalar] = {}
    twice: set[str] = set()
    for clause in ruleset.clauses:
        requirement = clause.requirement
        if isinstance(requirement, Provides):
            if requirement.quantity in found or not isinstance(requirement.value, Fixed):
                twice.add(requirement.quantity)
            elif isinstance(requirement.value, Fixed):
                found[requirement.quantity] = requirement.value.value
    return {name: value for name, value in found.items() if name not in twice}


def odd_changes(base: RuleSet, amended: RuleSet) -> Iterator[str]:
    """Yield a line on each change that takes hold, yet may not be what was meant."""
    before = {c.key: c for c in base.clauses}
    for clause in amended.clauses:
        old = before.get(clause.key)
        if old is None or old is clause:
            continue
        one, two = old.requirement, clause.requirement
        if not isinstance(one, Limit) or not isinstance(two, Limit) or one.exactly or two.exactly:
            continue
        for side, word in (("least", "a least"), ("most", "a greatest")):
            if getattr(one, side) is None and getattr(two, side) is not None:
                yield (
                    f"{clause.key} set no {word.split()[1]} value before; now it sets one beside "
                    f"what it set. Is that the side you meant?"
                )
    read = {name for clause in amended.clauses for name in clause_reads(clause)}
    given = {c.requirement.quantity for c in amended.clauses if isinstance(c.requirement, Provides)}
    known = {s.quantity for s in base.settings}
    for setting in amended.settings:
        if setting.quantity not in read | given | known:
            yield f"no clause of {base.name} reads {setting.quantity}; fixing it changes no outcome"
