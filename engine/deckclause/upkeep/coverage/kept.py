"""Boundary designs kept by the content they follow from, so that only what is stale is built.

The designs of a clause follow from what the clause asks, from the clauses that provide to it, from
what a place sets of what they read, from the quantities concerned and from the engine's own code.
A key is made of all of these and of nothing else: where a clause stands and how well it is known
change no outcome. Editions that ask the same share their designs; a changed figure makes new ones
for the clauses that rest on it alone.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from pathlib import Path

from msgspec.structs import replace

from deckclause.evaluate.cache import Cache
from deckclause.evaluate.catalogue import PACKAGES_COMPILED_FROM
from deckclause.evaluate.regions.rule_set import topic_reads
from deckclause.rulesets.clauses import Clause
from deckclause.rulesets.files import digest
from deckclause.rulesets.substance import substance
from deckclause.rulesets.vocabulary import QuantityDefinition
from deckclause.rulesets.walk import clause_tables
from deckclause.upkeep.coverage.cases import Built
from deckclause.upkeep.coverage.outcome import Quantities, with_providers
from deckclause.upkeep.lint.context import ReadSet

PACKAGE = Path(__file__).resolve().parents[2]
CODE = (*PACKAGES_COMPILED_FROM, "upkeep")
"""The packages the designs are built by."""


class KeptBuilds:
    """What was built of clauses, by the digest of its inputs: of this run, and of earlier ones."""

    def __init__(self, cache: Cache) -> None:
        self._cache = cache
        self._of_this_run: dict[str, Built] = {}

    def load(self, key: str) -> Built | None:
        """Return what was built of the same inputs; None where nothing was."""
        if key not in self._of_this_run:
            kept: Built | None = self._cache.load(f"boundary-{key}")
            if kept is None:
                return None
            self._of_this_run[key] = kept
        return self._of_this_run[key]

    def store(self, key: str, built: Built) -> None:
        """Keep what was built."""
        self._of_this_run[key] = built
        self._cache.store(f"boundary-{key}", built)


def inputs_digest(read: ReadSet, clause: Clause, quantities: Quantities) -> str:
    """Return a short text that is the same where all that a clause's designs follow from is."""
    ruleset = read.ruleset
    siblings = [c.key for c in ruleset.topic_clauses(clause.topic)]
    names = topic_reads(ruleset, read.plan, clause.topic)
    of_clause = [(c.key, substance(c)) for c in with_providers(ruleset, clause.key, *siblings)]
    settings = [(s.quantity, s.value) for s in ruleset.settings if s.quantity in names]
    concerned = [_plain(q) for q in _concerned(names, of_clause, quantities)]
    tables = [t.name for t in clause_tables(clause)]  # named where a slip in one is told by nothing
    parts = (clause.key, tables, names, of_clause, settings, concerned)
    return digest(code_digest(), repr(parts))[:32]


def _concerned(
    names: tuple[str, ...], of_clause: object, quantities: Quantities
) -> Iterator[QuantityDefinition]:
    """Yield the quantities read or named, those of their parts of the deck, and all that derive."""
    named = repr(of_clause)
    groups = {name.partition(".")[0] for name in names}
    for name, definition in quantities.items():
        if definition.derived or name.partition(".")[0] in groups or repr(name) in named:
            yield definition


def _plain(definition: QuantityDefinition) -> QuantityDefinition:
    return replace(definition, says="", ask="", called="", said=())


@cache
def code_digest() -> str:
    """Tell one state of the code that builds the designs from another, by its content."""
    paths = sorted(p for name in CODE for p in (PACKAGE / name).rglob("*.py"))
    return digest(*(part for p in paths for part in (str(p.relative_to(PACKAGE)), p.read_bytes())))
