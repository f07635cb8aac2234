"""The star that marks what is from memory: a clause, or a table whose cells it reads."""

from __future__ import annotations

from deckclause.rulesets.clauses import Clause
from deckclause.rulesets.standing import from_memory

STAR = " *"


def starred(text: str, clause: Clause) -> str:
    """Return text, marked where the clause, or a table it reads, is from memory."""
    return f"{text}{STAR}" if from_memory(clause) else text
