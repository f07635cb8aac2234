"""What each clause of a rule set limits on one design, with what stays open said and kept.

Three-valued: where it is unknown whether a clause applies, or whether an exception holds, the
stricter limit holds (`strict`), and the limit that holds whatever the unknown turns out to be
stands beside it (`loose`). An arrangement that keeps every strict limit complies; one that breaks
a loose limit does not; between the two the answer is to ask.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from typing import Any

from msgspec import Struct

from deckclause.evaluate.status import (
    COMPLIES,
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
    Status,
)
from deckclause.reading.bounds import Bounds, BoundsReader, BranchBounds
from deckclause.reading.exact import Facts
from deckclause.reading.fold import branches
from deckclause.reading.forms import OWN, Branch, Fact, Rule, Span, exception
from deckclause.reading.forms import Subject as SubjectForm
from deckclause.rulesets.clauses import Clause, Distance, Subject
from deckclause.rulesets.problems import InputError, Problem

FREE: Bounds = (None, None)


class ClauseLimits(Struct, frozen=True):
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
    strict: tuple[BranchBounds, ...]
    loose: Bounds
    missing: tuple[str, ...] = ()
    status: Status = COMPLIES
    reason: str = ""

    @property
    def is_incomplete(self) -> bool:
        """Whether the limits do not tell everything."""
        return self.status is not COMPLIES


def clause_limits(rule: Rule, part: str, subject: Subject, facts: Facts) -> ClauseLimits | None:
    """Return what a clause asks of a subject; None where it does not apply or does not limit it.

    Raises InputError where two exceptions fire together, as the evaluator does.
    """
    reader = BoundsReader(rule, _form(subject, rule), facts)
    applies = reader.gate(rule.applies)
    if applies.holds is False:
        return None
    scope = reader.gate(rule.scope)
    if scope.holds is False and applies.holds:
        reason = f"outside what the clause covers ({rule.clause.scope_says or 'its scope'})"
        return _shut(rule.clause, part, subject, reason, reader)
    fired, unknown, beyond = _exceptions(rule, reader)
    for quantity in filter(None, (applies.beyond, scope.beyond, beyond)):
        reason = f"{quantity.replace('.', ' ').replace('_', ' ')} has no figure here"
        return _shut(rule.clause, part, subject, reason, reader)
    found = _Gathered(part, subject, reader)
    for branch in [fired] if rule.exceptions else branches(rule):
        found.add(branch, sure=applies.holds is True)
    for branch in unknown:
        found.allow(branch)
    if scope.holds is None:
        found.open("whether the clause covers this is not known")
    return found.result()


def _form(subject: Subject, rule: Rule) -> SubjectForm:
    """Return a subject as the rule's own limits name it."""
    if isinstance(subject, Distance):
        return Span(subject.start, subject.end)
    asked = (getattr(rule.ask(branch), "subject", None) for branch in branches(rule))
    return next(f for f in asked if isinstance(f, Fact) and f.name == subject)


def _exceptions(rule: Rule, reader: BoundsReader) -> tuple[Branch, list[Branch], str]:
    """Return the branch that governs, the exceptions that may, and what has no figure here."""
    fired = OWN
    unknown: list[Branch] = []
    for number, (when, _) in enumerate(rule.exceptions, 1):
        gate, branch = reader.gate(when), exception(number)
        if gate.beyond:
            return fired, unknown, gate.beyond
        if gate.holds is None:
            unknown.append(branch)
        elif gate.holds and fired != OWN:
            raise _conflict(rule.clause, fired.number, number)
        elif gate.holds:
            fired = branch
    return fired, unknown, ""


def _conflict(clause: Clause, *numbers: int) -> InputError:
    one, two = numbers
    return InputError(
        Problem(
            clause.origin.file,
            clause.exceptions[n - 1].line,
            f"{clause.key}: exceptions {one} and {two} both fire",
        )
        for n in numbers
    )


def _shut(
    clause: Clause, part: str, subject: Subject, reason: str, reader: BoundsReader
) -> ClauseLimits:
    return ClauseLimits(
        clause, part, subject, (), FREE, names(reader), ENGINEERING_REQUIRED, reason
    )


def names(reader: BoundsReader) -> tuple[str, ...]:
    """Return the quantities a reader found unknown, each once."""
    return tuple(name for name in reader.lacking if isinstance(name, str))


class _Gathered:
    """Gathers the branches of one clause."""

    def __init__(self, part: str, subject: Subject, reader: BoundsReader) -> None:
        self.part, self.subject, self.reader = part, subject, reader
        self.strict: list[BranchBounds] = []
        self.loose: Bounds = FREE
        self.status, self.reason = COMPLIES, ""
        self.speaks = False

    def add(self, branch: Branch, *, sure: bool) -> None:
        """Add a branch that governs; one that only may apply holds, but not in any case."""
        found = self._read(branch)
        if self.status is not COMPLIES and not sure:
            self.status = INFORMATION_MISSING
        if found is not None and self._adds(found) and sure:
            self.loose = tighter(self.loose, found.bounds or FREE)

    def allow(self, branch: Branch) -> None:
        """Reckon with an exception that may hold: what it asks more holds, what less does not."""
        before = self.status
        found = self._read(branch)
        if self.status != before:
            self.status = INFORMATION_MISSING
        if found is not None:
            self.loose = wider(self.loose, found.bounds or FREE)
            self._adds(found)

    def _adds(self, found: BranchBounds) -> bool:
        """Hold a branch's bounds too, unless they are open or those held already imply them."""
        bounds = found.bounds or FREE
        if bounds == FREE or any(
            tighter(b.bounds or FREE, bounds) == b.bounds for b in self.strict
        ):
            return False
        self.strict.append(found)
        return True

    def open(self, reason: str) -> None:
        """Note that the limits do not tell everything."""
        if self.status is COMPLIES:
            self.status, self.reason = INFORMATION_MISSING, reason

    def result(self) -> ClauseLimits | None:
        """Return what was gathered; None where no branch speaks of the subject."""
        if not self.speaks and self.status is COMPLIES:
            return None
        return ClauseLimits(
            self.reader.rule.clause,
            self.part,
            self.subject,
            tuple(self.strict),
            self.loose,
            names(self.reader),
            self.status,
            self.reason,
        )

    def _read(self, branch: Branch) -> BranchBounds | None:
        """Read a branch's bounds; None where it gives none, with the reason noted."""
        found = self.reader.branch_bounds(branch)
        if found.status is not None and found.status > self.status:
            self.status, self.reason = found.status, found.reason
        self.speaks = self.speaks or found.bounds is not None or found.is_about_subject
        return None if found.bounds is None else found


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
