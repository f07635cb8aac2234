"""Several rule sets after one `--under`, for the commands whose other arguments are files."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path

UNDER = "--under"
_LISTED = re.compile(r"[A-Za-z][\w-]*(,[A-Za-z][\w-]*)+")
"""Ids parted by commas; a place and its day, `Tarn Hollow, 2025-03-01`, are one rule set."""


def each_named(arguments: Sequence[str]) -> list[str]:
    """Return the arguments with `--under` before every rule set named after one.

    >>> each_named(["deck.yaml", "--under", "irc-2018", "irc-2021", "--all"])
    ['deck.yaml', '--under', 'irc-2018', '--under', 'irc-2021', '--all']
    >>> each_named(["--under", "irc-2018,irc-2021", "deck.yaml"])
    ['--under', 'irc-2018', '--under', 'irc-2021', 'deck.yaml']
    """
    found: list[str] = []
    place = 0
    while place < len(arguments):
        if arguments[place] != UNDER:
            found.append(arguments[place])
            place += 1
            continue
        end = place + 2
        while end < len(arguments) and _is_rule_set(arguments[end]):
            end += 1
        named = [name for text in arguments[place + 1 : end] for name in _parted(text)]
        found += [part for name in named for part in (UNDER, name)] or [UNDER]
        place = end
    return found


def _is_rule_set(argument: str) -> bool:
    """Tell whether an argument after a rule set is another, and no option and no file."""
    is_file = argument.endswith((".yaml", ".yml")) or Path(argument).exists()
    return not argument.startswith("-") and not is_file


def _parted(text: str) -> list[str]:
    return text.split(",") if _LISTED.fullmatch(text) else [text]
