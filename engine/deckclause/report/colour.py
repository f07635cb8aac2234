"""Restrained colour for a terminal that has it; never the only sign: the words stand as before."""

from __future__ import annotations

import os
import re
from collections.abc import Mapping
from typing import TextIO

_END = "\x1b[0m"
_STYLES: tuple[tuple[re.Pattern[str], str], ...] = (
    (re.compile(r"\bFAILS\b"), "\x1b[1;31m"),
    (re.compile(r"\bENGINEER\b"), "\x1b[1;35m"),
    (re.compile(r"\bASK\b"), "\x1b[1;36m"),
    (re.compile(r"(?<![\w-])ok(?= |$)"), "\x1b[32m"),
)
"""The short statuses of a comparison with their colours; red and green differ in weight too."""
_HEADING = re.compile(r"^[A-Z][A-Z ,':*-]{5,}(?=$|[ :(])")
_BOLD = "\x1b[1m"


def has_colour(stream: TextIO, environment: Mapping[str, str] = os.environ) -> bool:
    """Tell whether a stream is a terminal that shows colour and its user wants it (no-color.org)."""
    if environment.get("NO_COLOR") or environment.get("TERM") == "dumb":
        return False
    return stream.isatty()


def coloured(text: str) -> str:
    """Colour the short statuses and set headings in bold; nothing is added that takes a column.

    >>> coloured("FAILS 2")
    '\\x1b[1;31mFAILS\\x1b[0m 2'
    """
    return "\n".join(_line(line) for line in text.split("\n"))


def _line(line: str) -> str:
    for pattern, style in _STYLES:
        line = pattern.sub(lambda found, style=style: f"{style}{found[0]}{_END}", line)  # type: ignore[misc]
    return _HEADING.sub(lambda found: f"{_BOLD}{found[0]}{_END}", line)
