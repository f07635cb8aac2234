"""What a design states and its own other parts make otherwise."""

from __future__ import annotations

from fractions import Fraction

import pytest
from msgspec.structs import replace

from deckclause.designs.consistency.stated_otherwise import stated_otherwise
from deckclause.designs.design import Design, Part
from deckclause.designs.together.agree import contradicts_plan
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.notices import design_notices
from support.designs import EXAMPLES

SHIPPED = sorted(EXAMPLES.glob("*.yaml"))


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return Catalogue.open()


@pytest.fixture(scope="module")
def whole_deck(catalogue: Catalogue) -> Design:
    return catalogue.design(EXAMPLES / "whole-deck-12x16.yaml").design


@pytest.mark.parametrize("file", SHIPPED, ids=lambda file: file.stem)
def test_no_shipped_design_contradicts_itself(catalogue: Catalogue, file: object) -> None:
    assert stated_otherwise(catalogue.design(file).design) == ()  # type: ignore[arg-type]


def test_a_beam_that_says_its_joists_are_shorter_is_told(whole_deck: Design) -> None:
    (beam,) = whole_deck.parts["beams"]
    stated = Part(beam.name, {**beam.facts, "beams.joist_span": Fraction(72)})
    (told,) = stated_otherwise(replace(whole_deck, parts={**whole_deck.parts, "beams": (stated,)}))
    assert (told.quantity, told.part) == ("beams.joist_span", beam.name)
    assert (told.stated, told.worked_out) == (72, 120)


def test_stating_what_is_worked_out_anyway_is_no_contradiction(whole_deck: Design) -> None:
    (beam,) = whole_deck.parts["beams"]
    stated = Part(beam.name, {**beam.facts, "beams.joist_span": Fraction(120)})
    assert not stated_otherwise(replace(whole_deck, parts={**whole_deck.parts, "beams": (stated,)}))


@pytest.mark.parametrize(
    ("square_feet", "contradicts"),
    # the middle post: 7 ft of beam, parted over it, by (10 + 2)^2 / 20 ft of joists is 50.4 sq ft;
    # half the joists' span and their cantilever, 7 ft, is 49
    [(49, False), (50, False), (Fraction(252, 5), False), (47, True), (52, True)],
)
def test_an_area_by_the_trades_measure_contradicts_nothing(
    catalogue: Catalogue, whole_deck: Design, square_feet: Fraction, contradicts: bool
) -> None:
    posts = list(whole_deck.parts["posts"])
    place = next(i for i, post in enumerate(posts) if "middle" in post.name)
    facts = {**posts[place].facts, "posts.tributary_area": Fraction(square_feet) * 144}
    posts[place] = Part(posts[place].name, facts)
    stated = replace(whole_deck, parts={**whole_deck.parts, "posts": tuple(posts)})
    found = stated_otherwise(stated)
    assert any(map(contradicts_plan, found)) == contradicts
    assert bool(found) == (square_feet != Fraction(252, 5))


def test_an_area_that_is_not_the_decks_is_told_in_words(
    catalogue: Catalogue, whole_deck: Design
) -> None:
    small = replace(whole_deck, facts={**whole_deck.facts, "deck.area": Fraction(50 * 144)})
    (says,) = design_notices(small, catalogue.vocabulary)
    assert says.startswith(
        "the deck area is stated as 50 sq ft, but the deck's other parts make it 192"
    )
