"""How many figures of a rule set are confirmed, derived, common practice or from memory."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping

from msgspec import Struct

from deckclause.rulesets.clauses import (
    NOT_SEEN,
    Clause,
    ClauseException,
    Reading,
    Table,
    Unmodelled,
)
from deckclause.rulesets.ruleset import RuleSet
from deckclause.rulesets.vocabulary import Source
from deckclause.rulesets.walk import clause_tables, requirements

OWN_TEXT, MIRROR, ACCOUNT = "own text", "mirror", "account"
NEARNESS = {"direct": OWN_TEXT, "mirror": MIRROR, "draft": ACCOUNT, "secondary": ACCOUNT}
"""How near a source stands: the edition's own text; a reprint of it in another text or without the
edition's name; a proposal, a draft, an article or a discussion that tells of it."""


class Figure(Struct, frozen=True):
    """One thing that has a standing of its own: a clause, an exception, a reading or a cell."""

    standing: str
    sources: tuple[str, ...]
    carried: bool
    """Whether it is repeated from an earlier rule set and nobody has read that it is the same."""


def figures(ruleset: RuleSet, topic: str | None = None) -> Iterator[Figure]:
    """Yield every figure of a rule set, or of one topic; a table's cells once, whoever reads them.

    What is not held is no figure: a clause that is not modelled, a cell not seen.
    """
    tables: dict[str, Table] = {}
    for clause in _of_topic(ruleset, topic):
        carried = clause.only_carried
        for part in _parts(clause):
            if not isinstance(part.requirement, Unmodelled):
                yield Figure(part.standing, part.sources, carried)
        tables.update({t.name: t for t in clause_tables(clause)})
    for table in tables.values():
        yield from _cells(table)


def count_standings(ruleset: RuleSet, topic: str | None = None) -> Counter[str]:
    """Count the figures of a rule set, or of one topic, by standing."""
    return Counter(figure.standing for figure in figures(ruleset, topic))


def count_not_held(ruleset: RuleSet, topic: str | None = None) -> tuple[int, int]:
    """Count what is known to be there and is not held: cells not seen, clauses not modelled."""
    clauses = _of_topic(ruleset, topic)
    tables = {t.name: t for clause in clauses for t in clause_tables(clause)}
    unseen = sum(table.cells.count(NOT_SEEN) for table in tables.values())
    parts = [part for clause in clauses for part in _parts(clause)]
    return unseen, sum(isinstance(part.requirement, Unmodelled) for part in parts)


def nearest(figure: Figure, sources: Mapping[str, Source]) -> str:
    """Tell how near the nearest of a figure's sources stands; one not listed is an account."""
    found = {NEARNESS[sources[name].reach] for name in figure.sources if name in sources}
    return min(found, key=list(NEARNESS.values()).index, default=ACCOUNT)


def _parts(clause: Clause) -> Iterator[Clause | ClauseException | Reading]:
    yield clause
    yield from clause.exceptions
    yield from clause.readings


def _of_topic(ruleset: RuleSet, topic: str | None) -> list[Clause]:
    return [c for c in ruleset.clauses if topic is None or c.topic == topic]


def unread(clause: Clause) -> bool:
    """Tell whether some of what a clause asks has not been read in the rule set it stands in.

    That is: some of it is from memory, or it is carried and not confirmed.
    """
    return clause.only_carried or from_memory(clause)


def from_memory(clause: Clause) -> bool:
    """Tell whether a clause, an exception, another reading or a figure of its tables is from memory."""
    remembered = any(part.standing == "memory" for part in _parts(clause))
    return remembered or any(map(_remembered, clause_tables(clause)))


def untold(clause: Clause) -> bool:
    """Tell whether some of a clause is not held: not modelled, or a figure nobody has seen."""
    asked = requirements(clause)
    return any(isinstance(r, Unmodelled) for r in asked) or any(
        NOT_SEEN in table.cells for table in clause_tables(clause)
    )


def _remembered(table: Table) -> bool:
    """Tell whether a cell that is held stands on memory, by itself or as its table does.

    Asked of every table in every comparison, so no record is made of each cell.
    """
    own = {place: note.standing for place, note in table.notes if note.standing}
    if table.standing != "memory" and "memory" not in own.values():
        return False
    return any(
        cell != NOT_SEEN and own.get(place, table.standing) == "memory"
        for place, cell in enumerate(table.cells)
    )


def _cells(table: Table) -> Iterator[Figure]:
    notes = dict(table.notes)
    for place, cell in enumerate(table.cells):
        if cell == NOT_SEEN:
            continue
        note = notes.get(place)
        standing = note.standing if note and note.standing else table.standing
        sources = note.sources if note and note.sources else table.sources
        carried = table.carried is not None and standing != "confirmed"
        yield Figure(standing, sources, carried)


class Unread(Struct, frozen=True):
    """How much of a rule set is carried from others without anybody having read it."""

    ruleset: RuleSet
    carried_from: tuple[str, ...]
    unread: int
    clauses: int

    @property
    def mostly(self) -> bool:
        """Whether that is more than half of it."""
        return 2 * self.unread > self.clauses

    @property
    def wholly(self) -> bool:
        """Whether that is nine tenths of it or more: what is left is no reading of the book."""
        return 10 * self.unread >= 9 * self.clauses


def unread_part(ruleset: RuleSet) -> Unread:
    """Count the clauses of a rule set that are carried and that nobody has read in it."""
    found = [c for c in ruleset.clauses if c.only_carried]
    names = {c.origin.carried.ruleset for c in found if c.origin.carried is not None}
    return Unread(ruleset, tuple(sorted(names)), len(found), len(ruleset.clauses))
