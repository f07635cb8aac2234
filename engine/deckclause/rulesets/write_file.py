"""Write a file whole or not at all."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from deckclause.rulesets.problems import InputError

INSTALLED = frozenset({"site-packages", "dist-packages"})
"""Folders Python installs packages into."""


def write_whole(path: Path, text: str) -> None:
    """Put `text` at `path` in one step: a reader sees the old file or the new, never a part.

    Raises InputError where the folder cannot be written, or belongs to an installed package.
    """
    if INSTALLED & set(path.resolve().parts):
        raise InputError.single(
            str(path),
            "belongs to the installed package, and the next install would lose it; nothing was "
            "written. Copy its rules folder and name the copy with --rules",
        )
    try:
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
        try:
            with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as stream:
                stream.write(text)
            os.chmod(name, path.stat().st_mode if path.exists() else 0o644)
            os.replace(name, path)
        except BaseException:
            Path(name).unlink(missing_ok=True)
            raise
    except OSError as fault:
        raise InputError.single(str(path), f"cannot be written ({fault.strerror})") from None


def write_new(path: Path, text: str) -> None:
    """Write a new file. Raises InputError where one stands there already: nothing is overwritten."""
    if path.exists():
        raise InputError.single(str(path), "already exists; nothing was written")
    write_whole(path, text)
