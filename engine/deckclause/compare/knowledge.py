"""What is known of a difference: five states of a topic under two rule sets.

Unknown is never unchanged. What nobody has read, or what is not held here, is told apart from what
was read on both sides and found the same; and what is merely not held is no change of the code.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence

from msgspec import Struct

from deckclause.compare.known_state import State, counted_words, one_text
from deckclause.compare.rule_diff.clauses import MOVED, RuleDiff
from deckclause.compare.rule_diff.weight import true_changes, unheld
from deckclause.rulesets.clauses import Clause, Provides
from deckclause.rulesets.standing import unread, untold

Sides = tuple[tuple[Clause, ...], tuple[Clause, ...]]
"""The clauses on one topic under each of two rule sets."""


class TopicState(Struct, frozen=True):
    """The state of one topic, and which sides it rests on memory or is not wholly held."""

    topic: str
    state: State
    unread: tuple[bool, bool]
    untold: tuple[bool, bool]
    one_text: bool = False
    """Whether both have the very clauses of one edition: a place adopts it whatever it says."""

    @property
    def read(self) -> bool:
        """Whether all of it was read on both sides."""
        return not any(self.unread) and not any(self.untold)


def topic_states(diff: RuleDiff, topics: Sequence[str]) -> tuple[TopicState, ...]:
    """Return the state of each topic of `topics` that either rule set speaks on, in order."""
    changed = {change.topic for change in true_changes(diff)} | _set_otherwise(diff)
    lacking = {change.topic for change in unheld(diff)}
    moved = {change.topic for change in diff.changes if change.kind == MOVED}
    found = []
    for topic in topics:
        sides = (diff.one.topic_clauses(topic), diff.two.topic_clauses(topic))
        if any(sides):
            not_read = _any(unread, sides)
            not_told = _any(untold, sides)
            same_text = one_text(diff.one, diff.two, topic)
            if topic in changed:
                state = State.CHANGED
            elif same_text:
                state = State.SAME
            elif any(not_told) or topic in lacking:
                state = State.CANNOT_BE_TOLD
            elif any(not_read):
                state = State.AS_FAR_AS_KNOWN
            else:
                state = State.MOVED if topic in moved else State.SAME
            found.append(TopicState(topic, state, not_read, not_told, same_text))
    return tuple(found)


def _any(asks: Callable[[Clause], bool], sides: Sides) -> tuple[bool, bool]:
    return any(map(asks, sides[0])), any(map(asks, sides[1]))


def _set_otherwise(diff: RuleDiff) -> set[str]:
    """Return the topics whose value a place fixes otherwise."""
    fixed = {setting.quantity for setting in diff.settings}
    return {
        clause.topic
        for ruleset in (diff.one, diff.two)
        for clause in ruleset.clauses
        if isinstance(clause.requirement, Provides) and clause.requirement.quantity in fixed
    }


def states_words(diff: RuleDiff, topics: Sequence[str]) -> str:
    """Write how many topics are in each state of knowledge, of those either rule set speaks on."""
    states = topic_states(diff, topics)
    counted = Counter(entry.state for entry in states)
    read = sum(entry.read for entry in states if entry.state == State.CHANGED)
    words = counted_words(counted, read, of_one_edition=diff.one.edition == diff.two.edition)
    return f"What is known, of {len(states)} topics either speaks on: {words}."


STATE_SAYS = {
    State.CHANGED: "changed, as held here",
    State.SAME: "the same",
    State.AS_FAR_AS_KNOWN: "the same as far as known: one side at least was not seen in print",
    State.CANNOT_BE_TOLD: "not known: one side at least is not wholly held here",
    State.MOVED: "moved only",
}
UNREAD_CHANGE = "; one side at least was not seen in print, so the book may say otherwise"


def state_words(entry: TopicState) -> str:
    """Say what is known of one topic under two rule sets.

    >>> state_words(TopicState("t", State.SAME, (False, False), (False, False)))
    'the same'
    """
    words = STATE_SAYS[entry.state]
    return f"{words}{UNREAD_CHANGE}" if entry.state == State.CHANGED and not entry.read else words
