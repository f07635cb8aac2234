"""Which words of a clause govern: its own, an exception's, another reading's, or the place's."""

from __future__ import annotations

from msgspec import Struct

from deckclause.rulesets.clauses import Clause, Requirement


class Branch(Struct, frozen=True):
    """Which words of a clause govern: its own, its n-th exception, its n-th other reading.

    `place` is a value that the place sets in the clause's stead.

    >>> print(exception(2))
    exception 2
    """

    kind: str
    number: int = 0

    @property
    def is_exception(self) -> bool:
        """Whether an exception governs."""
        return self.kind == "exception"

    @property
    def is_reading(self) -> bool:
        """Whether another reading than the clause's own words governs."""
        return self.kind == "reading"

    @property
    def is_set_by_place(self) -> bool:
        """Whether the place sets the value in the clause's stead."""
        return self.kind == "place"

    def requirement(self, clause: Clause) -> Requirement:
        """Return what the branch asks."""
        if self.is_exception:
            return clause.exceptions[self.number - 1].requirement
        return (
            clause.readings[self.number - 1].requirement if self.is_reading else clause.requirement
        )

    def cites(self, clause: Clause) -> str:
        """Return where the branch's words stand in the code."""
        return clause.exceptions[self.number - 1].cites if self.is_exception else clause.cites

    def says(self, clause: Clause) -> str:
        """Return the branch's words in our own words."""
        if self.is_exception:
            return clause.exceptions[self.number - 1].says or clause.says
        return clause.readings[self.number - 1].says if self.is_reading else clause.says

    def standing(self, clause: Clause) -> str:
        """Return the standing of the branch's words."""
        if self.is_exception:
            return clause.exceptions[self.number - 1].standing
        return clause.readings[self.number - 1].standing if self.is_reading else clause.standing

    def sources(self, clause: Clause) -> tuple[str, ...]:
        """Return the sources of the branch's words."""
        if self.is_exception:
            return clause.exceptions[self.number - 1].sources
        return clause.readings[self.number - 1].sources if self.is_reading else clause.sources

    def __str__(self) -> str:
        return f"{self.kind} {self.number}" if self.number else self.kind


OWN = Branch("own")
SET_BY_PLACE = Branch("place")


def exception(number: int) -> Branch:
    """Return the branch of an exception, counted from 1."""
    return Branch("exception", number)


def reading(number: int) -> Branch:
    """Return the branch of another reading, counted from 1."""
    return Branch("reading", number)
