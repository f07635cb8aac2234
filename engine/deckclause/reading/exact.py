"""The reference reader: one clause on exact facts, the finding with its trace.

Every other way of evaluating is held to this one: the printed scalar functions and the columns on
random clauses and facts, placement by being built of it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Any

from msgspec.structs import replace

from deckclause.reading import forms
from deckclause.reading.forms import Branch, Rule
from deckclause.reading.reader import NoBounds, Reader
from deckclause.reading.special import BEYOND, FORBIDDEN, Special
from deckclause.reading.status import (
    COMPLIES,
    DOES_NOT_COMPLY,
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
    Status,
)
from deckclause.reading.trace import BranchRead, Missing, Outcome, Trace

Facts = Mapping[str, Any]
"""Facts by quantity, exact, in inch-pound-degree units; BEYOND where a clause could not give one."""
Distances = Mapping[tuple[str, str], Fraction]


class ExceptionsConflict(Exception):
    """Two exceptions of one clause fire together; the rule set is at fault."""

    def __init__(self, rule: Rule, first: int, second: int) -> None:
        super().__init__(f"{rule.clause.key}: exceptions {first} and {second} both fire")
        self.rule = rule
        self.first = first
        self.second = second


class ExactReader(Reader[Outcome]):
    """Reads clauses on exact facts. Not for use by two threads at once."""

    def __init__(self, facts: Facts, distances: Distances | None = None) -> None:
        super().__init__()
        self.facts = facts
        self.distances = distances or {}

    # -- facts and figures ------------------------------------------------------------------------

    def look_up(self, name: str) -> Any:
        """Return a fact's value; None where it is unknown."""
        return self.facts.get(name)

    def distance(self, span: forms.Span) -> Fraction | None:
        """Return a distance; None where it is not fixed."""
        return self.distances.get((span.start, span.end))

    def constant(self, figure: Fraction | str | bool) -> Any:
        """Return the figure itself."""
        return figure

    def is_one_of(self, fact: forms.Fact, options: Sequence[str | bool]) -> bool | None:
        """Tell whether a fact is one of the options; None where it is unknown."""
        value = self.fact(fact)
        return None if value is None else value in options

    def at_most(self, one: Any, two: Any, *, strict: bool = False) -> bool:
        """Compare two numbers."""
        return bool(one < two if strict else one <= two)

    def combine(self, operation: str, one: Any, two: Any) -> Any:
        """Combine two numbers."""
        if operation == "sum":
            return one + two
        if operation == "product":
            return one * two
        return min(one, two) if operation == "least" else max(one, two)

    def share(self, keys: tuple[Fraction, Fraction], value: Any) -> Fraction | None:
        """Return how far along a value lies between two keys: 0 at the first, 1 at the second."""
        return Fraction(value - keys[0]) / (keys[1] - keys[0])

    def between(self, low: Any, high: Any, keys: tuple[Fraction, Fraction], value: Any) -> Any:
        """Interpolate between two figures, exactly."""
        return low + (high - low) * (value - keys[0]) / (keys[1] - keys[0])

    def _by_choice(self, node: forms.ByChoice) -> Any:
        """Read the choice once; the listed case that is it gives the value."""
        chosen = self.fact(node.chosen)
        if chosen is None:
            return None
        case = next((value for choice, value in node.cases if choice == chosen), None)
        return BEYOND if case is None else self.value(case)

    # -- outcomes ---------------------------------------------------------------------------------

    def settled(self, status: Status, beyond: str = "") -> Outcome:
        """Return an outcome that is a status and no more; of what is missing, all noted so far."""
        missing = self._lacking(status)
        return Outcome(status, missing=(beyond,) if beyond else missing, beyond=beyond)

    def _lacking(self, status: Status) -> tuple[Missing, ...]:
        return tuple(dict.fromkeys(self.missing)) if status is INFORMATION_MISSING else ()

    def held(self, met: bool | None) -> Outcome:
        """Return what a condition comes to that is met, not met, or unknown."""
        if met is None:
            return self.settled(INFORMATION_MISSING)
        return Outcome(COMPLIES if met else DOES_NOT_COMPLY)

    def without_figure(self, figure: Special | None) -> Outcome:
        """Return what a branch comes to whose figure is unknown or special: fail closed."""
        status = INFORMATION_MISSING
        if figure is BEYOND:
            status = ENGINEERING_REQUIRED
        elif figure is FORBIDDEN:
            status = DOES_NOT_COMPLY
        return replace(self.settled(status), no_figure=figure)

    def gives(self, ask: forms.Gives) -> Outcome:
        """Return the value given."""
        value = self.value(ask.value)
        if value is None or isinstance(value, Special):
            return self.without_figure(value)
        return Outcome(COMPLIES, value)

    def limits(self, ask: forms.Limits | forms.Member) -> Outcome:
        """Hold the subject to its bounds; bounds that are known are told though the subject is not."""
        value = self.subject(ask.subject)
        if isinstance(ask, forms.Member):
            if value is None:
                return self.settled(INFORMATION_MISSING)
            return Outcome(COMPLIES if value in ask.options else DOES_NOT_COMPLY, value)
        found = self.bounds(ask)
        if isinstance(found, NoBounds):
            return self.without_figure(found.why)
        least, most = found
        if value is None:
            return replace(self.settled(INFORMATION_MISSING), least=least, most=most)
        met = (least is None or value >= least) and (most is None or value <= most)
        return Outcome(COMPLIES if met else DOES_NOT_COMPLY, value, least, most)

    # -- branches ---------------------------------------------------------------------------------

    def parts_from(self, governing: Outcome, other: Outcome, *, gives: bool) -> bool:
        """Tell whether an exception that may hold would change what the clause comes to.

        Another status always does. So does another value given, for other clauses read it.
        """
        if governing.status is INFORMATION_MISSING or other.status is not governing.status:
            return True
        return gives and other.value != governing.value

    def undecided(self, outcome: Outcome, missing: tuple[Missing, ...]) -> Outcome:
        """Return what is missing where an exception that may hold would change the outcome."""
        lacking = outcome.missing if outcome.status is INFORMATION_MISSING else ()
        every = tuple(dict.fromkeys((*missing, *lacking)))
        return Outcome(INFORMATION_MISSING, outcome.value, missing=every)

    def strictest(
        self, read: list[BranchRead[Outcome]], *, gives: bool
    ) -> tuple[BranchRead[Outcome], Outcome, tuple[Branch, ...]]:
        """Return the strictest of several readings, the first of those that are equal.

        Of two values given neither is stricter: what reads them may ask the most of either. So
        readings that give different values leave it open which is meant.
        """
        governs = max(read, key=lambda r: r.outcome.status)  # the first of the greatest
        outcome = governs.outcome
        equal = [r for r in read if r.outcome.status is outcome.status]
        if (
            not gives
            or outcome.status is not COMPLIES
            or all(r.outcome.value == outcome.value for r in equal)
        ):
            return governs, outcome, ()
        others = tuple(r.branch for r in equal if r.outcome.value != outcome.value)
        return governs, Outcome(INFORMATION_MISSING), others

    def conflict(self, rule: Rule, one: int, two: int) -> Outcome:
        """Raise ExceptionsConflict."""
        raise ExceptionsConflict(rule, one, two)


def read_clause(rule: Rule, facts: Facts, distances: Distances | None = None) -> Trace[Outcome]:
    """Read one clause on exact facts. Raises ExceptionsConflict where two exceptions fire.

    >>> from deckclause.rulesets.clauses import Clause, Fixed, Limit, Origin
    >>> from deckclause.rulesets.vocabulary import QuantityDefinition
    >>> from deckclause.reading.lower import lower
    >>> spacing = QuantityDefinition("joists.spacing", "length", "", "")
    >>> own = Limit("joists.spacing", most=Fixed(Fraction(16)))
    >>> clause = Clause("k", "t", "1", "", own, "memory", (), Origin("r", "f", 1))
    >>> trace = read_clause(lower(clause, {spacing.name: spacing}), {"joists.spacing": Fraction(24)})
    >>> trace.outcome.status.words, str(trace.outcome.most), trace.facts
    ('does not comply', '16', {'joists.spacing': Fraction(24, 1)})
    """
    return ExactReader(facts, distances).clause(rule)
