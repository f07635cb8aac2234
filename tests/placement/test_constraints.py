from fractions import Fraction as F

import pytest

from deckclause.placement.constraints import Distance, exact_length_text, fixed


def test_a_distance_needs_a_bound_two_datums_and_exact_lengths() -> None:
    with pytest.raises(ValueError, match="sets no bound"):
        Distance("a", "b", None, None, "nothing")
    with pytest.raises(ValueError, match="from itself"):
        Distance("a", "a", F(1), None, "loop")
    with pytest.raises(ValueError, match="names no datum"):
        Distance("", "a", F(1), None, "blank")
    with pytest.raises(TypeError, match="not exact"):
        Distance("a", "b", 0.75, None, "float")  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="kind"):
        Distance("a", "b", F(1), None, "odd", kind="rule")  # type: ignore[arg-type]


def test_whole_numbers_become_fractions() -> None:
    assert isinstance(Distance("a", "b", 2, None, "two").least, F)  # type: ignore[arg-type]


def test_rigid_is_boards_with_one_length() -> None:
    assert fixed("a", "b", 3, "depth").is_rigid
    assert not Distance("a", "b", F(3), F(3), "a rule of exactly three").is_rigid
    assert not Distance("a", "b", F(3), F(4), "loose board", kind="boards").is_rigid


@pytest.mark.parametrize(
    ("least", "most", "text"),
    [
        (F(13, 2), None, "at least 6-1/2 in"),
        (None, F(5), "at most 5 in"),
        (F(13, 8), F(5), "1-5/8 in to 5 in"),
        (F(37, 4), F(37, 4), "9-1/4 in"),
    ],
)
def test_bounds_read_as_a_carpenter_says_them(least: F | None, most: F | None, text: str) -> None:
    assert Distance("a", "b", least, most, "x").bounds_text() == text


def test_lengths_off_the_tape_keep_their_exact_value() -> None:
    assert exact_length_text(F(1, 7)) == "about 1/8 in (exactly 1/7)"
