"""A boundary design: facts, and what one clause must make of them."""

from __future__ import annotations

from msgspec import Struct, field

from deckclause.reading.branch import Branch
from deckclause.rulesets.clauses import Scalar
from deckclause.upkeep.coverage.outcome import ClauseRunner, Result


class BoundaryCase(Struct, frozen=True):
    """One design in one place, and what one clause must make of it."""

    clause: str
    branch: Branch
    """0 the clause itself, n its n-th exception, -n its n-th other reading."""
    status: int
    facts: dict[str, Scalar]
    sets: dict[str, Scalar] = field(default_factory=dict)
    """What the place sets, in place of what the rule set provides."""
    gives: dict[str, Scalar] = field(default_factory=dict)
    """The quantity the clause gives to others, and its value."""

    @property
    def key(self) -> object:
        """What tells it from other cases."""
        facts = tuple(sorted(self.facts.items())), tuple(sorted(self.sets.items()))
        return self.clause, self.branch, self.status, facts, tuple(self.gives.items())

    def holds(self, runner: ClauseRunner) -> bool:
        """Tell whether a rule set makes of the clause what it must."""
        found = runner.result(self.clause, self.facts, self.sets)
        return found == Result(self.status, self.branch, self.gives)


Built = tuple[tuple[BoundaryCase, ...], tuple[tuple[str, bool], ...]]
"""The cases of a clause; why others could not be built, and whether that is a slip none tells."""
