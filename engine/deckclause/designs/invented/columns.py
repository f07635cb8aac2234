"""A column of invented permits: each row's place in a list of distinct texts."""

from __future__ import annotations

from typing import Any

from msgspec import Struct


class InventedColumn(Struct, frozen=True):
    """A column of texts: each row's place in a list of distinct ones; an empty text is unknown."""

    codes: Any
    texts: tuple[str, ...]

    def cells(self) -> list[str]:
        """Return every row's text."""
        return [self.texts[code] for code in self.codes.tolist()]
