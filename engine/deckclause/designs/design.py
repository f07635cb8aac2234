"""A design: the facts of one deck, stated or left open."""

from __future__ import annotations

from msgspec import Struct

from deckclause.rulesets.clauses import Scalar

Facts = dict[str, Scalar]
"""Facts by quantity name, in inch-pound-degree units. Not changed once in a design."""


class Part(Struct, frozen=True):
    """One of several like parts of a deck: a joist field, a beam, a stair."""

    name: str
    facts: Facts


class Design(Struct, frozen=True):
    """One deck as its builder describes it; what is not stated is unknown, never assumed.

    `parts` holds, for each group that may stand several times, the parts stated; a group absent
    from `parts` is unknown, a group with no parts is stated to have none.
    """

    name: str
    says: str
    facts: Facts
    parts: dict[str, tuple[Part, ...]]
    file: str
    digest: str
    read_as: tuple[tuple[str, str, str], ...] = ()
    """(quantity, as written, as understood) where the file uses a word of the trade for ours."""
    invented: bool = False
    """Whether the file says that the deck is made up: only then may made-up places stand beside it."""

    def values(self, group: str) -> tuple[Part, ...]:
        """Return the parts of a group; one unnamed part with no facts where it is unknown."""
        return self.parts.get(group, (Part("", {}),))
