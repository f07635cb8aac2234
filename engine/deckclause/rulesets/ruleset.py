"""A rule set as it applies: an edition or guide with its amendments layered on."""

from __future__ import annotations

from typing import Any

from msgspec import Struct

from deckclause.rulesets.clauses import Clause, Origin, Scalar, Table

DRAFT = "draft"
"""Stands in an amendment's `adopted` until it is adopted."""


class Layer(Struct, frozen=True):
    """One file set that went into a rule set: its name, title, digest and legal act."""

    name: str
    kind: str
    title: str
    digest: str
    ordinance: str = ""
    adopted: str = ""
    place: str = ""


class Setting(Struct, frozen=True):
    """A value a jurisdiction fixes for a quantity."""

    quantity: str
    value: Scalar
    origin: Origin
    cites: str
    says: str
    standing: str


class Struck(Struct, frozen=True):
    """A clause a jurisdiction struck, and where it did so."""

    key: str
    topic: str
    origin: Origin
    says: str
    standing: str = "confirmed"
    sources: tuple[str, ...] = ()


class RuleSet(Struct, frozen=True):
    """What one edition, guide or place asks: clauses, settings, struck clauses, layers."""

    name: str
    title: str
    kind: str
    edition: str
    published: int
    layers: tuple[Layer, ...]
    clauses: tuple[Clause, ...]
    settings: tuple[Setting, ...]
    struck: tuple[Struck, ...]
    tables: tuple[Table, ...]
    says: str
    digest: str
    practice: tuple[tuple[str, str], ...] = ()
    left_out: tuple[str, ...] = ()
    """What larger places have in force that this place does not take on, a sentence each."""
    warns: str = ""
    """How far it has been read in print, where that is not far."""
    errata: tuple[str, ...] = ()
    """Where somebody read the book otherwise than the rules have it, a sentence each."""

    def clause(self, key: str) -> Clause | None:
        """Return the clause of a key, or None."""
        for clause in self.clauses:
            if clause.key == key:
                return clause
        return None

    def topic_clauses(self, topic: str) -> tuple[Clause, ...]:
        """Return the clauses on one topic, in their file's order."""
        return tuple(clause for clause in self.clauses if clause.topic == topic)


class LoadedRuleSet(Struct, frozen=True):
    """A rule set with the plain data its clauses were read from, so that layers can change it."""

    ruleset: RuleSet
    raw_clauses: dict[str, dict[str, Any]]
    raw_tables: dict[str, dict[str, Any]]
