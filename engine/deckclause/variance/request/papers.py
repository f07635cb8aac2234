"""Photographs and plan sheets bound into a request from files: PNG, JPEG or PDF, told by their content."""

from __future__ import annotations

from collections.abc import Mapping
from importlib import import_module
from io import BytesIO
from pathlib import Path
from typing import Any

from msgspec import Struct

from deckclause.rulesets.problems import InputError
from deckclause.rulesets.read_file import read_bytes

PDF = "application/pdf"
MEDIA = {b"\x89PNG\r\n\x1a\n": "image/png", b"\xff\xd8\xff": "image/jpeg", b"%PDF-": PDF}
MOST_BYTES = 20_000_000
HOW = "a PDF needs pypdf to be bound in: pip install 'deckclause[documents]'"


class BoundIn(Struct, frozen=True):
    """A file's bytes and its media type; `pages` of a PDF, 0 for a picture."""

    media: str
    content: bytes
    pages: int = 0


def bound_in(folder: Path, entry: Mapping[str, Any]) -> BoundIn | None:
    """Return what an attachment's file holds, read from beside the request; None where it names none.

    Raises InputError where there is no such file, or it is neither a picture nor a PDF that opens.
    """
    named = entry.get("file")
    if not named:
        return None
    path = folder / str(named)
    content = read_bytes(path)
    media = next((m for head, m in MEDIA.items() if content.startswith(head)), "")
    if not media:
        raise InputError.single(str(path), "is bound in only as PNG, JPEG or PDF; save it as one")
    if len(content) > MOST_BYTES:
        raise InputError.single(
            str(path), f"is larger than {MOST_BYTES // 1_000_000} MB; save it smaller"
        )
    return BoundIn(media, content, _pages(path, content) if media == PDF else 0)


def _pages(path: Path, content: bytes) -> int:
    """Count a PDF's pages. Raises InputError for one that is locked, broken or empty."""
    try:
        pypdf: Any = import_module("pypdf")
    except ImportError:
        raise InputError.single(str(path), HOW) from None
    try:
        reader = pypdf.PdfReader(BytesIO(content))
        if reader.is_encrypted:
            raise InputError.single(str(path), "is locked with a password; save it without one")
        count = len(reader.pages)
    except InputError:
        raise
    except Exception as fault:  # whatever a broken file makes of its reader
        raise InputError.single(str(path), f"cannot be read as a PDF ({fault})") from None
    if not count:
        raise InputError.single(str(path), "is a PDF without a page")
    return count


def not_bound(folder: Path, entry: Mapping[str, Any]) -> str:
    """Say why an attachment's file cannot be bound in; nothing where it can, or it names none."""
    try:
        bound_in(folder, entry)
    except InputError as fault:
        return str(fault)
    return ""
