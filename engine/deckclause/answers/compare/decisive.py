"""The few answers that decide most: which facts, once stated, leave most topics lacking nothing.

Each undecided topic lacks a set of facts now, under all rule sets together. A set of answers
*covers* a topic if it holds all that the topic lacks. That is what can be told without knowing
the answers: an answer may open a further question, so a covered topic lacks nothing of what is
asked now, no more. Topics that wait for a book to be read are covered by no answer.

Of at most so many answers those are told that cover most topics, and of these the fewest. It is a
hard problem (it holds densest-subgraph as the case of topics that lack two facts each), solved by
branch and bound: a fact is taken or left; each topic shares its one point equally among the facts
it still lacks, so that no so many facts can gain more than the greatest shares summed. Where that
takes more steps than are allowed, the best found is told, and that it was not proved.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Mapping
from math import lcm

from msgspec import Struct

MOST_STEPS = 4_000
"""Steps of the search at most."""
MOST_ANSWERS = 5
"""Answers told at most: a reader acts on a few."""

Lack = frozenset[str]


class Decisive(Struct, frozen=True):
    """So many answers that cover so many of the undecided topics.

    `exact`: no other so many cover more, and no fewer cover as many. Otherwise the search was ended.
    """

    answers: tuple[str, ...]
    covered: int
    undecided: int
    needs_book: int
    exact: bool


def decisive(
    lacking: Mapping[str, Lack], *, needs_book: Collection[str] = (), most: int = MOST_ANSWERS
) -> Decisive | None:
    """Return the answers, at most `most`, that cover most topics; of as good ones the fewest.

    `lacking` holds what each topic lacks of the design; `needs_book` names those that wait for a
    book as well or instead. Returns None where no answer covers a topic; where no so few answers
    cover one, those that most topics lack.

    >>> lacking = {"a": frozenset("x"), "b": frozenset("x"), "c": frozenset("yz")}
    >>> decisive(lacking).answers
    ('x', 'y', 'z')
    >>> few = decisive(lacking, most=2)
    >>> few.answers, few.covered, few.undecided, few.exact
    (('x',), 2, 3, True)
    """
    coverable = {topic: lack for topic, lack in lacking.items() if lack and topic not in needs_book}
    undecided = len({*lacking, *needs_book})
    weights = Counter(coverable.values())
    if not weights:
        return None
    search = _Search(weights, most)
    search.run(frozenset(), frozenset())
    chosen = search.best or frozenset(_most_lacked(weights, most))
    ordered = tuple(sorted(chosen, key=lambda name: (-_touching(weights, name), name)))
    covered = _covered(weights, chosen)
    return Decisive(ordered, covered, undecided, len(needs_book), search.steps <= MOST_STEPS)


def _most_lacked(weights: Counter[Lack], most: int) -> list[str]:
    names = {name for lack in weights for name in lack}
    return sorted(names, key=lambda name: (-_touching(weights, name), name))[:most]


class _Search:
    """Branch and bound over the facts that topics with few facts lacking lack."""

    def __init__(self, weights: Counter[Lack], most: int) -> None:
        self.weights = {lack: count for lack, count in weights.items() if len(lack) <= most}
        self.most = most
        self.steps = 0
        self.best: Lack = frozenset()
        self.rank = (0, 0)
        self.parts = lcm(*range(1, most + 1))
        """Parts of a topic's point, so that any share of it is whole."""

    def run(self, taken: Lack, left: Lack) -> None:
        """Look for better answers that hold `taken` and none of `left`."""
        self.steps += 1
        if self.steps > MOST_STEPS:
            return
        room = self.most - len(taken)
        covered = 0
        shares: Counter[str] = Counter()
        for lack, count in self.weights.items():
            open_ones = lack - taken
            if not open_ones:
                covered += count
            elif len(open_ones) <= room and not open_ones & left:
                share = count * self.parts // len(open_ones)
                for name in open_ones:
                    shares[name] += share
        self._note(taken, covered)
        gain = sum(sorted(shares.values(), reverse=True)[:room])
        if not gain or (covered + gain // self.parts, -len(taken) - 1) <= self.rank:
            return
        name = max(shares, key=lambda one: (shares[one], one))
        self.run(taken | {name}, left)
        self.run(taken, left | {name})

    def _note(self, taken: Lack, covered: int) -> None:
        if covered <= self.rank[0] and (covered, -len(taken)) <= self.rank:
            return
        used = frozenset(name for lack in self.weights if lack <= taken for name in lack)
        if (covered, -len(used)) > self.rank:
            self.rank, self.best = (covered, -len(used)), used


def _covered(weights: Counter[Lack], chosen: frozenset[str]) -> int:
    return sum(count for lack, count in weights.items() if lack <= chosen)


def _touching(weights: Counter[Lack], name: str) -> int:
    """Count the topics that lack a fact, alone or with others."""
    return sum(count for lack, count in weights.items() if name in lack)
