"""A page of Python source: lines, indentation, fresh names, named constants. Nothing is rewritten."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any


class Page:
    """Gathers the lines of a module and the constants they name."""

    def __init__(self) -> None:
        self.lines: list[str] = []
        self.constants: dict[str, Any] = {}
        self.depth = 0
        self._fresh = 0
        self._names: dict[tuple[type, str], str] = {}

    def line(self, text: str) -> None:
        """Add a line at the present indentation."""
        self.lines.append("    " * self.depth + text)

    @contextmanager
    def block(self, head: str) -> Iterator[None]:
        """Write `head` and indent what follows."""
        self.line(head)
        self.depth += 1
        yield
        self.depth -= 1

    def fresh(self, letter: str) -> str:
        """Return a name not used before."""
        self._fresh += 1
        return f"{letter}{self._fresh}"

    def literal(self, value: Any) -> str:
        """Write a value in the source: as it stands where it is plain, else by name."""
        if value is None or (
            isinstance(value, bool | str | int) and type(value) in (bool, str, int)
        ):
            return repr(value)
        return self.constant(value)

    def constant(self, value: Any) -> str:
        """Return the name of a constant, one name for equal values."""
        key = (type(value), repr(value))
        if key not in self._names:
            self._names[key] = f"K{len(self.constants)}"
            self.constants[self._names[key]] = value
        return self._names[key]

    def source(self) -> str:
        """Return the module's text."""
        return "\n".join(self.lines) + "\n"
