"""The ledger in elevation under rule sets, worked out for every report: layouts, or why there is none.

A layout is worked out only where the design states its ledger, its band joist's pieces and its
joists, and the rows as stated comply; nothing is taken for granted here.
"""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from deckclause.evaluate.evaluator import Evaluator
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.placement.boards import SectionError
from deckclause.placement.from_rules import PlacementRules
from deckclause.placement.layout_answer import LayoutAnswer, layout_of
from deckclause.placement.ledger_line import LayoutError
from deckclause.rulesets.vocabulary import Vocabulary


class ElevationFound(Struct, frozen=True):
    """A layout with its schedule, and the rule sets that come to it."""

    layout: LayoutAnswer
    names: tuple[str, ...]


class ElevationLacking(Struct, frozen=True):
    """Rule sets without a layout: the boards' fault in words, else the answer and what it asks."""

    fault: str
    layout: LayoutAnswer | None
    questions: tuple[str, ...]
    names: tuple[str, ...]


class ElevationsAnswer(Struct, frozen=True):
    """The elevations of one design; none and none lacking where it hangs on no ledger."""

    design: str
    hangs: bool
    found: tuple[ElevationFound, ...] = ()
    lacking: tuple[ElevationLacking, ...] = ()


def elevations_answer(
    design: PreparedDesign, evaluators: Sequence[Evaluator], vocabulary: Vocabulary
) -> ElevationsAnswer:
    """Work a design's ledger out under rule sets; those with the same layout share one."""
    name = design.design.name
    if design.facts().get("deck.attachment") != "ledger":
        return ElevationsAnswer(name, hangs=False)
    found: list[ElevationFound] = []
    lacking: list[ElevationLacking] = []
    for evaluator in evaluators:
        named = (evaluator.ruleset.name,)
        try:
            layout = layout_of(design, PlacementRules(evaluator, vocabulary))
        except (LayoutError, SectionError) as fault:
            lacking.append(ElevationLacking(str(fault), None, (), named))
            continue
        if layout.schedule:
            _share(found, layout, named)
        else:
            lacking.append(ElevationLacking("", layout, _questions(layout, vocabulary), named))
    return ElevationsAnswer(name, hangs=True, found=tuple(found), lacking=tuple(lacking))


def _share(found: list[ElevationFound], layout: LayoutAnswer, named: tuple[str, ...]) -> None:
    """Put a layout to those found, or its rule set to one that is the same."""
    for place, one in enumerate(found):
        if (one.layout.layout, one.layout.row_depths) == (layout.layout, layout.row_depths):
            found[place] = ElevationFound(one.layout, (*one.names, *named))
            return
    found.append(ElevationFound(layout, named))


def _questions(layout: LayoutAnswer, vocabulary: Vocabulary) -> tuple[str, ...]:
    asked = [(name, vocabulary.quantities.get(name)) for name in layout.missing]
    return tuple(found.ask if found else name for name, found in asked)
