"""What holding together takes for granted of statics, against PyNite, a library of frames.

What loads a beam and a post is the reaction of the members as they stand, joists on two supports and
beams in one piece or parted over their posts, and never less than the trade's simple measure: half of
each span and the whole of a cantilever.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from random import Random

import pytest

from deckclause.designs.design import Facts
from deckclause.evaluate.status import COMPLIES, DOES_NOT_COMPLY
from together.decks import Deck, as_design, sound_deck
from together.statics import reactions
from together.test_holds_together import catalogue, evaluated

pytest.importorskip("Pynite")
DECKS = 20
"""Decks here; 200 in tests/benchmarks."""


def hold_joists(deck: Deck, seed: int) -> None:
    """The beam takes all that statics lays on it; the inner end lifts where c is beyond L."""
    field = deck["parts"]["joists"][0]
    span = field["joists.span"]
    reach = field["joists.cantilever"] = span * Fraction(seed % 7, 4)
    inner, outer = reactions((Fraction(0), span), span + reach)
    laid = _facts(deck, "beams", field.get("joists.beam", deck["parts"]["beams"][0]["name"]))
    if laid["beams.joist_sides"] == 1:
        assert outer == pytest.approx(float(laid["beams.joist_reach"]), rel=1e-6)
    found = next(f for f in evaluated(deck).findings if f.key == "joists_balance")
    assert (found.status == COMPLIES) == (inner >= -1e-6)
    assert found.status in (COMPLIES, DOES_NOT_COMPLY)


def _facts(deck: Deck, group: str, name: str) -> Facts:
    return catalogue().prepare(as_design(deck)).facts(group, name)


def hold_beams(deck: Deck, seed: int) -> None:
    """A post is loaded with its reaction, or with half of each span and a cantilever if that is more."""
    random = Random(seed)
    for beam in deck["parts"]["beams"]:
        own = [p for p in deck["parts"]["posts"] if p["posts.beam"] == beam["name"]]
        for post in own[1:-1]:  # inner posts stand anywhere within reach of their place
            post["posts.from_beam_end"] += random.randint(-24, 24)
        parted = seed % 2 == 1
        beam |= {"beams.spliced": parted, "beams.splices_over_posts": True}
        places = [p["posts.from_beam_end"] for p in own]
        whole = beam["beams.length"]
        found = _in_pieces(places, whole) if parted else reactions(places, whole)
        assert sum(found) == pytest.approx(float(whole), rel=1e-6)
        simple = _half_spans(places, whole)
        reach = _facts(deck, "beams", beam["name"])["beams.joist_reach"]
        for post, reaction, half in zip(own, found, simple, strict=True):
            share = _facts(deck, "posts", post["name"])["posts.tributary_area"] / reach
            assert float(share) == pytest.approx(max(reaction, half), rel=1e-6), beam


def _half_spans(places: list[Fraction], whole: Fraction) -> list[float]:
    middles = [Fraction(0), *((a + b) / 2 for a, b in pairwise(places)), whole]
    return [float(b - a) for a, b in pairwise(middles)]


def _in_pieces(places: list[Fraction], whole: Fraction) -> list[float]:
    """Solve each span as a beam of its own; the end ones with the cantilever past them."""
    found = [0.0] * len(places)
    for i, (start, end) in enumerate(pairwise(places)):
        left = Fraction(0) if i == 0 else start
        right = whole if i == len(places) - 2 else end
        one, two = reactions((start - left, end - left), right - left)
        found[i] += one
        found[i + 1] += two
    return found


@pytest.mark.parametrize("seed", range(DECKS))
def test_reactions_of_joists_and_beams(seed: int) -> None:
    hold_beams(sound_deck(seed), seed)
    hold_joists(sound_deck(seed), seed)
