"""The concordance page is what the rule files say."""

from __future__ import annotations

from support.regenerate import HOW
from support.write_concordance import PAGE, concordance


def test_the_page_is_current() -> None:
    assert PAGE.read_text(encoding="utf-8") == concordance(), HOW
