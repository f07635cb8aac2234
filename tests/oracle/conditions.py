"""Conditions with three values and the outcomes they lead to, for the ledger oracle.

True, False and None (unknown); an "and" is surely false when one part is, whatever the others are.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

Value = Fraction | int | str | bool
Facts = Mapping[str, Value]
Truth = bool | None
Limit = Fraction | tuple[Fraction, Fraction] | None
Finding = tuple[str, Limit]

COMPLIES = "complies"
FAILS = "does not comply"
NOT_APPLICABLE = "not applicable"
NOT_REGULATED = "not regulated"
ENGINEERING = "engineering required"
MISSING = "information missing"


# --- three-valued conditions ------------------------------------------------------------------
def one_of(value: Value | None, choices: tuple[str, ...]) -> Truth:
    return None if value is None else value in choices


def at_least(value: Value | None, limit: Fraction | int) -> Truth:
    return None if value is None else value >= limit  # type: ignore[operator]


def at_most(value: Value | None, limit: Fraction | int) -> Truth:
    return None if value is None else value <= limit  # type: ignore[operator]


def equals(value: Value | None, wanted: Value) -> Truth:
    return None if value is None else value == wanted


def negated(truth: Truth) -> Truth:
    return None if truth is None else not truth


def all_of(*parts: Truth) -> Truth:
    if False in parts:
        return False
    return None if None in parts else True


def any_of(*parts: Truth) -> Truth:
    if True in parts:
        return True
    return None if None in parts else False


def plus(left: Value | None, right: Value | None) -> Fraction | None:
    return None if left is None or right is None else left + right  # type: ignore[operator,return-value]


def minus(left: Value | None, right: Value | None) -> Fraction | None:
    return None if left is None or right is None else left - right  # type: ignore[operator,return-value]


# --- outcomes ---------------------------------------------------------------------------------
def required(holds: Truth, limit: Limit = None) -> Finding:
    if holds is None:
        return MISSING, limit
    return (COMPLIES if holds else FAILS), limit


def within_scope(holds: Truth, limit: Limit = None) -> Finding:
    if holds is None:
        return MISSING, limit
    return (COMPLIES if holds else ENGINEERING), limit


def outside(applies: Truth, scope: Truth = True) -> Finding | None:
    """Return the finding where the clause is not reached, None where it is."""
    if applies is None:
        return MISSING, None
    if not applies:
        return NOT_APPLICABLE, None
    if scope is None:
        return MISSING, None
    return None if scope else (ENGINEERING, None)


def unless(base: Finding, condition: Truth, exception: Finding) -> Finding:
    """Read a clause with one exception; an undecided exception matters only where it changes the status."""
    if condition is None:
        return base if base[0] == exception[0] else (MISSING, None)
    return exception if condition else base
