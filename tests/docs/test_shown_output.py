"""What the README and the docs show is what the commands print."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from support.regenerate import HOW
from support.shown_output import ROOT, WIDTH, blocks, output_of, pages, prompt, shown

SHOWN = [(page, command, shown) for page in pages() for command, shown in blocks(page)]


@pytest.mark.parametrize(
    ("page", "command", "block"), SHOWN, ids=[f"{p.name}: {c}" for p, c, _ in SHOWN]
)
def test_shown_output_is_current(page: Path, command: str, block: str) -> None:
    assert block == shown(command), HOW


def test_a_block_shows_its_command_and_fits_the_site() -> None:
    for page, command, block in SHOWN:
        typed = block[: len(prompt(command))]
        assert typed == prompt(command), f"{page.name}: {HOW}"
        assert typed.replace("\\\n", " ").split() == ["$", *command.split()]
        assert all(len(line) <= WIDTH for line in block.splitlines()), (page.name, command)


def test_the_readme_shows_output() -> None:
    assert any(page.name == "README.md" for page, _, _ in SHOWN)


def test_every_link_of_the_pages_leads_somewhere() -> None:
    for page in pages():
        for target in re.findall(r"\]\(([^)#:]+)(?:#[^)]*)?\)", page.read_text(encoding="utf-8")):
            assert (page.parent / target).exists(), f"{page.relative_to(ROOT)}: {target}"


def test_a_command_that_gives_no_answer_is_never_shown_as_output() -> None:
    with pytest.raises(SystemExit, match="ended with 2"):
        output_of("deckclause rules show irc-1066")
