"""The six statuses of a finding, for all rooms above the reading of a clause."""

from __future__ import annotations

from deckclause.reading.status import (
    COMPLIES,
    DOES_NOT_COMPLY,
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
    NOT_APPLICABLE,
    NOT_REGULATED,
    Status,
    status_told,
    worst,
)

STATUS_WORDS: tuple[str, ...] = tuple(status.words for status in Status)
"""The words of each status in result files, by its number."""
STATUS_TOLD: tuple[str, ...] = tuple(status.told for status in Status)
"""The words of each status for a person, by its number."""

__all__ = [
    "COMPLIES",
    "DOES_NOT_COMPLY",
    "ENGINEERING_REQUIRED",
    "INFORMATION_MISSING",
    "NOT_APPLICABLE",
    "NOT_REGULATED",
    "STATUS_TOLD",
    "STATUS_WORDS",
    "Status",
    "status_told",
    "worst",
]
