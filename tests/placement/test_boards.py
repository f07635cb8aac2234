from fractions import Fraction as F

import pytest

from deckclause.placement.answers import Ask
from deckclause.placement.boards import (
    BAND_TOP,
    DECK_SURFACE,
    FLOOR,
    JOISTS_TOP,
    THRESHOLD,
    Section,
    SectionError,
    board_distances,
    missing_for_step_down,
)
from deckclause.placement.solve import solve

FULL = Section(
    F(37, 4),
    F(29, 4),
    drop=F(3, 2),
    joist_depth=F(29, 4),
    decking=F(1),
    floor_build_up=F(3, 2),
    threshold=F(1),
)


def step(section: Section, start: str, end: str) -> F | None:
    low, high = solve(
        board_distances(section), [Ask(start, end, "least"), Ask(start, end, "greatest")]
    ).extremes
    assert low.value == high.value
    return low.value


def test_step_down_is_floor_plus_drop_less_decking() -> None:
    assert step(FULL, FLOOR, DECK_SURFACE) == F(3, 2) + F(3, 2) - 1
    assert step(FULL, THRESHOLD, DECK_SURFACE) == 3


def test_smaller_joists_level_with_the_ledger_bottom_step_down_further() -> None:
    section = Section(F(45, 4), F(45, 4), F(0), F(37, 4), "at_ledger_bottom", F(1), F(3, 2))
    assert step(section, BAND_TOP, JOISTS_TOP) == 2
    assert step(section, FLOOR, DECK_SURFACE) == F(5, 2)


def test_joists_may_stand_at_a_stated_offset() -> None:
    assert step(Section(F(37, 4), F(29, 4), F(1), joists=F(1, 2)), BAND_TOP, JOISTS_TOP) == F(3, 2)


def test_what_is_missing_is_named() -> None:
    bare = Section(F(37, 4), F(29, 4), joists="at_ledger_bottom")
    assert len(missing_for_step_down(bare)) == 3
    assert missing_for_step_down(FULL) == ()


@pytest.mark.parametrize(
    ("section", "message"),
    [
        (Section(F(0), F(9)), "band joist depth is 0 in"),
        (Section(F(9), F(-1)), "ledger depth is -1 in"),
        (Section(F(9), F(9), joist_depth=F(0)), "joist depth"),
        (Section(F(9), F(9), decking=F(-1)), "decking thickness"),
        (Section(F(9), F(9), floor_build_up=F(-1)), "cannot be negative"),
        (Section(F(37, 4), F(9), drop=F(37, 4)), "below the band joist"),
        (Section(F(9), F(9), drop=F(-9)), "whole ledger above"),
    ],
)
def test_boards_that_cannot_stand_are_refused(section: Section, message: str) -> None:
    with pytest.raises(SectionError, match=message):
        board_distances(section)


def test_a_float_is_refused() -> None:
    with pytest.raises(TypeError, match="not exact"):
        board_distances(Section(9.25, F(9)))  # type: ignore[arg-type]
