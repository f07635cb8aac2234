"""What was written for words that have since moved, and affirming it.

That is: changes of an amendment, and carried lines of an edition or guide.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from msgspec import Struct

from deckclause.rulesets.affirm_text import with_fingerprints
from deckclause.rulesets.carried import stands
from deckclause.rulesets.fingerprint import fingerprint, table_fingerprint
from deckclause.rulesets.layering import read_amendment_tree
from deckclause.rulesets.library import RuleLibrary
from deckclause.rulesets.read_ruleset import load_bases, read_trees
from deckclause.rulesets.ruleset import LoadedRuleSet
from deckclause.rulesets.written import lines
from deckclause.rulesets.yaml_tree import Tree, parse_tree


class StaleLine(Struct, frozen=True):
    """A change or carried line whose recorded fingerprint is not that of what stands now."""

    file: str
    path: tuple[str | int, ...]
    kind: str
    """`replace`, `drop`, `strike` or `cells` of an amendment; `carried` of an edition or guide."""
    target: str
    recorded: str
    now: str
    line: int
    stands: str
    """What the clause or table says now, in a line."""


def stale_lines(library: RuleLibrary, name: str) -> tuple[StaleLine, ...]:
    """Return what is stale of an amendment, an edition or a guide. Raises InputError."""
    if name in library.files.rulesets:
        return stale_carried(library, name)
    return stale_changes(library, name)


def stale_carried(library: RuleLibrary, name: str) -> tuple[StaleLine, ...]:
    """Return the carried lines of an edition or guide that were written for words that moved.

    A line whose clause or table the rule set before does not have is none of them: there is
    nothing to affirm, and reading the rule set says so. Raises InputError where the files, or
    the rule sets carried from, cannot be read.
    """
    trees = read_trees(library.files, name)
    bases = load_bases(library.files, trees, library.load)
    return tuple(line for tree in trees for line in _stale_of_file(tree, bases))


def _stale_of_file(tree: Tree, bases: dict[str, LoadedRuleSet]) -> Iterator[StaleLine]:
    carried: list[tuple[tuple[str | int, ...], dict[str, Any], str, str, dict[str, Any]]] = []
    for name, entry in (tree.data.get("tables") or {}).items():
        base = bases.get(entry.get("carried") or "")
        if base and name in base.raw_tables:
            raw = base.raw_tables[name]
            carried.append((("tables", name), entry, name, table_fingerprint(raw), raw))
    for line in lines(tree.data):
        base = bases.get(line.carried)
        if base and line.data["key"] in base.raw_clauses:
            raw = base.raw_clauses[line.data["key"]]
            now = fingerprint(raw, base.raw_tables)
            carried.append((line.path, line.data, line.data["key"], now, raw))
    for path, entry, target, now, raw in carried:
        then = entry.get("fingerprint") or ""
        if then != now:
            place = tree.line((*path, "fingerprint"))
            yield StaleLine(tree.file, path, "carried", target, then, now, place, stands(raw))


def stale_changes(library: RuleLibrary, name: str) -> tuple[StaleLine, ...]:
    """Return the stale changes of an amendment, against every rule set it is layered on.

    Raises InputError where the amendment or its edition cannot be read.
    """
    tree = read_amendment_tree(library.files, name)
    found: dict[int, StaleLine] = {}
    for base in bases_of(library, name, tree.data["edition"], tree.data["place"]):
        for index, change in enumerate(tree.data["changes"]):
            stale = _stale(base, tree, index, change)
            if stale is not None:
                found.setdefault(index, stale)
    return tuple(found[i] for i in sorted(found))


def bases_of(library: RuleLibrary, name: str, edition: str, place: str) -> list[LoadedRuleSet]:
    """Return what an amendment stands on, or would: its edition, with any amendment before it."""
    would = library.register.beneath_draft(place, edition)
    chains = library.beneath.get((name, edition)) or {would: None}
    return [library.layered(edition, chain) for chain in chains]


def _stale(base: LoadedRuleSet, tree: Tree, index: int, change: dict[str, Any]) -> StaleLine | None:
    recorded = change.get("fingerprint") or ""
    if change.get("cells") is not None:
        table = base.raw_tables.get(change["cells"])
        if table is None:
            return None
        now, target, words = table_fingerprint(table), change["cells"], str(table.get("title", ""))
        kind = "cells"
    else:
        kind = next((k for k in ("replace", "drop") if change.get(k) is not None), "strike")
        target = change.get(kind) or ""
        raw = base.raw_clauses.get(target)
        if raw is None:
            return None
        now = fingerprint(raw, base.raw_tables)
        words = stands(raw)
    if recorded == now:
        return None
    path = ("changes", index)
    return StaleLine(tree.file, path, kind, target, recorded, now, tree.line(path), words)


class Affirmed(Struct, frozen=True):
    """A file with its stale fingerprints made current, and what they stood for."""

    path: Path
    text: str
    stale: tuple[StaleLine, ...]


def affirmed_files(library: RuleLibrary, name: str) -> tuple[Affirmed, ...]:
    """Return the files of an amendment, edition or guide that have stale lines, made current.

    Comments, order and layout are kept. Raises InputError where they cannot be read.
    """
    stale = stale_lines(library, name)
    files = library.files
    paths = files.rulesets.get(name) or (files.amendment_path(name),)
    found = []
    for path in paths:
        own = tuple(line for line in stale if line.file == files.name(path))
        if own:
            text = path.read_text(encoding="utf-8")
            tree = parse_tree(text.encode(), files.name(path))
            found.append(Affirmed(path, with_fingerprints(text, tree, own), own))
    return tuple(found)
