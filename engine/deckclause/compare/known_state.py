"""What can be said of a topic under two rule sets: five states of knowledge.

Unknown is never unchanged. What nobody has read, or what is not held here, is told apart from what
was read on both sides and found the same; and what is merely not held is no change of the code.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum

from deckclause.rulesets.ruleset import RuleSet


class State(StrEnum):
    """What can be said of a topic under two rule sets."""

    CHANGED = "changed"
    """What is asked differs, as both are held here."""
    SAME = "same"
    """Read in both, and the same; or one and the same text, as a place's and its edition's is."""
    AS_FAR_AS_KNOWN = "same as far as known"
    """The same as held here; one side at least is carried unread or from memory."""
    CANNOT_BE_TOLD = "cannot be told"
    """One side at least is not modelled or has figures not seen."""
    MOVED = "moved only"
    """Read in both, and the same under another number."""
    NOT_DECIDED = "not decided"
    """Of one deck: it does not state what either asks, so what would come of it is not known."""


def one_text(one: RuleSet, two: RuleSet, topic: str) -> bool:
    """Tell whether both have the very clauses of one edition on a topic: the same, whatever it says."""
    if one.edition != two.edition:
        return False
    first, second = (
        [(c.key, c.origin) for c in ruleset.topic_clauses(topic)] for ruleset in (one, two)
    )
    return first == second


def counted_words(
    counted: Mapping[State, int], read: int, *, of_one_edition: bool, deck: bool = False
) -> str:
    """Write how many topics are in each state; `read` of those changed were read on both sides.

    `deck` writes it of what comes of one deck and leaves states without a topic out; else of the rules.

    >>> counted_words({State.CHANGED: 2, State.SAME: 5}, 1, of_one_edition=False)
    '2 changed (1 of them seen in print on both sides); 5 the same, seen in print on both sides; \
0 moved only; 0 the same as far as known, one side not seen in print; \
0 not known, as one side is not wholly held here'
    """
    same = "being the text of one edition" if of_one_edition else "seen in print on both sides"
    told = [
        (State.CHANGED, f"changed ({read} of them seen in print on both sides)"),
        (State.SAME, f"the same, {same}"),
        (State.MOVED, "moved only"),
        (State.AS_FAR_AS_KNOWN, "the same as far as known, one side not seen in print"),
        (State.CANNOT_BE_TOLD, "not known, as one side is not wholly held here"),
    ]
    if deck:
        told.append((State.NOT_DECIDED, "not known, as the deck is not stated far enough"))
        told = [(state, words) for state, words in told if counted.get(state)]
    lines = [f"{counted.get(state, 0)} {words}" for state, words in told]
    if not counted.get(State.CHANGED):
        lines = ["none known to have changed", *lines[0 if deck else 1 :]]
    return "; ".join(lines)
