"""The six statuses of a finding. Their order is how much each weighs: the worst one counts."""

from __future__ import annotations

from collections.abc import Iterable
from enum import IntEnum


class Status(IntEnum):
    """What a finding comes to, least first."""

    NOT_REGULATED = 0
    NOT_APPLICABLE = 1
    COMPLIES = 2
    INFORMATION_MISSING = 3
    ENGINEERING_REQUIRED = 4
    DOES_NOT_COMPLY = 5

    @property
    def words(self) -> str:
        """The status in words, as every result file has it."""
        return self.name.lower().replace("_", " ")

    @property
    def told(self) -> str:
        """The status as a person is told it.

        >>> INFORMATION_MISSING.words, INFORMATION_MISSING.told
        ('information missing', 'not known')
        """
        return status_told(self.words)


def status_told(words: str) -> str:
    """Say a status, in the words of a result file, as a person is told it."""
    return NOT_KNOWN if words == "information missing" else words


NOT_KNOWN = "not known"
"""The one word for an answer there is not: its cause (not stated, not seen, not modelled) is told apart."""

NOT_REGULATED = Status.NOT_REGULATED
NOT_APPLICABLE = Status.NOT_APPLICABLE
COMPLIES = Status.COMPLIES
INFORMATION_MISSING = Status.INFORMATION_MISSING
ENGINEERING_REQUIRED = Status.ENGINEERING_REQUIRED
DOES_NOT_COMPLY = Status.DOES_NOT_COMPLY


def worst(statuses: Iterable[int]) -> Status:
    """Return the status that counts when several stand together; `not regulated` for none.

    >>> worst([COMPLIES, INFORMATION_MISSING, NOT_APPLICABLE]).words
    'information missing'
    """
    return Status(max(statuses, default=NOT_REGULATED))
