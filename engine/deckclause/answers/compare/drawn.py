"""What a comparison's report draws: the design's sections, its ledger, its plan and stairs as stated."""

from __future__ import annotations

from msgspec import Struct

from deckclause.answers.elevations import ElevationsAnswer, elevations_answer
from deckclause.answers.outlines.views import StatedView, stated_view
from deckclause.answers.sections import SectionsAnswer, sections_answer
from deckclause.compare.comparison import Comparison
from deckclause.rulesets.vocabulary import Vocabulary


class Drawn(Struct, frozen=True):
    """Sections and elevations, each shared by the rule sets under which they are the same."""

    sections: SectionsAnswer
    elevations: ElevationsAnswer
    stated: tuple[StatedView, ...] = ()


def drawn_answer(comparison: Comparison, vocabulary: Vocabulary) -> Drawn:
    """Work out what is drawn of a comparison."""
    design, evaluators = comparison.design, comparison.evaluators
    return Drawn(
        sections_answer(design, evaluators, vocabulary),
        elevations_answer(design, evaluators, vocabulary),
        tuple(stated_view(view, design) for view in ("plan", "stairs")),
    )
