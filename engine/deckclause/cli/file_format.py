"""The format a command writes in: asked for by name, or told by the ending of the file."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from deckclause.rulesets.problems import InputError

ENDINGS: dict[str, str] = {
    ".html": "html",
    ".htm": "html",
    ".pdf": "pdf",
    ".docx": "docx",
    ".md": "markdown",
    ".csv": "csv",
    ".json": "json",
    ".txt": "table",
}
"""Which format a file's ending means."""


def format_for(
    asked: str | None,
    output: Path | None,
    *,
    default: str = "table",
    endings: Mapping[str, str] = ENDINGS,
) -> str:
    """Return the format asked for, else the one the file's ending means, else `default`.

    Raises InputError where the ending means another format than the one asked for. An ending
    that means none here is left to the format asked for, and refused without one.

    >>> format_for(None, Path("sheet.pdf"))
    'pdf'
    >>> format_for("html", Path("sheet"))
    'html'
    """
    if output is None:
        return asked or default
    ending = output.suffix.lower()
    meant = endings.get(ending)
    if asked is None:
        if meant is None and ending:
            known = ", ".join(endings)
            raise InputError.single(
                str(output), f"'{ending}' is no ending known here ({known}); name one, or --format"
            )
        return meant or default
    if meant is not None and meant != asked:
        right = next(e for e, name in endings.items() if name == asked)
        raise InputError.single(
            str(output), f"ends as {meant}, but --format asks for {asked}; name it *{right}"
        )
    return asked
