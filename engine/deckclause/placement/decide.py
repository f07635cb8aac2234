"""The status of an arrangement from what was found of it."""

from __future__ import annotations

from collections.abc import Sequence

from deckclause.evaluate.status import (
    COMPLIES,
    DOES_NOT_COMPLY,
    INFORMATION_MISSING,
    NOT_REGULATED,
    Status,
)
from deckclause.placement.from_rules import RuleLimit


def decide(
    limits: Sequence[RuleLimit],
    *,
    known: bool = True,
    strict_holds: bool = True,
    loose_holds: bool = True,
) -> Status:
    """Return the status of an arrangement from what was found of it.

    `known` is whether the boards are known at all; the others, whether the limits that hold
    while anything is unknown, and those that hold in any case, can be kept.
    """
    if known and not loose_holds:
        return DOES_NOT_COMPLY
    worst_status = max((item.limits.status for item in limits), default=COMPLIES)
    if not known or not strict_holds:
        return max(INFORMATION_MISSING, worst_status)
    return worst_status if limits else NOT_REGULATED
