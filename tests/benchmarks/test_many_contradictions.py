"""Fifty contradictions and fifty clean sentences in every kind and form of a request: by name, minutes."""

from __future__ import annotations

from pathlib import Path

import pytest

from variance.papers import pairs
from variance.planted import missed_and_claimed
from variance.test_own_words import CLEAN, MISPLACED, PLACED, WRONG


@pytest.mark.parametrize("number", range(10))
def test_every_contradiction_is_found_and_none_claimed(number: int, tmp_path: Path) -> None:
    kind, form = pairs()[number]
    missed, claimed = missed_and_claimed(
        tmp_path, kind, form, (*WRONG, *MISPLACED), (*CLEAN, *PLACED)
    )
    assert missed == []
    assert claimed == []


def test_no_kind_or_form_is_left_out() -> None:
    assert len(pairs()) == 10
