"""Output shown in the README and the docs: found, run, compared, and rewritten on request.

Each block begins with the command that made it. `python tests/support/regenerate.py` rewrites every
block from a real run.
"""

from __future__ import annotations

import contextlib
import io
import os
import re
import shlex
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
BLOCK = re.compile(
    r"(<!-- output: (?P<command>.+?) -->\n```text\n)(?P<shown>.*?)(```\n<!-- end -->)", re.DOTALL
)
ANSWERED = (0, 1, 3)
"""Exit statuses of a command that gave its answer, whatever the deck comes to."""
WIDTH = 88
"""Columns of shown output: what a block of the site has room for."""


def pages() -> list[Path]:
    """Return the pages that may show output."""
    return [ROOT / "README.md", *sorted((ROOT / "docs").rglob("*.md"))]


def blocks(page: Path) -> Iterator[tuple[str, str]]:
    """Yield command and shown output of each block of a page."""
    for match in BLOCK.finditer(page.read_text(encoding="utf-8")):
        yield match["command"], match["shown"]


def output_of(command: str) -> str:
    """Run a `deckclause` command in the checkout and return what it prints.

    Raises SystemExit where it gave no answer: a fault of the rules is never shown as output.
    """
    from deckclause.cli.main import run

    words = shlex.split(command)
    assert words[0] == "deckclause", command
    before, width = Path.cwd(), os.environ.get("COLUMNS")
    stream = io.StringIO()
    os.chdir(ROOT)
    os.environ["COLUMNS"] = str(WIDTH)
    try:
        with contextlib.redirect_stdout(stream):
            status = run(words[1:])
    finally:
        os.chdir(before)
        if width is None:
            del os.environ["COLUMNS"]
        else:
            os.environ["COLUMNS"] = width
    if status not in ANSWERED:
        raise SystemExit(f"{command} ended with {status}; nothing is written of it")
    return "\n".join(line.rstrip() for line in stream.getvalue().splitlines()) + "\n"


def shown(command: str) -> str:
    """Return what a block shows: the command as it is typed, then what it prints."""
    return prompt(command) + output_of(command)


def prompt(command: str) -> str:
    r"""Write a command as it is typed, in lines of at most WIDTH, each but the last ended by a backslash.

    An option stands on one line with its value.

    >>> print(prompt('deckclause compare deck.yaml --under "Tarn Hollow@2024-02-01"'), end="")
    $ deckclause compare deck.yaml --under "Tarn Hollow@2024-02-01"
    """
    lines = ["$"]
    word = r"""(?:"[^"]*"|'[^']*'|[^\s"'])+"""
    for part in re.findall(rf"--?\w\S*(?: (?!-){word})?|{word}", command):
        if len(lines[-1]) + len(part) + 3 > WIDTH:
            lines[-1] += " \\"
            lines.append("   ")
        lines[-1] += f" {part}"
    return "\n".join(lines) + "\n"


def rewrite(page: Path) -> None:
    """Rewrite the blocks of a page from real runs."""
    text = page.read_text(encoding="utf-8")
    fresh = BLOCK.sub(lambda m: m[1] + shown(m["command"]) + m[4], text)
    if fresh != text:
        page.write_text(fresh, encoding="utf-8")
