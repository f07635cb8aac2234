"""Choosing by trying every combination: each deck evaluated whole, no clause left out."""

from __future__ import annotations

import random
from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction
from itertools import product
from typing import Any

from msgspec.structs import replace

from deckclause.choosing.lumber import least_lumber, take_off
from deckclause.choosing.members import BY_QUANTITY, Choice, Variable, variables, with_choice
from deckclause.designs.design import Design
from deckclause.designs.together.whole import worked_out
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.status import COMPLIES, DOES_NOT_COMPLY, NOT_APPLICABLE
from deckclause.rulesets.vocabulary import Vocabulary

RULE_SETS = ("irc-2009", "irc-2012", "irc-2015", "irc-2018", "irc-2021", "Tarn Hollow@2025-03-01")
LEFT_OPEN = (
    "ledger.below_band_joist",
    "fasteners.upper_row_below_ledger_top",
    "fasteners.lower_row_below_ledger_top",
)
Key = tuple[str, int]
"""A rule set and the number of a clause in it."""
Results = dict[Key, list[Any]]


def random_deck(whole: Design, seed: int) -> Design:
    """The whole deck with another span, cantilever, species and snow; its rows open at odd seeds."""
    chance = random.Random(seed)
    joists: dict[str, Any] = {
        "joists.span": Fraction(chance.randrange(6, 17) * 12),
        "joists.cantilever": Fraction(chance.choice((0, 12, 24))),
        "joists.species": chance.choice(("southern_pine", "spruce_pine_fir", "redwood")),
    }
    beams = {"beams.species": chance.choice(("southern_pine", "douglas_fir_larch"))}
    deck = with_choice(whole, {**joists, **beams})
    deck = with_choice(deck, {"site.ground_snow_load": Fraction(chance.choice((20, 30, 60)), 144)})
    if seed % 2:
        facts = {name: value for name, value in deck.facts.items() if name not in LEFT_OPEN}
        deck = replace(deck, facts=facts)
    return deck


def few(
    deck: Design, vocabulary: Vocabulary, seed: int, *, others: int = 3, options: int = 3
) -> tuple[Variable, ...]:
    """All choices the deck leaves open and some `others` (fewer beside those), with a few options each."""
    chance = random.Random(seed)
    every = variables(deck, vocabulary)
    opened = [v for v in every if v.quantity in LEFT_OPEN]
    rest = [v for v in every if v not in opened]
    some = chance.sample(rest, max(1, others - 2) if opened else others)
    most = {v.quantity: max(2, options - 1) if v in opened else options for v in every}
    return tuple(
        Variable(
            v.quantity,
            v.words,
            tuple(
                sorted(
                    chance.sample(v.options, min(most[v.quantity], len(v.options))),
                    key=v.options.index,
                )
            ),
        )
        for v in every
        if v in opened or v in some
    )


def thinned(chosen: Sequence[Variable], most: int = 6) -> tuple[Variable, ...]:
    """The same choices, those of the step down and the rows with some of their options only."""
    return tuple(
        Variable(v.quantity, v.words, v.options[:: 1 + len(v.options) // most])
        if v.quantity in LEFT_OPEN
        else v
        for v in chosen
    )


def results_of(catalogue: Catalogue, deck: Design, names: Sequence[str]) -> Results:
    """Evaluate a deck whole under each rule set, and whether it holds together."""
    together = catalogue.coherence()
    assert together is not None
    asked = [(catalogue.evaluator(name), catalogue.prepare(deck)) for name in names]
    asked.append((together, catalogue.prepare(worked_out(deck))))
    found: Results = {}
    for evaluator, ready in asked:
        for index, _, result in evaluator.rows(ready):
            found.setdefault((evaluator.ruleset.name, index), []).append(result)
    return found


class Tried:
    """Every combination of some choices, evaluated whole, and judged clause by clause."""

    def __init__(
        self, catalogue: Catalogue, deck: Design, names: Sequence[str], chosen: Sequence[Variable]
    ) -> None:
        self.deck = deck
        self.chosen = chosen
        self.combinations: list[Choice] = [
            dict(zip((v.quantity for v in chosen), values, strict=True))
            for values in product(*(v.options for v in chosen))
        ]
        self.results = [
            results_of(catalogue, with_choice(deck, choice), names) for choice in self.combinations
        ]

    def good(self) -> list[Choice]:
        """Return the combinations that no clause bars: all that fails whatever is chosen aside."""
        keys = {key for found in self.results for key in found}
        depends = [k for k in keys if len({repr(found.get(k)) for found in self.results}) > 1]
        helpless = {
            key
            for key in depends
            if all(_open(found.get(key, [])) for found in self.results if _read(found.get(key, [])))
        }
        return [
            choice
            for choice, found in zip(self.combinations, self.results, strict=True)
            if all(_may(found.get(key, []), key in helpless) for key in depends)
        ]

    def nothing_can_be(self) -> bool:
        """Tell whether each combination fails somewhere, or is not known there."""
        return all(any(not _may(r, False) for r in found.values()) for found in self.results)

    def least(self) -> tuple[Fraction, ...]:
        """Return the least lumber of the combinations that can be."""
        return min(least_lumber(take_off(self.deck, choice)) for choice in self.good())


def decides(catalogue: Catalogue, quantity: str, results: Iterable[Results]) -> bool:
    """Tell whether a clause on a topic that decides a choice says yes or no, and changes with it."""
    found = list(results)
    topics = BY_QUANTITY[quantity].topics
    keys = {key for one in found for key in one}
    clauses: Mapping[str, Any] = {
        name: catalogue.evaluator(name).ruleset.clauses
        for name in {name for name, _ in keys} - {"holds-together"}
    }
    return any(
        name in clauses
        and clauses[name][index].topic in topics
        and any(
            r[0] in (COMPLIES, DOES_NOT_COMPLY) for one in found for r in one.get((name, index), [])
        )
        and len({repr(one.get((name, index))) for one in found}) > 1
        for name, index in keys
    )


def _read(results: list[Any]) -> bool:
    return any(r[0] != NOT_APPLICABLE for r in results)


def _open(results: list[Any]) -> bool:
    return (
        bool(results)
        and not any(r[0] == DOES_NOT_COMPLY for r in results)
        and any(r[0] not in (COMPLIES, NOT_APPLICABLE) for r in results)
    )


def _may(results: list[Any], helpless: bool) -> bool:
    if any(r[0] == DOES_NOT_COMPLY for r in results):
        return False
    unsure = [r for r in results if r[0] not in (COMPLIES, NOT_APPLICABLE)]
    return helpless or all(r[5] for r in unsure)
