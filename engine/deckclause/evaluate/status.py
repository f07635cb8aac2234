"""The six statuses of a finding, and how they rank."""

from __future__ import annotations

COMPLIES = 0
NOT_APPLICABLE = 1
INFORMATION_MISSING = 2
ENGINEERING_REQUIRED = 3
DOES_NOT_COMPLY = 4
NOT_REGULATED = 5

STATUS_WORDS: tuple[str, ...] = (
    "complies",
    "not applicable",
    "information missing",
    "engineering required",
    "does not comply",
    "not regulated",
)

SEVERITY: tuple[int, ...] = (1, 0, 2, 3, 4, -1)
"""How much each status weighs when several clauses speak on one topic: the worst one counts."""


def worst(statuses: list[int]) -> int:
    """Return the status that counts when several stand together; `not regulated` for none.

    >>> STATUS_WORDS[worst([COMPLIES, INFORMATION_MISSING, NOT_APPLICABLE])]
    'information missing'
    """
    return max(statuses, key=SEVERITY.__getitem__, default=NOT_REGULATED)
