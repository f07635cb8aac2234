"""By name: two hundred random decks, chosen for and held to trying all; and how long three towns take.

pytest tests/benchmarks/test_many_choices.py -n 0 -s
"""

from __future__ import annotations

import sys

import pytest

from benchmarks.timing import best_command
from choosing.test_choose import (
    held_to_every_combination,
    least_cost_held_to_integer_programming,
)
from deckclause.evaluate.catalogue import Catalogue
from support.choosing import LEFT_OPEN
from support.designs import EXAMPLES

WHOLE = EXAMPLES / "whole-deck-12x16.yaml"
TOWNS = ("Tarn Hollow@2025-03-01", "Skerryvane@2024-05-01", "Dunmarrow@2020-01-01")


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return Catalogue.open()


def test_two_hundred_decks_are_chosen_for_as_by_trying_all(catalogue: Catalogue) -> None:
    """Half with a few options of many choices, half with every option of two."""
    whole = catalogue.design(WHOLE).design
    for seed in range(200):
        few = seed % 4 < 2
        others, options = (4, 3) if few else (2, 99 if seed % 2 == 0 else 4)
        held_to_every_combination(catalogue, whole, seed, others=others, options=options)


def test_two_hundred_decks_cost_what_integer_programming_finds(catalogue: Catalogue) -> None:
    whole = catalogue.design(WHOLE).design
    for seed in range(200):
        least_cost_held_to_integer_programming(catalogue, whole, seed)


def test_three_towns_take_a_second_at_most(catalogue: Catalogue) -> None:
    """Of one processor, the whole command: as drawn, and with the step down and the rows left open."""
    command = [sys.executable, "-m", "deckclause.cli.main", "choose", str(WHOLE)]
    under = [word for town in TOWNS for word in ("--under", town)]
    assert best_command(5, [*command, *under]) < 1
    opened = [word for name in LEFT_OPEN for word in ("--try", name)]
    taken = best_command(5, [*command, *under, *opened])
    print(f"three towns, step down and rows open: {taken:.2f} s")
    assert taken < 1.25
