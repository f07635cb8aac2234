"""Whether an arrangement keeps a rule set's limits while some facts are unknown."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from deckclause.evaluate.status import NOT_APPLICABLE, STATUS_TOLD, STATUS_WORDS
from deckclause.placement.answers import Conflicts, Solution
from deckclause.placement.conflicts import all_conflicts
from deckclause.placement.constraints import Distance
from deckclause.placement.decide import decide
from deckclause.placement.from_rules import RuleLimit
from deckclause.placement.solve import solve

NONE = Conflicts((), True)


class Verdict(Struct, frozen=True):
    """A status with its grounds.

    `distances` is the system solved (every strict limit and the boards), `solution` its answer
    without asks. `conflicts` says why it cannot hold. `reasons` are the clauses that need
    engineering or have no figure, in words; `missing` names what would have to be known.
    """

    status: int
    distances: tuple[Distance, ...]
    solution: Solution | None
    conflicts: Conflicts = NONE
    reasons: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()

    @property
    def is_feasible(self) -> bool:
        """Whether an arrangement keeps every strict limit that is known."""
        return self.solution is not None and self.solution.is_feasible

    @property
    def words(self) -> str:
        """The status in the words of a result file."""
        return STATUS_WORDS[self.status]

    @property
    def told(self) -> str:
        """The status as a person is told it."""
        return STATUS_TOLD[self.status]


def verdict(
    boards: Sequence[Distance], limits: Sequence[RuleLimit], missing: Sequence[str] = ()
) -> Verdict:
    """Judge the boards against the limits; `missing` names boards that are not known.

    No limit at all is `not regulated`, unless the boards alone leave no place.

    Without `missing`, the strict limits decide: where they can hold, the arrangement complies
    whatever the unknown turns out to be. Where even the limits that hold in any case cannot, it
    does not. Engineering required, or a figure not permitted, outweighs both.
    """
    strict = (*boards, *dict.fromkeys(d for item in limits for d in item.strict))
    reasons = tuple(dict.fromkeys(reason_of(item) for item in limits if item.limits.reason))
    asked = tuple(dict.fromkeys([*missing, *(n for i in limits for n in i.limits.missing)]))
    if missing:
        return Verdict(decide(limits, known=False), strict, None, NONE, reasons, asked)
    solution = solve(strict)
    if solution.is_feasible:
        return Verdict(decide(limits), strict, solution, NONE, reasons, asked)
    loose = [d for item in limits for d in item.loose]
    sure = not solve((*boards, *loose)).is_feasible
    status = decide(limits, strict_holds=False, loose_holds=not sure)
    return Verdict(status, strict, solution, all_conflicts(strict), reasons, asked)


def not_applicable() -> Verdict:
    """Return the verdict on a deck the clauses are not about."""
    return Verdict(NOT_APPLICABLE, (), None)


def reason_of(item: RuleLimit) -> str:
    """Say why a clause's limit does not tell everything."""
    part = f" [{item.limits.part}]" if item.limits.part else ""
    return f"{item.clause.cites}{part}: {item.limits.reason}"
