"""Photographs and plan sheets bound into a request from files: PNG or JPEG, told by their content."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from deckclause.rulesets.problems import InputError
from deckclause.rulesets.read_file import read_bytes

MEDIA = {b"\x89PNG\r\n\x1a\n": "image/png", b"\xff\xd8\xff": "image/jpeg"}
MOST_BYTES = 20_000_000


@dataclass(frozen=True, slots=True)
class BoundIn:
    """A picture's bytes and its media type."""

    media: str
    content: bytes


def bound_in(folder: Path, entry: Mapping[str, Any]) -> BoundIn | None:
    """Return the picture an attachment names, read from beside the request; None where it names none.

    Raises InputError where there is no such file, or it is no picture.
    """
    named = entry.get("file")
    if not named:
        return None
    path = folder / str(named)
    content = read_bytes(path)
    media = next((m for head, m in MEDIA.items() if content.startswith(head)), "")
    if not media:
        raise InputError.single(
            str(path), "is bound in only as PNG or JPEG; save a plan sheet's page as one of them"
        )
    if len(content) > MOST_BYTES:
        raise InputError.single(
            str(path), f"is larger than {MOST_BYTES // 1_000_000} MB; save it smaller"
        )
    return BoundIn(media, content)


def not_bound(folder: Path, entry: Mapping[str, Any]) -> str:
    """Say why an attachment's file cannot be bound in; nothing where it can, or it names none."""
    try:
        bound_in(folder, entry)
    except InputError as fault:
        return str(fault)
    return ""
