"""A column of invented permits: each row's place in a list of distinct texts."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True)
class InventedColumn:
    """A column of texts: each row's place in a list of distinct ones; an empty text is unknown."""

    codes: Any
    texts: tuple[str, ...]

    def cells(self) -> list[str]:
        """Return every row's text."""
        return [self.texts[code] for code in self.codes.tolist()]
