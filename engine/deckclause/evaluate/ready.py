"""Make a compiled rule set ready to run."""

from __future__ import annotations

from deckclause.evaluate.evaluator import Compiled, Evaluator
from deckclause.rulesets.vocabulary import QuantityDefinition


def make_ready(compiled: Compiled, quantities: dict[str, QuantityDefinition]) -> Evaluator:
    """Make a compiled rule set ready to run."""
    settings = {
        s.quantity: compiled.scale.ticks(s.value, quantities[s.quantity])
        for s in compiled.ruleset.settings
    }
    return Evaluator(compiled, settings)
