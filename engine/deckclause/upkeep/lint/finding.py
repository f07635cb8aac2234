"""What a check finds: where, how grave, and what to do."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

from msgspec import Struct

if TYPE_CHECKING:
    from deckclause.upkeep.lint.context import LintContext

ERROR = "error"
WARNING = "warning"
NOTE = "note"
LEVELS = (ERROR, WARNING, NOTE)
"""From the gravest: an error must be mended, a warning looked at, a note known."""


class Place(Struct, frozen=True):
    """A line of a rule file; line 0 is the file as a whole."""

    file: str
    line: int = 0


class LintFinding(Struct, frozen=True):
    """One finding of one check."""

    check: str
    level: str
    place: Place
    message: str
    subject: str = ""
    """The clause, table, topic or file it is about."""

    @property
    def order(self) -> tuple[int, str, int, str]:
        """Gravest first, then by place."""
        return LEVELS.index(self.level), self.place.file, self.place.line, self.message


Found = Iterator[tuple[Place, str, str]]
"""Place, subject, message."""


class Check(Struct, frozen=True):
    """A check: its name (and page), its level, what it finds in a line."""

    name: str
    level: str
    says: str
    find: Callable[[LintContext], Found]
