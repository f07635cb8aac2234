"""Two thousand sound decks, none refused; as many load paths held against a second check.

Run by name: pytest tests/benchmarks/test_many_decks_hold_together.py -n 0. With DECKCLAUSE_RECORD=1
the counts are kept for the validation page.
"""

from __future__ import annotations

from deckclause.evaluate.status import COMPLIES
from published.by_name import record
from together.breaks import BREAKS
from together.decks import broken, sound_deck
from together.load_path import is_closed
from together.test_holds_together import evaluated, path_is_closed, words
from together.test_statics import hold_beams, hold_joists

DECKS = 2_000
STATICS = 200
SECOND = "a second load-path check, written apart (tests/together/load_path.py)"


def test_no_sound_deck_is_refused() -> None:
    refused, apart = {}, []
    for seed in range(1_000, 1_000 + DECKS):
        deck = sound_deck(seed)
        found = evaluated(deck)
        if found.status != COMPLIES:
            refused[seed] = words(found)
        if not (path_is_closed(found) and is_closed(deck)):
            apart.append(seed)
    record("sound decks refused", "decks made sound", DECKS, len(refused))
    record("load path of sound decks closed", SECOND, DECKS, len(apart))
    assert not refused
    assert not apart


def test_no_deck_with_an_open_load_path_holds_together() -> None:
    """Every way of breaking a deck, on forty decks each, against the second check."""
    tried, apart = 0, []
    for how in BREAKS:
        for seed in range(5_000, 5_040):
            found = broken(sound_deck(seed), how, seed)
            if found is None:
                continue
            tried += 1
            deck, _ = found
            if evaluated(deck).status <= COMPLIES and not is_closed(deck):
                apart.append((how.name, seed))
    record(
        "decks broken in one place said to hold though their load path is open",
        SECOND,
        tried,
        len(apart),
    )
    assert not apart
    assert tried > DECKS / 2


def test_reactions_of_two_hundred_decks() -> None:
    for seed in range(2_000, 2_000 + STATICS):
        hold_beams(sound_deck(seed), seed)
        hold_joists(sound_deck(seed), seed)
    against = "PyNite, a library of frames: reactions of every joist, beam and post"
    record("loads on beams and posts", against, STATICS, 0)
