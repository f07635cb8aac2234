"""A load the design states higher than the place's own value: what it would change.

The place's value is the one its rules are read at. A design that states a higher one was drawn for
it: what that load would change is told beside every outcome, so that none is a pass by silence.
"""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from deckclause.evaluate.evaluator import Evaluator
from deckclause.evaluate.findings import Evaluation, evaluate
from deckclause.rulesets.clauses import Origin, Provides
from deckclause.rulesets.ruleset import Setting
from deckclause.rulesets.vocabulary import Vocabulary

LOADS = ("site.ground_snow_load",)
"""Loads a design may state and a place may fix; a greater one is never less grave."""


class Heavier(Struct, frozen=True):
    """A load as the design states it, as the place has it, and the evaluation at the former."""

    quantity: str
    stated: Fraction
    used: Fraction
    evaluation: Evaluation


def heavier(evaluation: Evaluation, evaluator: Evaluator, vocabulary: Vocabulary) -> Heavier | None:
    """Return the evaluation at the higher load a design states; None where it states none."""
    for quantity in LOADS:
        stated, used = evaluation.design.facts().get(quantity), _used(evaluation, quantity)
        if isinstance(stated, Fraction) and used is not None and stated > used:
            at_stated = _at(evaluator, quantity, stated, vocabulary)
            found = evaluate(evaluation.design, at_stated, vocabulary)
            return Heavier(quantity, stated, used, found)
    return None


def _used(evaluation: Evaluation, quantity: str) -> Fraction | None:
    """Return the value of the place: one it fixes, or one its clause gives."""
    for setting in evaluation.ruleset.settings:
        if setting.quantity == quantity:
            return setting.value if isinstance(setting.value, Fraction) else None
    for finding in evaluation.findings:
        requirement = finding.clause.requirement
        gives = isinstance(requirement, Provides) and requirement.quantity == quantity
        if gives and isinstance(finding.value, Fraction):
            return finding.value
    return None


def _at(evaluator: Evaluator, quantity: str, value: Fraction, vocabulary: Vocabulary) -> Evaluator:
    ruleset = evaluator.ruleset
    others = tuple(s for s in ruleset.settings if s.quantity != quantity)
    as_stated = Setting(quantity, value, Origin(ruleset.name, "", 0), "", "", "confirmed")
    return evaluator.with_ruleset(
        replace(ruleset, settings=(*others, as_stated)), vocabulary.quantities
    )
