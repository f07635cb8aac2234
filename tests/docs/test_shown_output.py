"""What the README and the docs show is what the commands print."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from support.shown_output import ROOT, blocks, output_of, pages

SHOWN = [(page, command, shown) for page in pages() for command, shown in blocks(page)]


@pytest.mark.parametrize(
    ("page", "command", "shown"), SHOWN, ids=[f"{p.name}: {c}" for p, c, _ in SHOWN]
)
def test_shown_output_is_current(page: Path, command: str, shown: str) -> None:
    assert shown == output_of(command), "run python tests/support/shown_output.py"


def test_the_readme_shows_output() -> None:
    assert any(page.name == "README.md" for page, _, _ in SHOWN)


def test_every_link_of_the_pages_leads_somewhere() -> None:
    for page in pages():
        for target in re.findall(r"\]\(([^)#:]+)(?:#[^)]*)?\)", page.read_text(encoding="utf-8")):
            assert (page.parent / target).exists(), f"{page.relative_to(ROOT)}: {target}"
