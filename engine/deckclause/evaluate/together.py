"""Whether a deck holds together: the same under every rule set, asked before any clause of a book.

The rules are those of rules/coherence.yaml, evaluated like any others on facts worked out across
the deck's parts (designs/together/). No outcome of a book stands above what they say.
"""

from __future__ import annotations

from deckclause.designs.together.whole import states_whole_deck, worked_out
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.findings import Evaluation, evaluate
from deckclause.evaluate.prepare import PreparedDesign

PART = "together"
"""The part of topics.yaml its topics belong to."""


def holds_together(catalogue: Catalogue, design: PreparedDesign) -> Evaluation | None:
    """Evaluate whether a design holds together; None for a rules folder that does not ask it."""
    evaluator = catalogue.coherence()
    if evaluator is None:
        return None
    prepared = catalogue.prepare(worked_out(design.design))
    return evaluate(prepared, evaluator, catalogue.vocabulary)


def is_of_whole_deck(design: PreparedDesign) -> bool:
    """Tell whether a design describes the deck and not only its connection to the house."""
    return states_whole_deck(design.design)
