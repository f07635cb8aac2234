"""Bring a request up to a changed design or changed rules, and say what that does to it."""

from __future__ import annotations

import argparse
import os
from pathlib import Path

from deckclause.cli.shared import open_catalogue
from deckclause.rulesets.problems import InputError


def refresh_step(options: argparse.Namespace) -> int:
    """Say what changes; write it where asked. Return 0. Raises InputError."""
    from deckclause.report.request.refresh import refresh_request

    found = refresh_request(open_catalogue(options), options.file)
    told = (
        ("changed", found.changed),
        ("no longer asked", found.stale),
        ("new", found.new),
        ("look again at what you wrote here", found.look_again),
    )
    for head, lines in told:
        if lines:
            print(f"{head}:")
            print("\n".join(f"  {line}" for line in lines))
    print(f"{found.kept} answers kept")
    if not any(lines for _, lines in told):
        print("nothing has changed that bears on this request")
    if options.write:
        _replace(options.file, found.text)
        print(f"wrote {options.file}")
    else:
        print("nothing is written; --write writes it")
    return 0


def _replace(path: Path, text: str) -> None:
    """Put the new text in the file's place, whole or not at all."""
    beside = path.with_name(f".{path.name}.new")
    try:
        beside.write_text(text, encoding="utf-8")
        os.replace(beside, path)
    except OSError as fault:
        raise InputError.single(str(path), f"cannot be written ({fault.strerror})") from None
