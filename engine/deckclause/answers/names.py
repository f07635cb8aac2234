"""Small words several answers and their printers share."""

from __future__ import annotations

from collections.abc import Iterable


def parts_text(parts: Iterable[str]) -> str:
    """Write the parts a line speaks of; nothing where it speaks of the whole.

    >>> parts_text(["left post", "right post"])
    ' [left post, right post]'
    """
    named = [part for part in parts if part]
    return f" [{', '.join(named)}]" if named else ""
