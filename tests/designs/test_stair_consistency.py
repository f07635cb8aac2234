"""Stairs whose measures contradict each other are refused, naming the line and the way out."""

from __future__ import annotations

from fractions import Fraction
from math import ceil
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deckclause.designs.consistency.stairs import guard_contradictions, stair_contradictions
from deckclause.designs.derive.facts import derived_facts
from deckclause.designs.design import Facts
from deckclause.designs.read_design import design_of
from deckclause.evaluate.catalogue import Catalogue
from deckclause.rulesets.problems import InputError

EXAMPLE = Path(__file__).resolve().parents[2] / "rules" / "examples" / "whole-deck-12x16.yaml"
SIXTEENTHS = st.integers(16, 16 * 200).map(lambda n: Fraction(n, 16))
COUNTS = st.integers(1, 30).map(Fraction)


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return Catalogue.open()


def named(facts: Facts) -> list[str]:
    return [name.removeprefix("stairs.") for name, _ in stair_contradictions(derived_facts(facts))]


@pytest.mark.parametrize(
    ("added", "words"),
    [
        # the example rises 53-1/2 in by 7 risers: 7-9/14 in each
        (
            "riser_height: 7-5/8 in",
            "less than the total rise of 53-1/2 in: the tallest of them is 7-11/16 in or more",
        ),
        ("riser_height: 7-3/4 in", "rise 54-1/4 in, not 53-1/2 in"),
        ("lowest_riser: 7-3/4 in", "exchange the two"),
        ("tallest_flight_rise: 60 in", "stairs.total_rise gives the whole"),
        ("tallest_flight_rise: 40 in", "short of stairs.total_rise"),
        ("most_risers_in_flight: 8", "stairs.riser_count gives the whole"),
        ("riser_height: 0 in", "0 in is no length"),
    ],
)
def test_a_contradiction_is_refused_with_its_line(
    catalogue: Catalogue, added: str, words: str
) -> None:
    text = EXAMPLE.read_text(encoding="utf-8").replace("stairs:\n", f"stairs:\n  {added}\n")
    line = text[: text.index(f"  {added}\n")].count("\n") + 1
    with pytest.raises(InputError) as caught:
        design_of(text.encode(), "deck.yaml", catalogue.vocabulary)
    assert words in str(caught.value)
    assert line in {problem.line for problem in caught.value.problems}


def test_a_riser_rounded_up_as_a_tape_reads_stands(catalogue: Catalogue) -> None:
    text = EXAMPLE.read_text(encoding="utf-8")
    text = text.replace("stairs:\n", "stairs:\n  riser_height: 7-11/16 in\n")
    assert design_of(text.encode(), "deck.yaml", catalogue.vocabulary).parts["stairs"]


@given(SIXTEENTHS, COUNTS)
def test_an_even_stair_read_up_to_the_sixteenth_is_never_refused(
    rise: Fraction, count: Fraction
) -> None:
    height = Fraction(ceil(rise / count * 16), 16)
    stated: Facts = {"stairs.total_rise": rise, "stairs.riser_count": count}
    assert not named({**stated, "stairs.riser_height": height, "stairs.risers_even": True})


@given(st.lists(SIXTEENTHS, min_size=1, max_size=8))
def test_the_measures_of_a_built_stair_are_never_refused(risers: list[Fraction]) -> None:
    """Uneven risers, measured one by one: their sum, number, tallest and lowest agree."""
    assert not named(
        {
            "stairs.total_rise": sum(risers, Fraction(0)),
            "stairs.riser_count": Fraction(len(risers)),
            "stairs.riser_height": max(risers),
            "stairs.lowest_riser": min(risers),
            "stairs.risers_even": False,
        }
    )


@given(SIXTEENTHS, COUNTS)
def test_a_riser_lower_than_its_share_never_passes(rise: Fraction, count: Fraction) -> None:
    low = rise / count - Fraction(1, 64)
    stated: Facts = {"stairs.total_rise": rise, "stairs.riser_count": count}
    assert "riser_height" in named({**stated, "stairs.riser_height": low})


def test_no_risers_rise_nothing() -> None:
    none: Facts = {"stairs.riser_count": Fraction(0)}
    assert named({**none, "stairs.total_rise": Fraction(28)}) == ["riser_count"]
    assert not named(none)


def test_unknown_measures_contradict_nothing() -> None:
    assert not named({"stairs.riser_height": Fraction(7), "stairs.riser_count": Fraction(3)})
    assert not list(guard_contradictions({"guards.drop_within_36_in": Fraction(3)}))


def test_shallow_treads_named_deepest() -> None:
    treads: Facts = {"stairs.tread_depth": Fraction(11), "stairs.deepest_tread": Fraction(10)}
    assert named(treads) == ["tread_depth"]
