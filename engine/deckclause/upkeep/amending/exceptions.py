"""Exceptions of a clause whose limit is amended: which still permit less, which guard something else."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from msgspec import Struct

from deckclause.evaluate.words import ClauseWords
from deckclause.rulesets.clauses import (
    Clause,
    ClauseException,
    Fixed,
    Informs,
    Limit,
    Requirement,
    Value,
    Waived,
)
from deckclause.rulesets.vocabulary import Vocabulary


class ExceptionNote(Struct, frozen=True):
    """One exception in words, and what it means beside the clause's limit."""

    number: int
    """Its place in the clause, from 1."""
    words: str
    permits_less: bool
    guards: bool
    """Whether it asks something else in the limit's place, such as engineering."""

    @property
    def says(self) -> str:
        """The exception and its weight in one line."""
        weight = "; it permits less than the clause's limit" if self.permits_less else ""
        return f"{self.number}. {self.words}{weight}"


def exception_notes(
    clause: Clause, limit: Requirement, vocabulary: Vocabulary
) -> tuple[ExceptionNote, ...]:
    """Return a note on each exception of `clause`, weighed against `limit`."""
    words = ClauseWords(vocabulary)
    return tuple(
        ExceptionNote(i, exception_words(e, words), permits_less(e.requirement, limit), guards(e))
        for i, e in enumerate(clause.exceptions, 1)
    )


def exception_words(exception: ClauseException, words: ClauseWords) -> str:
    """Write an exception: when it holds, what it asks, where it stands."""
    asks = words.requirement(exception.requirement)
    place = f" ({exception.cites})" if exception.cites else ""
    return f"where {words.condition(exception.when)}: {asks}{place}"


def permits_less(exception: Requirement, limit: Requirement) -> bool:
    """Tell whether an exception lets pass what the limit does not, as far as fixed figures say."""
    if isinstance(exception, Waived):
        return True
    if not isinstance(exception, Limit) or not isinstance(limit, Limit):
        return False
    if exception.subject != limit.subject:
        return False
    least, most = (_bound(limit, side) for side in ("least", "most"))
    lower, upper = (_bound(exception, side) for side in ("least", "most"))
    if least is not None and (lower is None or lower < least) and not _unknown(exception.least):
        return True
    return most is not None and (upper is None or upper > most) and not _unknown(exception.most)


def guards(exception: ClauseException) -> bool:
    """Tell whether an exception asks something of its own, not merely less of the same."""
    return not isinstance(exception.requirement, Limit | Waived | Informs)


def _bound(limit: Limit, side: str) -> Fraction | None:
    value = limit.exactly if limit.exactly is not None else getattr(limit, side)
    return value.value if isinstance(value, Fixed) and isinstance(value.value, Fraction) else None


def _unknown(value: Value | None) -> bool:
    """Tell whether a bound is a figure that depends on the design."""
    return value is not None and not isinstance(value, Fixed)


def left_standing(before: Clause, after: Clause) -> Iterator[ClauseException]:
    """Yield the exceptions of an amended clause that were there before and permit less than it."""
    old = {(e.when, e.requirement) for e in before.exceptions}
    for exception in after.exceptions:
        if (exception.when, exception.requirement) in old and permits_less(
            exception.requirement, after.requirement
        ):
            yield exception


def guards_lost(before: Clause, after: Clause | None) -> Iterator[ClauseException]:
    """Yield the exceptions an amendment took away that asked something else, such as engineering."""
    kept = {e.when for e in after.exceptions} if after is not None else set()
    for exception in before.exceptions:
        if guards(exception) and exception.when not in kept:
            yield exception
