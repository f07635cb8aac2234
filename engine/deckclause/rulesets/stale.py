"""Which changes of an amendment were written for words that have since moved, and re-affirming."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from deckclause.rulesets.fingerprint import fingerprint, table_fingerprint
from deckclause.rulesets.layering import layer_amendment, read_amendment_tree
from deckclause.rulesets.library import RuleLibrary
from deckclause.rulesets.round_trip import dump_round_trip, load_round_trip
from deckclause.rulesets.ruleset import LoadedRuleSet


@dataclass(frozen=True, slots=True)
class StaleChange:
    """A change whose recorded fingerprint is missing or not that of the clause as it stands."""

    index: int
    kind: str
    target: str
    recorded: str
    now: str
    line: int
    stands: str
    """What the clause or table says now, in a line."""


def stale_changes(library: RuleLibrary, name: str) -> tuple[StaleChange, ...]:
    """Return the stale changes of an amendment, against every rule set it is layered on.

    Raises InputError where the amendment or its edition cannot be read.
    """
    tree = read_amendment_tree(library.files, name)
    found: dict[int, StaleChange] = {}
    for base in bases_of(library, name, tree.data["edition"]):
        for index, change in enumerate(tree.data["changes"]):
            stale = _stale(base, index, change, tree.line(("changes", index)))
            if stale is not None:
                found.setdefault(index, stale)
    return tuple(found[i] for i in sorted(found))


def bases_of(library: RuleLibrary, name: str, edition: str) -> list[LoadedRuleSet]:
    """Return what an amendment stands on: its edition, with any amendment layered before it."""
    chains: dict[tuple[str, ...], None] = {}
    for place in library.register.places.values():
        for adoption in place.adoptions:
            meaning = library.register.resolve(f"{place.name}@{adoption.begins}")
            if name in meaning.amendments and meaning.edition == edition:
                chains[meaning.amendments[: meaning.amendments.index(name)]] = None
    bases = []
    for chain in chains or {(): None}:
        loaded = library.load(edition)
        for amendment in chain:
            loaded = layer_amendment(
                library.files, library.vocabulary, loaded, amendment, f"{edition} with {amendment}"
            )
        bases.append(loaded)
    return bases


def _stale(
    base: LoadedRuleSet, index: int, change: dict[str, Any], line: int
) -> StaleChange | None:
    recorded = change.get("fingerprint") or ""
    if change.get("cells") is not None:
        table = base.raw_tables.get(change["cells"])
        if table is None:
            return None
        now, target, stands = table_fingerprint(table), change["cells"], str(table.get("title", ""))
        kind = "cells"
    else:
        kind = "replace" if change.get("replace") is not None else "strike"
        target = change.get(kind) or ""
        raw = base.raw_clauses.get(target)
        if raw is None:
            return None
        now = fingerprint(raw, base.raw_tables)
        stands = f"{raw['cites']}: {raw['says']}"
    if recorded == now:
        return None
    return StaleChange(index, kind, target, recorded, now, line, stands)


def affirmed_text(library: RuleLibrary, name: str) -> tuple[str, tuple[StaleChange, ...]]:
    """Return the amendment's text with every stale fingerprint made current, and what moved.

    Comments, order and layout are kept. Raises InputError where it cannot be read.
    """
    stale = stale_changes(library, name)
    path = library.files.amendment_path(name)
    content = path.read_text(encoding="utf-8")
    if not stale:
        return content, ()
    data = load_round_trip(content)
    for change in stale:
        entry = data["changes"][change.index]
        if "fingerprint" in entry:
            entry["fingerprint"] = change.now
        else:
            entry.insert(list(entry).index(change.kind) + 1, "fingerprint", change.now)
    return dump_round_trip(data), stale
