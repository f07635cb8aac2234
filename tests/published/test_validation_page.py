"""docs/validation.md is what the checks give today."""

from __future__ import annotations

import pytest

from published.write_validation import PAGE, page
from support.regenerate import HOW


def test_the_page_is_current():
    pytest.importorskip("Pynite", reason="the frame solver PyNiteFEA is a test extra")
    assert PAGE.read_text(encoding="utf-8") == page(), f"docs/validation.md is out of date; {HOW}"
