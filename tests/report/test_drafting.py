from __future__ import annotations

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from deckclause.report.drawing.drafting import heading, spread, wrapped
from deckclause.report.drawing.svg import render


@given(st.lists(st.floats(0, 300), max_size=8, unique=True), st.floats(1, 30))
def test_spread_labels_keep_apart_in_order_and_on_the_sheet(
    wanted: list[float], apart: float
) -> None:
    found = spread(wanted, apart, 0, 300)
    places = [place for _, place in sorted(zip(wanted, found, strict=True))]
    assert all(b - a >= apart - 1e-6 for a, b in pairwise(places))
    assert all(-1e-6 <= place <= 300 + 1e-6 for place in places)


@given(st.lists(st.floats(0, 300), max_size=6, unique=True))
def test_labels_already_apart_do_not_move(wanted: list[float]) -> None:
    nearest = min((abs(a - b) for i, a in enumerate(wanted) for b in wanted[:i]), default=1000.0)
    assert spread(wanted, nearest / 2, 0, 300) == wanted


@given(st.text(alphabet="ab ", max_size=60), st.integers(20, 200))
def test_wrapping_loses_no_word(words: str, width: int) -> None:
    assert " ".join(wrapped(words, width, 10)).split() == words.split()


def test_a_long_heading_is_lettered_smaller() -> None:
    assert 'font-size="15"' in render(heading(0, 0, "short", 500))
    assert 'font-size="15"' not in render(heading(0, 0, "long " * 40, 500))
