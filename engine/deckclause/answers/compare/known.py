"""What is known of the differences for one deck: from one rule set to another, topic by topic."""

from __future__ import annotations

from collections import Counter

from msgspec import Struct

from deckclause.answers.compare.row import TopicRow
from deckclause.compare.comparison import Comparison, ComparisonRow
from deckclause.compare.known_state import State, counted_words, one_text
from deckclause.compare.outcome import NOT_STATED, Outcome
from deckclause.rulesets.names import rule_set_title
from deckclause.rulesets.ruleset import RuleSet
from deckclause.rulesets.standing import unread


class KnownOfPair(Struct, frozen=True):
    """What is known of the differences from one column to another.

    `states` holds the state of every topic either rule set speaks on, in the order of the rows;
    `read` the topics that changed and were read on both sides.
    """

    first: int
    second: int
    states: tuple[tuple[str, State], ...]
    read: frozenset[str]
    words: str

    @property
    def counted(self) -> dict[State, int]:
        """How many topics are in each state, every state named."""
        counted = Counter(state for _, state in self.states)
        return {state: counted[state] for state in State}


def known_of_pairs(comparison: Comparison, rows: tuple[TopicRow, ...]) -> tuple[KnownOfPair, ...]:
    """Return what is known of every pair of columns whose changes are explained."""
    rulesets = [evaluation.ruleset for evaluation in comparison.evaluations]
    unread_topics = [{c.topic for c in ruleset.clauses if unread(c)} for ruleset in rulesets]

    def read(row: ComparisonRow, told: TopicRow, column: int) -> bool:
        """Tell whether all was read; of a rule set that is silent, nobody can have read that."""
        if told.cells[column].on_memory or row.topic.name in unread_topics[column]:
            return False
        return told.cells[column].deciding is not None

    found = []
    for pair in comparison.pairs:
        states: dict[str, State] = {}
        known: set[str] = set()
        for row, told in zip(comparison.rows, rows, strict=True):
            if all(told.cells[column].deciding is None for column in pair):
                continue
            both_read = all(read(row, told, column) for column in pair)
            state = _state(row, pair, (rulesets[pair[0]], rulesets[pair[1]]), both_read=both_read)
            states[row.topic.name] = state
            if state == State.CHANGED and both_read:
                known.add(row.topic.name)
        found.append(_pair(pair, rulesets, states, frozenset(known)))
    return tuple(found)


def _state(
    row: ComparisonRow, pair: tuple[int, int], sides: tuple[RuleSet, RuleSet], *, both_read: bool
) -> State:
    one, two = (row.compared[column] for column in pair)
    lacks = [_lacks(one), _lacks(two)]
    if (lacks[0] | lacks[1]) - {NOT_STATED}:
        return State.CANNOT_BE_TOLD
    if all(lacks):
        return (
            State.NOT_DECIDED
        )  # what each asks may differ: what comes of it waits for the answers
    if one != two:
        return State.CHANGED
    if one_text(*sides, row.topic.name):
        return State.SAME
    if not both_read:
        return State.AS_FAR_AS_KNOWN
    cites = [{f.cites for f in row.outcomes[column].findings} for column in pair]
    return State.SAME if cites[0] == cites[1] else State.MOVED


def _lacks(outcome: Outcome) -> set[str]:
    return {why for _, part in outcome.parts for why, _ in part.lacks}


def _pair(
    pair: tuple[int, int], rulesets: list[RuleSet], states: dict[str, State], read: frozenset[str]
) -> KnownOfPair:
    first, second = (rulesets[column] for column in pair)
    counted = Counter(states.values())
    words = counted_words(
        counted, len(read), of_one_edition=first.edition == second.edition, deck=True
    )
    topics = "topic" if len(states) == 1 else "topics"
    names = f"{rule_set_title(first.name)} to {rule_set_title(second.name)}"
    return KnownOfPair(
        *pair, tuple(states.items()), read, f"{names}, of {len(states)} {topics}: {words}."
    )
