"""Two thousand sound decks, none refused; as many load paths held against a second check.

Run by name: pytest tests/benchmarks/test_many_decks_hold_together.py -n 0
"""

from __future__ import annotations

from deckclause.evaluate.status import COMPLIES
from together.decks import sound_deck
from together.load_path import is_closed
from together.test_holds_together import evaluated, path_is_closed, words
from together.test_statics import hold_beams, hold_joists

DECKS = 2_000


def test_no_sound_deck_is_refused() -> None:
    for seed in range(1_000, 1_000 + DECKS):
        deck = sound_deck(seed)
        found = evaluated(deck)
        assert found.status == COMPLIES, (seed, words(found))
        assert path_is_closed(found)
        assert is_closed(deck), seed


def test_reactions_of_two_hundred_decks() -> None:
    for seed in range(2_000, 2_200):
        hold_beams(sound_deck(seed))
        hold_joists(sound_deck(seed), seed)
