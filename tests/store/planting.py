"""A command in a process of its own, asked with one cache folder; and ways to do it harm."""

from __future__ import annotations

import os
import random
from pathlib import Path

from faults.commands import command

ASKED = ("--under", "irc-2012", "--under", "Tarn Hollow@2024-02-01", "--part", "placement")


def answer(deck: Path, base: Path) -> tuple[int, str, str]:
    """Return status, output and errors of one comparison."""
    done = command("compare", str(deck), *ASKED, env={"DECKCLAUSE_CACHE": str(base)})
    return done.returncode, done.stdout, done.stderr


def flipped(content: bytes, chance: random.Random) -> bytes:
    """Return the bytes with one bit the other way."""
    changed = bytearray(content)
    changed[chance.randrange(len(content))] ^= 1 << chance.randrange(8)
    return bytes(changed)


def kept_files(base: Path) -> list[Path]:
    """Return the files kept under a base folder."""
    return sorted(p for p in base.rglob("*") if p.is_file() and not p.is_symlink())


IS_ROOT = hasattr(os, "getuid") and os.getuid() == 0
