"""What each clause of a rule set limits on one design, with what stays open said and kept.

Three-valued: where it is unknown whether a clause applies, or whether an exception holds, the
stricter limit holds (`strict`), and the limit that holds whatever the unknown turns out to be
stands beside it (`loose`). An arrangement that keeps every strict limit complies; one that breaks
a loose limit does not; between the two the answer is to ask.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from deckclause.evaluate.plain import Known, OutsideTables, figure, truth
from deckclause.evaluate.runtime import BEYOND, FORBIDDEN, Special
from deckclause.evaluate.status import (
    COMPLIES,
    DOES_NOT_COMPLY,
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
    Status,
)
from deckclause.rulesets.clauses import (
    Clause,
    Informs,
    Limit,
    NeedsEngineering,
    Requirement,
    Subject,
    Unmodelled,
    Waived,
)
from deckclause.rulesets.problems import InputError, Problem

Bounds = tuple[Fraction | None, Fraction | None]
"""Least and most; None where open."""
FREE: Bounds = (None, None)


@dataclass(frozen=True, slots=True)
class Branch:
    """One way a clause may govern: 0 its own words, n its n-th exception, -n its n-th reading."""

    number: int
    bounds: Bounds


@dataclass(frozen=True, slots=True)
class ClauseLimits:
    """What one clause asks of one subject on one design (for one part of it).

    `strict` branches all hold while anything is unknown; `loose` holds in any case. `missing`
    names what would have to be known. `status` is `complies` where the limits tell everything, else why
    they do not: information missing (a figure or the scope is unknown), engineering required
    (outside what the clause prescribes), does not comply (a table says not permitted); `reason`
    then says so in words.
    """

    clause: Clause
    part: str
    subject: Subject
    strict: tuple[Branch, ...]
    loose: Bounds
    missing: tuple[str, ...] = ()
    status: Status = COMPLIES
    reason: str = ""

    @property
    def is_incomplete(self) -> bool:
        """Whether the limits do not tell everything."""
        return self.status is not COMPLIES


def clause_limits(clause: Clause, part: str, subject: Subject, facts: Known) -> ClauseLimits | None:
    """Return what a clause asks of a subject; None where it does not apply or does not limit it.

    Raises InputError where two exceptions fire together, as the evaluator does.
    """
    missing: list[str] = []
    try:
        applies = truth(clause.applies, facts, missing)
        if applies is False:
            return None
        scope = truth(clause.scope, facts, missing)
        if scope is False and applies:
            reason = f"outside what the clause covers ({clause.scope_says or 'its scope'})"
            return _shut(clause, part, subject, ENGINEERING_REQUIRED, reason, missing)
        fired, unknown = _exceptions(clause, facts, missing)
    except OutsideTables as outside:
        reason = f"{outside.quantity.replace('.', ' ').replace('_', ' ')} has no figure here"
        return _shut(clause, part, subject, ENGINEERING_REQUIRED, reason, missing)
    found = _Gathered(clause, part, subject, facts, missing)
    numbers = [fired] if clause.exceptions else [0, *(-n for n in _count(clause.readings))]
    for number in numbers:
        found.add(number, sure=applies is True)
    for number in unknown:
        found.allow(number)
    if scope is None:
        found.open("whether the clause covers this is not known")
    return found.result()


def _count(items: tuple[Any, ...]) -> range:
    return range(1, len(items) + 1)


def _exceptions(clause: Clause, facts: Known, missing: list[str]) -> tuple[int, list[int]]:
    """Return the exception that fires (0 for none) and those that may."""
    fired, unknown = 0, []
    for number, exception in enumerate(clause.exceptions, 1):
        holds = truth(exception.when, facts, missing)
        if holds is None:
            unknown.append(number)
        elif holds and fired:
            raise InputError(
                Problem(
                    clause.origin.file,
                    clause.exceptions[n - 1].line,
                    f"{clause.key}: exceptions {fired} and {number} both fire",
                )
                for n in (fired, number)
            )
        elif holds:
            fired = number
    return fired, unknown


def _shut(
    clause: Clause, part: str, subject: Subject, status: Status, reason: str, missing: list[str]
) -> ClauseLimits:
    return ClauseLimits(
        clause, part, subject, (), FREE, tuple(dict.fromkeys(missing)), status, reason
    )


class _Gathered:
    """Gathers the branches of one clause."""

    def __init__(
        self, clause: Clause, part: str, subject: Subject, facts: Known, missing: list[str]
    ) -> None:
        self.clause, self.part, self.subject = clause, part, subject
        self.facts, self.missing = facts, missing
        self.strict: list[Branch] = []
        self.loose: Bounds = FREE
        self.status, self.reason = COMPLIES, ""
        self.speaks = False

    def add(self, number: int, *, sure: bool) -> None:
        """Add a branch that governs; one that only may apply holds, but not in any case."""
        bounds = self._bounds(number)
        if self.status is not COMPLIES and not sure:
            self.status = INFORMATION_MISSING
        if bounds is not None and bounds != FREE and not self._implied(bounds):
            self.strict.append(Branch(number, bounds))
            if sure:
                self.loose = tighter(self.loose, bounds)

    def allow(self, number: int) -> None:
        """Reckon with an exception that may hold: what it asks more holds, what less does not."""
        before = self.status
        bounds = self._bounds(number)
        if self.status != before:
            self.status = INFORMATION_MISSING
        if bounds is None:
            return
        self.loose = wider(self.loose, bounds)
        if bounds != FREE and not self._implied(bounds):
            self.strict.append(Branch(number, bounds))

    def open(self, reason: str) -> None:
        """Note that the limits do not tell everything."""
        if self.status is COMPLIES:
            self.status, self.reason = INFORMATION_MISSING, reason

    def result(self) -> ClauseLimits | None:
        """Return what was gathered; None where no branch speaks of the subject."""
        if not self.speaks and self.status is COMPLIES:
            return None
        return ClauseLimits(
            self.clause,
            self.part,
            self.subject,
            tuple(self.strict),
            self.loose,
            tuple(dict.fromkeys(self.missing)),
            self.status,
            self.reason,
        )

    def _implied(self, bounds: Bounds) -> bool:
        return any(tighter(b.bounds, bounds) == b.bounds for b in self.strict)

    def _bounds(self, number: int) -> Bounds | None:
        """Return a branch's bounds; None where it gives none, with the reason noted."""
        requirement = requirement_of(self.clause, number)
        if isinstance(requirement, Waived | Informs):
            self.speaks = True
            return FREE
        if isinstance(requirement, NeedsEngineering):
            self._no_figure(ENGINEERING_REQUIRED, requirement.reason)
            return None
        if isinstance(requirement, Unmodelled):
            self._no_figure(INFORMATION_MISSING, f"not modelled: {requirement.reason}")
            return None
        if not isinstance(requirement, Limit) or requirement.subject != self.subject:
            return None
        self.speaks = True
        try:
            return self._figures(requirement)
        except OutsideTables as outside:
            self._no_figure(ENGINEERING_REQUIRED, f"{outside.quantity} has no figure here")
            return None

    def _figures(self, limit: Limit) -> Bounds | None:
        values = (limit.exactly or limit.least, limit.exactly or limit.most)
        found: list[Fraction | None] = []
        for value in values:
            one = None if value is None else figure(value, self.facts, self.missing)
            if value is not None and not isinstance(one, Fraction):
                self._no_figure(*_why_no_figure(one))
                return None
            found.append(one)
        return found[0], found[1]

    def _no_figure(self, status: Status, reason: str) -> None:
        if status > self.status:
            self.status, self.reason = status, reason


def _why_no_figure(value: Special | None) -> tuple[Status, str]:
    if value is BEYOND:
        return ENGINEERING_REQUIRED, "no figure is prescribed for this case"
    if value is FORBIDDEN:
        return DOES_NOT_COMPLY, "the table says not permitted"
    if value is None:
        return INFORMATION_MISSING, "what the figure depends on is not known"
    return INFORMATION_MISSING, "the figure has not been seen in print; read the code"


def requirement_of(clause: Clause, number: int) -> Requirement:
    """Return the requirement of a branch."""
    if number > 0:
        return clause.exceptions[number - 1].requirement
    return clause.readings[-number - 1].requirement if number < 0 else clause.requirement


def tighter(one: Bounds, two: Bounds) -> Bounds:
    """Return the bounds that hold where both do.

    >>> tighter((Fraction(2), None), (Fraction(1), Fraction(5)))
    (Fraction(2, 1), Fraction(5, 1))
    """
    return _pick(max, one[0], two[0]), _pick(min, one[1], two[1])


def wider(one: Bounds, two: Bounds) -> Bounds:
    """Return the bounds that hold where either does."""
    least = None if one[0] is None or two[0] is None else min(one[0], two[0])
    most = None if one[1] is None or two[1] is None else max(one[1], two[1])
    return least, most


def _pick(choose: Any, one: Fraction | None, two: Fraction | None) -> Fraction | None:
    known: Iterable[Fraction] = [v for v in (one, two) if v is not None]
    return choose(known, default=None)  # type: ignore[no-any-return]
