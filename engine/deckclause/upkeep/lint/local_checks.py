"""Checks of how far a place goes from a larger one's code, by evaluating both on boundary designs."""

from __future__ import annotations

from collections.abc import Iterator
from weakref import WeakKeyDictionary

from deckclause.compare.rule_diff.weight import LOOSER, OTHERWISE
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.register import Register
from deckclause.upkeep.lint.context import LintContext
from deckclause.upkeep.lint.finding import Found, Place
from deckclause.upkeep.local_limits import EDITION, Departure, departures

_FOUND: WeakKeyDictionary[LintContext, list[tuple[Place, str, Departure]]] = WeakKeyDictionary()
"""What was found in each context, shared by the two checks."""
LEAVE = ("with approval", "by statute only")


def beyond(context: LintContext) -> Found:
    """Find departures a larger place does not let a place within it make."""
    register = context.library.register
    for place, day, departure in _departures(context):
        if departure.topic == EDITION and _leave_of(register, departure, day):
            continue  # given time to change over
        strict = departure.local == "stricter only" and departure.way == LOOSER
        if strict or departure.local == "not at all":
            yield place, departure.place, f"{_words(departure, day)} ({departure.local})"


def leave(context: LintContext) -> Found:
    """Find departures that need leave, that the larger place's rule overrides, or cannot be ranked."""
    register = context.library.register
    for place, day, departure in _departures(context):
        if departure.local in LEAVE and not _leave_of(register, departure, day):
            why = f"{departure.local}: say in the adoption which, `approved: ...`"
        elif departure.local == "the strictest governs" and departure.way == LOOSER:
            why = f"the strictest governs: there that of {departure.larger} does"
        elif departure.local == "stricter only" and departure.way == OTHERWISE:
            why = "stricter only: which way this goes no figure tells; read both"
        else:
            continue
        yield place, departure.place, f"{_words(departure, day)} ({why})"


def _leave_of(register: Register, departure: Departure, day: str) -> str:
    """Return who gave leave for what departs, as the adoption says; "" where nobody did."""
    return register.resolve(f"{departure.place}@{day}").adoption.approved


def _words(departure: Departure, day: str) -> str:
    return f"{departure.place}, from {day}: {departure}"


def _departures(context: LintContext) -> list[tuple[Place, str, Departure]]:
    if context not in _FOUND:
        _FOUND[context] = list(_found(context))
    return _FOUND[context]


def _found(context: LintContext) -> Iterator[tuple[Place, str, Departure]]:
    tree = context.trees.get(context.files.register_path)
    if tree is None:
        return
    for read in context.sets:
        name, at, day = read.ruleset.name.partition("@")
        if not at or ("places", name) not in tree.lines:
            continue
        try:
            found = departures(context.library, read.ruleset.name)
        except InputError:
            continue  # reported as unreadable
        for departure in found:
            yield Place(tree.file, tree.line(("places", name))), day, departure
