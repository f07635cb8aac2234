"""Make a compiled rule set ready to run."""

from __future__ import annotations

from deckclause.evaluate.evaluator import Compiled, Evaluator
from deckclause.rulesets.vocabulary import QuantityDefinition


def make_ready(compiled: Compiled, quantities: dict[str, QuantityDefinition]) -> Evaluator:
    """Make a compiled rule set ready to run."""
    return Evaluator(compiled, quantities)
