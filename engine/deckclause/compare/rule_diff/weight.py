"""Which way a clause changed: stricter, looser, both ways, or otherwise, as far as figures say."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from fractions import Fraction

from deckclause.compare.rule_diff.clauses import ADDED, GONE, MOVED, ClauseChange, RuleDiff
from deckclause.rulesets.clauses import (
    Clause,
    ClauseException,
    Fixed,
    Limit,
    Table,
    Unmodelled,
    Value,
    Waived,
)
from deckclause.rulesets.walk import value_tables

STRICTER, LOOSER, BOTH, OTHERWISE = "stricter", "looser", "both ways", "otherwise"
NEW, WITHDRAWN = "new", "gone"
WEIGHTS = (STRICTER, LOOSER, BOTH, OTHERWISE, NEW, WITHDRAWN)


def true_changes(diff: RuleDiff) -> list[ClauseChange]:
    """Return the changes in what is asked: not a number moved, a standing alone, or what is unheld."""
    asked = (c for c in diff.changes if c.kind != MOVED and not c.only_standing)
    return [change for change in asked if not _is_unheld(change)]


def unheld(diff: RuleDiff) -> list[ClauseChange]:
    """Return what differs only in this: that a rule set's words or figures are not held here."""
    return [c for c in diff.changes if _is_unheld(c)]


def _is_unheld(change: ClauseChange) -> bool:
    if change.kind == MOVED or change.only_standing:
        return False
    sides = [c for c in (change.before, change.after, change.beside) if c is not None]
    if any(isinstance(c.requirement, Unmodelled) for c in sides):
        return True
    only_unseen = all(not t.cells and not t.note for t in change.tables)
    return bool(change.tables) and only_unseen and {a.name for a in change.aspects} <= {"standing"}


def weights(diff: RuleDiff, felt: Mapping[str, str]) -> Counter[str]:
    """Count the true changes by the way they go."""
    return Counter(weight(c, felt.get(c.key, "")) for c in true_changes(diff))


def weight(change: ClauseChange, felt: str = "") -> str:
    """Tell which way a true change goes. A condition or a form that changed is `otherwise`.

    `felt` is the way the figure of an example goes; where it is another, the change goes both ways.
    """
    if change.beside is not None:
        return OTHERWISE
    if change.kind == ADDED:
        return NEW
    if change.kind == GONE:
        return WITHDRAWN
    assert change.before is not None
    assert change.after is not None
    found = {*_ways(change, change.before, change.after), *([felt] if felt else [])}
    if len(found) == 2:
        return BOTH
    return found.pop() if found else OTHERWISE


def _ways(change: ClauseChange, before: Clause, after: Clause) -> Iterator[str]:
    one, two = before.requirement, after.requirement
    if isinstance(one, Limit) and isinstance(two, Limit) and one.subject == two.subject:
        yield from _bound_ways(_least(one), _least(two), larger=STRICTER)
        yield from _bound_ways(_most(one), _most(two), larger=LOOSER)
        by_table = {t.cites for t in _tables(two.least)}
        for table in change.tables:
            lower = table.after in by_table
            if table.smaller:
                yield LOOSER if lower else STRICTER
            if table.larger:
                yield STRICTER if lower else LOOSER
    old = {e.when for e in before.exceptions if _lifts(e)}
    new = {e.when for e in after.exceptions if _lifts(e)}
    if old < new:
        yield LOOSER
    elif new < old:
        yield STRICTER  # where some came and some went, their conditions changed: not ranked


def _bound_ways(one: Fraction | None, two: Fraction | None, *, larger: str) -> Iterator[str]:
    if one is not None and two is not None and one != two:
        smaller = LOOSER if larger == STRICTER else STRICTER
        yield larger if two > one else smaller


def _least(limit: Limit) -> Fraction | None:
    return _fixed(limit.exactly or limit.least)


def _most(limit: Limit) -> Fraction | None:
    return _fixed(limit.exactly or limit.most)


def _fixed(value: Value | None) -> Fraction | None:
    if isinstance(value, Fixed) and isinstance(value.value, Fraction):
        return value.value
    return None


def _tables(value: Value | None) -> Iterator[Table]:
    return value_tables(value) if value is not None else iter(())


def _lifts(exception: ClauseException) -> bool:
    return isinstance(exception.requirement, Waived)
