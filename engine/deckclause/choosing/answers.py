"""Whether any answer to what a design leaves open is known to make a clause comply.

Joists 24 in apart under 5/4 boards fail square to the joists and at 45 degrees alike: which way the
boards run need not be known to know that. Only facts with few values are answered, a choice or yes
and no; a measure that is missing leaves the clause open.
"""

from __future__ import annotations

from collections.abc import Container, Mapping
from typing import Any

from deckclause.evaluate.evaluator import Evaluator, InTicks
from deckclause.evaluate.prepare import TickFacts
from deckclause.evaluate.scale import Scale
from deckclause.evaluate.status import COMPLIES, INFORMATION_MISSING, NOT_APPLICABLE
from deckclause.rulesets.clauses import Scalar
from deckclause.rulesets.vocabulary import QuantityDefinition

MOST_ANSWERED = 3
"""Facts answered one within another; a clause that wants more stays open."""

WAITS = -1
"""Still open for facts that could be stated: one of them may yet make it comply."""
MAY_PASS = {int(COMPLIES), int(NOT_APPLICABLE), WAITS}


class Answers:
    """Tries the answers to what one clause of a rule set lacks."""

    def __init__(
        self,
        evaluator: Evaluator,
        index: int,
        groups: Container[str],
        quantities: Mapping[str, QuantityDefinition],
    ) -> None:
        self.evaluator = evaluator
        self.index = index
        self.groups = groups
        self.quantities = quantities

    def none_passes(self, deck: InTicks) -> bool:
        """Tell whether, of one part at least, no answer is known to comply.

        Each fails, needs an engineer or rests on print not seen.
        The parts of a deck are answered apart: another part may have other boards.
        """
        return any(found.isdisjoint(MAY_PASS) for found in self._reached(deck, {}).values())

    def _reached(self, deck: InTicks, answers: dict[str, Scalar]) -> dict[int, set[int]]:
        """Return, by the number of the part, the statuses any further answers come to."""
        results = [
            result
            for index, _, result in self.evaluator.rows(Answered(deck, answers), self.groups)
            if index == self.index
        ]
        reached = {
            number: {WAITS if status == INFORMATION_MISSING and missing else int(status)}
            for number, (status, *_, missing) in enumerate(results)
        }
        asked = dict.fromkeys(
            str(name)
            for status, *_, missing in results
            if status == INFORMATION_MISSING
            for name in missing or ()
        )
        name = next((n for n in asked if n not in answers and self._values(n)), None)
        if name is None or len(answers) == MOST_ANSWERED:
            return reached
        open_parts = {n for n, statuses in reached.items() if WAITS in statuses}
        for number in open_parts:
            reached[number] = set()
        for value in self._values(name):
            further = self._reached(deck, {**answers, name: value})
            for number in open_parts:
                reached[number] |= further.get(number, {WAITS})
        return reached

    def _values(self, name: str) -> tuple[Scalar, ...]:
        definition = self.quantities.get(name)
        if definition is None:
            return ()
        return (True, False) if definition.kind == "yes_no" else definition.choices


class Answered:
    """A deck in which facts not stated have an answer; what is stated stands."""

    __slots__ = ("answers", "deck")

    def __init__(self, deck: InTicks, answers: Mapping[str, Scalar]) -> None:
        self.deck = deck
        self.answers = answers

    def once(self, scale: Scale) -> TickFacts:
        """Return the facts of the deck as a whole."""
        return self._answered(self.deck.once(scale))

    def parts(self, group: str, scale: Scale) -> tuple[tuple[str, TickFacts], ...]:
        """Return name and facts of each part of a group."""
        return tuple((name, self._answered(f)) for name, f in self.deck.parts(group, scale))

    def _answered(self, found: TickFacts) -> TickFacts:
        stated: dict[str, Any] = {n: v for n, v in found.facts.items() if v is not None}
        return TickFacts({**self.answers, **stated}, found.distances)
