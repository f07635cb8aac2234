"""What a place sets by ordinance in place of the design's own values, and what reads it."""

from __future__ import annotations

from msgspec import Struct

from deckclause.evaluate.findings import Evaluation, Finding
from deckclause.evaluate.status import NOT_APPLICABLE
from deckclause.evaluate.words import fact_text
from deckclause.rulesets.ruleset import Setting
from deckclause.rulesets.vocabulary import Vocabulary
from deckclause.rulesets.walk import clause_reads


class PlaceValue(Struct, frozen=True):
    """One value set by ordinance, in words; `topics` are the titles of what reads it here."""

    quantity: str
    says: str
    act: str
    standing: str
    topics: tuple[str, ...]

    @property
    def told(self) -> str:
        """The value in a sentence, with its act and how well it is known."""
        return f"{self.says} ({self.act}; {self.standing})."


def place_values(evaluation: Evaluation, vocabulary: Vocabulary) -> tuple[PlaceValue, ...]:
    """Return every value the rule set's places set that a clause reads on this design."""
    stated = evaluation.design.facts()
    found: list[PlaceValue] = []
    for setting in evaluation.ruleset.settings:
        readers = [f for f in evaluation.findings if _reads(f, setting.quantity)]
        if not readers:
            continue
        definition = vocabulary.quantities[setting.quantity]
        says = (
            f"{setting.origin.place} sets the {definition.called} to "
            f"{fact_text(setting.value, definition)}"
        )
        own = stated.get(setting.quantity)
        if own is not None and own != setting.value:
            says += f"; the design's {fact_text(own, definition)} is not used"
        titles = dict.fromkeys(vocabulary.topics[f.topic].title for f in readers)
        found.append(
            PlaceValue(setting.quantity, says, act_text(setting), setting.standing, tuple(titles))
        )
    return tuple(found)


def _reads(finding: Finding, quantity: str) -> bool:
    return finding.status != NOT_APPLICABLE and quantity in clause_reads(finding.clause)


def act_text(setting: Setting) -> str:
    """Name the ordinance and its section that sets a value, and when it was adopted."""
    origin = setting.origin
    words = ", ".join(part for part in (origin.ordinance, origin.section) if part)
    return f"{words}, adopted {origin.adopted}" if origin.adopted else words
