"""What keeps the other options out: the clauses that bar each, and the rule sets they stand in."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from msgspec import Struct

from deckclause.choosing.facts import Values
from deckclause.choosing.members import Choice, Variable
from deckclause.choosing.tables import ClauseTable
from deckclause.evaluate.status import DOES_NOT_COMPLY
from deckclause.rulesets.clauses import Clause, Scalar

Why = Literal["fails", "no answer passes", "not decided"]
FAILS: Why = "fails"
NO_ANSWER_PASSES: Why = "no answer passes"
NOT_DECIDED: Why = "not decided"


class Excluded(Struct, frozen=True):
    """An option of the best combination's other choices that cannot be, and the clauses that bar it.

    `alone` tells whether each of the clauses bars it whatever else is chosen; else it is barred
    with the other members as chosen.
    """

    quantity: str
    option: Scalar
    by: tuple[tuple[str, Clause, Why], ...]
    alone: bool


def excluded_options(
    chosen: Sequence[Variable], tables: Sequence[ClauseTable], best: Choice | None
) -> tuple[Excluded, ...]:
    """Return every option that the best combination's other choices, or any, leave no room for."""
    found = []
    for variable in chosen:
        mine = [_ByOption(t, variable.quantity) for t in tables if variable.quantity in t.scope]
        for option in variable.options:
            if best is not None and best[variable.quantity] == option:
                continue
            excluded = _bars(variable.quantity, option, mine, best)
            if excluded is not None:
                found.append(excluded)
    return tuple(found)


class _ByOption:
    """A clause's table, and the options of one choice that it allows with any of the others."""

    def __init__(self, table: ClauseTable, quantity: str) -> None:
        self.table = table
        self.place = table.scope.index(quantity)
        self.allowed = {values[self.place] for values in table.allowed}

    def whole(self, option: Scalar) -> list[Values]:
        """Return every combination with an option."""
        return [values for values in self.table.verdicts if values[self.place] == option]


def _bars(
    quantity: str, option: Scalar, mine: Sequence[_ByOption], best: Choice | None
) -> Excluded | None:
    """Return what bars an option: alone, whatever else is chosen, or beside the other members chosen."""
    alone = [t for t in mine if option not in t.allowed]
    if alone:
        found = ((t.table, _why(t.table, t.whole(option))) for t in alone)
        by = tuple((table.ruleset, table.clause, why) for table, why in found)
        return Excluded(quantity, option, by, True)
    if best is None:
        return None
    beside = {**best, quantity: option}
    barred = [
        (t.table, values)
        for t in mine
        if not t.table.allows(values := tuple(beside[n] for n in t.table.scope))
    ]
    if not barred:
        return None
    by = tuple((table.ruleset, table.clause, _why(table, [values])) for table, values in barred)
    return Excluded(quantity, option, by, False)


def _why(table: ClauseTable, values: Sequence[Values]) -> Why:
    verdicts = [table.verdicts[v] for v in values]
    if any(v.status == DOES_NOT_COMPLY for v in verdicts):
        return FAILS
    return NO_ANSWER_PASSES if any(v.hopeless for v in verdicts) else NOT_DECIDED
