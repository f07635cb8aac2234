"""A small writer of Python source: lines, indentation, fresh names, named constants."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any


class SourceWriter:
    """Gathers the lines of a module and the constants they name."""

    def __init__(self) -> None:
        self.lines: list[str] = []
        self.constants: dict[str, Any] = {}
        self._depth = 0
        self._fresh = 0
        self._constant_names: dict[str, str] = {}

    @property
    def depth(self) -> int:
        """The present indentation: 1 in the body of a function."""
        return self._depth

    def line(self, text: str) -> None:
        """Add a line at the present indentation."""
        self.lines.append("    " * self._depth + text)

    @contextmanager
    def block(self, head: str) -> Iterator[None]:
        """Write `head` and indent what follows."""
        self.line(head)
        self._depth += 1
        yield
        self._depth -= 1

    def indent(self, steps: int = 1) -> None:
        """Go in (or, with a negative number, out) for what follows."""
        self._depth += steps

    def mark(self) -> int:
        """Return where the numbering of fresh names stands."""
        return self._fresh

    def back_to(self, mark: int) -> None:
        """Number fresh names from `mark` again; names made since may come again."""
        self._fresh = mark

    def fresh(self, letter: str) -> str:
        """Return a name not used before."""
        self._fresh += 1
        return f"{letter}{self._fresh}"

    def constant(self, value: Any) -> str:
        """Return the name of a constant, one name for equal values."""
        text = f"{type(value).__name__}:{value!r}"
        if text not in self._constant_names:
            name = f"K{len(self.constants)}"
            self._constant_names[text] = name
            self.constants[name] = value
        return self._constant_names[text]

    def source(self) -> str:
        """Return the module's text."""
        return "\n".join(self.lines) + "\n"
