"""A table fitted to a width: nothing is broken that is read as one."""

from __future__ import annotations

import re

from hypothesis import given
from hypothesis import strategies as st

from deckclause.report.fitted_table import table

WORDS = st.sampled_from(["ok", "FAILS", "ENGINEER", ">=", "7-3/4 in*", "11 ft", "40 psf", "silent"])
CELLS = st.lists(WORDS, min_size=1, max_size=4).map(" ".join)


@given(st.lists(st.tuples(CELLS, CELLS, CELLS), min_size=1, max_size=5), st.integers(30, 120))
def test_no_word_and_no_measure_is_broken(rows: list[tuple[str, str, str]], width: int) -> None:
    printed = table(["", "IRC 2018", "IRC 2021"], rows, width)
    for row in rows:
        for piece in re.findall(r"[0-9/-]+ (?:in\*|ft|psf)|ENGINEER|silent", " ".join(row)):
            assert piece in printed


def test_it_keeps_to_its_width_where_the_words_let_it() -> None:
    rows = [["Lower row above the band joist's bottom", *["FAILS >= 7-3/4 in*"] * 7]]
    printed = table(["", *(f"IRC {year}" for year in range(2006, 2027, 3))], rows, 100)
    assert max(map(len, printed.splitlines())) <= 100
