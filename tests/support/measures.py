"""Every measure a result's data holds, as it is printed."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any


def measures(data: Any) -> Iterator[str]:
    """Yield every measure of a result's data as it is printed."""
    if isinstance(data, dict):
        if set(data) == {"exact", "text", "si"}:
            yield data["text"]
        else:
            for value in data.values():
                yield from measures(value)
    elif isinstance(data, list):
        for value in data:
            yield from measures(value)
