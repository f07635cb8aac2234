"""Three decks by every kind and form of a request, each held figure by figure: by name, 2 minutes."""

from __future__ import annotations

from pathlib import Path

import pytest

from report.test_request_papers import holds
from variance.papers import DECKS, pairs


@pytest.mark.parametrize("deck", range(len(DECKS)))
@pytest.mark.parametrize("number", range(10))
def test_papers(deck: int, number: int, tmp_path: Path) -> None:
    holds(tmp_path, deck, *pairs()[number])
