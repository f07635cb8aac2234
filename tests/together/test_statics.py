"""What holding together takes for granted of statics, against PyNite, a library of frames.

The reach of the joists and the length of beam that load a post are the trade's simple rule: half of
each span and the whole of a cantilever. These tests say how far that rule is from the reactions of
the members as they stand: joists on two supports, beams unspliced over their posts.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from deckclause.evaluate.status import COMPLIES, DOES_NOT_COMPLY
from together.decks import Deck, as_design, sound_deck
from together.statics import reactions
from together.test_holds_together import catalogue, evaluated

pytest.importorskip("Pynite")
DECKS = 20
"""Decks here; 200 in tests/benchmarks."""


def hold_joists(deck: Deck, seed: int) -> None:
    """The beam takes the simple reach and c^2 / 2L more; the inner end lifts where c is beyond L."""
    field = deck["parts"]["joists"][0]
    span = field["joists.span"]
    reach = field["joists.cantilever"] = span * Fraction(seed % 7, 4)
    inner, outer = reactions((Fraction(0), span), span + reach)
    assert outer == pytest.approx(float(span / 2 + reach + reach**2 / (2 * span)), rel=1e-6)
    found = next(f for f in evaluated(deck).findings if f.key == "joists_balance")
    assert (found.status == COMPLIES) == (inner >= -1e-6)
    assert found.status in (COMPLIES, DOES_NOT_COMPLY)


def hold_beams(deck: Deck) -> None:
    """Posts share out the whole beam; two carry what the rule says, of more none over 1.26 times it."""
    shared = catalogue()
    prepared = shared.prepare(as_design(deck))
    for beam in deck["parts"]["beams"]:
        own = [p for p in deck["parts"]["posts"] if p["posts.beam"] == beam["name"]]
        places = [p["posts.from_beam_end"] for p in own]
        whole = beam["beams.length"]
        found = reactions(places, whole)
        reach = prepared.facts("beams", beam["name"])["beams.joist_reach"]
        shares = [prepared.facts("posts", p["name"])["posts.tributary_area"] / reach for p in own]
        assert sum(shares) == whole
        assert sum(found) == pytest.approx(float(whole), rel=1e-6)
        ratios = [reaction / float(share) for reaction, share in zip(found, shares, strict=True)]
        if len(own) == 2:
            assert ratios == pytest.approx([1, 1], rel=1e-6)
        assert max(ratios) <= 1.26, beam
        assert min(found) > 0, beam


@pytest.mark.parametrize("seed", range(DECKS))
def test_reactions_of_joists_and_beams(seed: int) -> None:
    hold_beams(sound_deck(seed))
    hold_joists(sound_deck(seed), seed)
