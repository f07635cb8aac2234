"""Requests written by the command, and filled in by an invented applicant."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from deckclause.cli.main import run
from deckclause.variance.request.fields import fields

EXAMPLE = Path(__file__).parents[2] / "rules" / "examples" / "step-down-3in.yaml"


def new_request(folder: Path, *options: str, under: str = "Tarn Hollow@2025-03-01") -> Path:
    """Write a new request on the shipped design into a folder, with the design beside it."""
    path = folder / "request.yaml"
    (folder / "deck.yaml").write_text(EXAMPLE.read_text())
    path.write_text(_new(options, under))
    return path


@cache
def _new(options: tuple[str, ...], under: str) -> str:
    """Let the command write a request, once for each set of options."""
    with TemporaryDirectory() as folder:
        design, path = Path(folder) / "deck.yaml", Path(folder) / "request.yaml"
        design.write_text(EXAMPLE.read_text())
        named = () if {"--relief", "--keep-rows"} & set(options) else ("--relief", "1")
        asked = ["request", "new", str(design), "--under", under, "-o", str(path), *named, *options]
        assert run(asked) == 0
        return path.read_text()


def fill(path: Path, *, leave: tuple[str, ...] = (), ground: str = "") -> dict[str, str]:
    """Answer every open question with words of its own; return them by field."""
    answers: dict[str, str] = {}
    group = ""
    lines = []
    for line in path.read_text().splitlines():
        bare = line.split("  #", 1)[0]
        name = bare.strip().removesuffix(":")
        deep = len(bare) - len(bare.lstrip())
        in_items = "- clause:" in "\n".join(lines)
        base = 4 if in_items else 0
        if bare.rstrip().endswith(":") and "  #" not in line and not line.lstrip().startswith("#"):
            group = f"{name}." if deep >= base else ""
        elif deep == base:
            group = ""
        prefix = "items." if in_items else ""
        full = f"{prefix}{group if deep > base else ''}{name}"
        if bare.rstrip().endswith(":") and "  #" in line and full in fields() and full not in leave:
            answers[full] = (
                ground if full == "items.ground" else f"Words on {full.replace('.', ' ')}."
            )
            if answers[full]:
                lines.append(f'{bare.rstrip()} "{answers[full]}"')
                continue
        lines.append(line)
    text = "\n".join(lines) + "\n"
    text = text.replace('owner_consent: "no"', 'owner_consent: "yes"')
    text = text.replace('statement_of_truth: "no"', 'statement_of_truth: "yes"')
    text = text.replace(
        "attachments: []", "attachments: [{id: A1, title: Section drawing, kind: plan}]"
    )
    text = text.replace("evidence: []", "evidence: [A1]")
    text = re.sub(r'^(  "[^"]+"):$', r'\1: "Not wanted here."', text, flags=re.MULTILINE)
    path.write_text(text)
    return {name: words for name, words in answers.items() if words}
