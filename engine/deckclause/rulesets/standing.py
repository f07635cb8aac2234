"""How many figures of a rule set are confirmed, derived, common practice or from memory."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from deckclause.rulesets.clauses import NOT_SEEN, Clause, Table, Unmodelled
from deckclause.rulesets.ruleset import RuleSet
from deckclause.rulesets.walk import clause_tables, requirements


def count_standings(ruleset: RuleSet, topic: str | None = None) -> Counter[str]:
    """Count clauses, exceptions, readings and table cells by standing, of one topic or of all.

    A table's cells are counted once, whichever clauses read it; cells not seen are not counted.
    """
    counts: Counter[str] = Counter()
    tables: dict[str, Table] = {}
    for clause in ruleset.clauses:
        if topic is not None and clause.topic != topic:
            continue
        counts[clause.standing] += 1
        counts.update(e.standing for e in clause.exceptions)
        counts.update(r.standing for r in clause.readings)
        tables.update({t.name: t for t in clause_tables(clause)})
    for table in tables.values():
        counts.update(_cell_standings(table))
    return counts


def unread(clause: Clause) -> bool:
    """Tell whether some of what a clause asks has not been read in the rule set it stands in.

    That is: it, an exception, another reading or a figure of its tables is from memory, or it is
    carried and not confirmed.
    """
    of_parts = [e.standing for e in clause.exceptions] + [r.standing for r in clause.readings]
    remembered = "memory" in (clause.standing, *of_parts)
    return (
        clause.only_carried
        or remembered
        or any("memory" in _cell_standings(table) for table in clause_tables(clause))
    )


def untold(clause: Clause) -> bool:
    """Tell whether some of a clause is not held: not modelled, or a figure nobody has seen."""
    asked = requirements(clause)
    return any(isinstance(r, Unmodelled) for r in asked) or any(
        NOT_SEEN in table.cells for table in clause_tables(clause)
    )


def _cell_standings(table: Table) -> list[str]:
    notes = dict(table.notes)
    standings = []
    for place, cell in enumerate(table.cells):
        if cell == NOT_SEEN:
            continue
        note = notes.get(place)
        standings.append(note.standing if note and note.standing else table.standing)
    return standings


@dataclass(frozen=True, slots=True)
class Unread:
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
