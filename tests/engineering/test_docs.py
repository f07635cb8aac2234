"""docs/engineering.md carries the twelve cautions word for word."""

from __future__ import annotations

from pathlib import Path

import pytest

from deckclause.engineering.cautions import CAUTIONS

PAGE = Path(__file__).parents[2] / "docs" / "engineering.md"


@pytest.mark.parametrize("caution", CAUTIONS, ids=lambda caution: caution.key)
def test_the_page_carries_the_caution(caution):
    words = " ".join(PAGE.read_text(encoding="utf-8").split())
    assert f"{caution.number}. {caution.text}" in words
