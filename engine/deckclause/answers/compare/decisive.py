"""The few answers that decide most: which facts, once stated, leave most topics lacking nothing.

Each undecided topic lacks a set of facts now, under all rule sets together. A set of answers
*covers* a topic if it holds all that the topic lacks. That is what can be told without knowing
the answers: an answer may open a further question, so a covered topic lacks nothing of what is
asked now, no more. Topics that wait for a book to be read are covered by no answer.

Covering most topics with so many answers is a hard problem (it holds densest-subgraph as the case
of topics that lack two facts each), so it is solved by trying all sets where they are few, and
step by step where they are many; which of the two is told with the result.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from itertools import combinations
from math import comb

MOST_TRIED = 4_000
"""Sets of answers tried at most before the search goes step by step instead."""
MOST_ANSWERS = 5
"""Answers told at most: a reader acts on a few."""

Lack = frozenset[str]


@dataclass(frozen=True, slots=True)
class Decisive:
    """So many answers that cover so many of the undecided topics.

    `exact`: every set of so many answers was tried, so that no other covers more, and no fewer
    cover half of what answers can; or the answers are all there are. Otherwise the set was built step by step.
    """

    answers: tuple[str, ...]
    covered: int
    undecided: int
    needs_book: int
    exact: bool


def decisive(
    lacking: Mapping[str, Lack], *, needs_book: Collection[str] = (), most: int = MOST_ANSWERS
) -> Decisive | None:
    """Return the fewest answers that cover half of the topics answers can, at most `most`.

    `lacking` holds what each topic lacks of the design; `needs_book` names those that wait for a
    book as well or instead. Where all answers together are no more than `most`, all are told.
    Returns None where no answer covers a topic.

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
    names = sorted({name for lack in weights for name in lack})
    if len(names) <= most:
        return Decisive(tuple(names), len(coverable), undecided, len(needs_book), True)
    half = (len(coverable) + 1) // 2
    chosen, exact = _chosen(weights, names, half, most)
    covered = _covered(weights, frozenset(chosen))
    ordered = tuple(sorted(chosen, key=lambda name: (-_touching(weights, name), name)))
    return Decisive(ordered, covered, undecided, len(needs_book), exact)


def _chosen(
    weights: Counter[Lack], names: list[str], half: int, most: int
) -> tuple[tuple[str, ...], bool]:
    """Return the fewest answers that cover `half`; the best `most` where no so few do."""
    tried = 0
    best: tuple[str, ...] = ()
    for size in range(1, most + 1):
        tried += comb(len(names), size)
        if tried > MOST_TRIED:
            return _step_by_step(weights, half, most), False
        best = _best(weights, names, size)
        if _covered(weights, frozenset(best)) >= half:
            return best, True
    return best, True


def _best(weights: Counter[Lack], names: list[str], size: int) -> tuple[str, ...]:
    """Return the first of the sets of so many answers that cover most, each set as bits."""
    bits = {name: 1 << number for number, name in enumerate(names)}
    lacks = [(sum(bits[name] for name in lack), count) for lack, count in weights.items()]

    def covers(chosen: tuple[int, ...]) -> int:
        others = ~sum(chosen)
        return sum([count for lack, count in lacks if not lack & others])

    best = max(combinations(bits.values(), size), key=covers)
    return tuple(names[bit.bit_length() - 1] for bit in best)


def _step_by_step(weights: Counter[Lack], half: int, most: int) -> tuple[str, ...]:
    """Add, again and again, the lacking facts that cover most topics for each answer added."""
    chosen: frozenset[str] = frozenset()
    while len(chosen) < most and _covered(weights, chosen) < half:
        room = most - len(chosen)
        steps = [lack - chosen for lack in weights if 0 < len(lack - chosen) <= room]
        if not steps:
            break
        gained = _covered(weights, chosen)
        chosen |= max(
            steps,
            key=lambda step: (
                (_covered(weights, chosen | step) - gained) / len(step),
                sum(_touching(weights, name) for name in step),
                sorted(step),
            ),
        )
    return tuple(sorted(_exchanged(weights, chosen)))


def _exchanged(weights: Counter[Lack], chosen: frozenset[str]) -> frozenset[str]:
    """Exchange one answer for another while that covers more."""
    names = {name for lack in weights for name in lack}
    while True:
        others = ((chosen - {out}) | {into} for out in chosen for into in names - chosen)
        better = max(others, key=lambda one: (_covered(weights, one), sorted(one)), default=chosen)
        if _covered(weights, better) <= _covered(weights, chosen):
            return chosen
        chosen = better


def _covered(weights: Counter[Lack], chosen: frozenset[str]) -> int:
    return sum(count for lack, count in weights.items() if lack <= chosen)


def _touching(weights: Counter[Lack], name: str) -> int:
    """Count the topics that lack a fact, alone or with others."""
    return sum(count for lack, count in weights.items() if name in lack)
