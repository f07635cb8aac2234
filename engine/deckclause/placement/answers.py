"""What the solver answers: links of a proof, conflicts, extremes."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Literal

from msgspec import Struct, field

from deckclause.placement.constraints import Distance

Bound = Literal["least", "most"]
Sense = Literal["greatest", "least"]


class Link(Struct, frozen=True):
    """One use of one bound of a distance.

    A `most` link goes from the distance's start to its end and allows `+most`; a `least` link
    goes back from its end to its start and allows `-least`. A chain of links from datum a to
    datum b therefore proves `position(b) - position(a) <=` the sum of their lengths.
    """

    distance: Distance
    bound: Bound

    @property
    def tail(self) -> str:
        """The datum the link leaves."""
        return self.distance.start if self.bound == "most" else self.distance.end

    @property
    def head(self) -> str:
        """The datum the link reaches."""
        return self.distance.end if self.bound == "most" else self.distance.start

    @property
    def length(self) -> Fraction:
        """The signed length in inches; raises ValueError where the distance has no such bound."""
        value = self.distance.most if self.bound == "most" else self.distance.least
        if value is None:
            raise ValueError(f"'{self.distance.label}' has no {self.bound} bound to lean on")
        return value if self.bound == "most" else -value


class Conflict(Struct, frozen=True):
    """A closed chain of links that asks for more than there is, by `shortfall` inches (> 0)."""

    links: tuple[Link, ...]
    shortfall: Fraction

    @property
    def clauses(self) -> tuple[Distance, ...]:
        """The rules in the conflict, each once, in chain order; the boards are left out."""
        return tuple(dict.fromkeys(k.distance for k in self.links if k.distance.kind == "clause"))


class Conflicts(Struct, frozen=True):
    """Minimal conflicts found; `complete` says whether these are all there are."""

    conflicts: tuple[Conflict, ...]
    complete: bool


class Ask(Struct, frozen=True):
    """The question how great, or how small, `position(end) - position(start)` can be."""

    start: str
    end: str
    sense: Sense = "greatest"


class Extreme(Struct, frozen=True):
    """The answer to an Ask in a system that can be satisfied.

    `value` (inches) is None where nothing bounds it. `chain` proves no position goes beyond
    `value`; `positions` (datum to inches) keep every limit and reach it. Where nothing bounds
    it, `sliding` holds the datums that can all move together away from the rest.
    """

    ask: Ask
    value: Fraction | None
    chain: tuple[Link, ...] = ()
    positions: Mapping[str, Fraction] = field(default_factory=dict)
    sliding: frozenset[str] = frozenset()


class Solution(Struct, frozen=True):
    """Whether every limit can be kept at once, with the proof either way.

    `positions` (datum to inches) is one arrangement that keeps them all, None where there is
    none; then `conflict` is a minimal conflict. `extremes` answers each ask in order.
    """

    positions: Mapping[str, Fraction] | None
    conflict: Conflict | None
    extremes: tuple[Extreme, ...]

    @property
    def is_feasible(self) -> bool:
        """Whether some arrangement keeps every limit."""
        return self.positions is not None
