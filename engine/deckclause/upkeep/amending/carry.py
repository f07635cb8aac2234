"""Carry an amendment to another edition, across a renumbering; list what could not be carried."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from deckclause.compare.difference import substance
from deckclause.rulesets.fingerprint import fingerprint, table_fingerprint
from deckclause.rulesets.layering import read_amendment_tree
from deckclause.rulesets.library import RuleLibrary
from deckclause.rulesets.round_trip import dump_round_trip, load_round_trip
from deckclause.rulesets.ruleset import LoadedRuleSet

CARRIED, CHANGED_BASE, NOT_CARRIED = "carried", "carried, but read it again", "not carried"


@dataclass(frozen=True, slots=True)
class CarriedChange:
    """What became of one change."""

    index: int
    kind: str
    target: str
    outcome: str
    why: str


def rebased(
    library: RuleLibrary, name: str, edition: str, new_name: str, ordinance: str, adopted: str
) -> tuple[str, list[CarriedChange]]:
    """Return the text of an amendment carried to `edition`, and what became of each change.

    Comments are kept; a change that cannot be carried is left out and listed. Raises InputError
    where the amendment or either edition cannot be read.
    """
    tree = read_amendment_tree(library.files, name)
    old, new = library.load(tree.data["edition"]), library.load(edition)
    content = library.files.amendment_path(name).read_text(encoding="utf-8")
    data = load_round_trip(content)
    outcomes = [_carry(i, c, old, new) for i, c in enumerate(data["changes"])]
    for outcome in reversed(outcomes):
        if outcome.outcome == NOT_CARRIED:
            del data["changes"][outcome.index]
    years = [e.rpartition("-")[2] for e in (tree.data["edition"], edition)]
    data["title"] = str(data["title"]).replace(years[0], years[1])
    data["amendment"] = new_name
    data["edition"] = edition
    if ordinance:
        data["ordinance"] = ordinance
    if adopted:
        data["adopted"] = adopted
    text = dump_round_trip(data)
    notes = [
        f"# not carried from {name}: {o.kind} {o.target}: {o.why}\n"
        for o in outcomes
        if o.outcome == NOT_CARRIED
    ]
    return text + "".join(notes), outcomes


def _carry(index: int, change: Any, old: LoadedRuleSet, new: LoadedRuleSet) -> CarriedChange:
    kinds: dict[str, Callable[[Any, LoadedRuleSet, LoadedRuleSet], tuple[str, str, str]]] = {
        "replace": _carry_clause,
        "strike": _carry_clause,
        "add": _carry_addition,
        "set": _carry_setting,
        "cells": _carry_cells,
        "drop": _carry_clause,
        "range": _carry_sections,
        "not_adopted": _carry_sections,
        "renumber": _carry_sections,
    }
    kind = next(k for k in kinds if k in change)
    return CarriedChange(index, kind, *kinds[kind](change, old, new))


def _carry_clause(change: Any, old: LoadedRuleSet, new: LoadedRuleSet) -> tuple[str, str, str]:
    kind = next(k for k in ("replace", "strike", "drop") if k in change)
    key = str(change[kind])
    before, after = old.ruleset.clause(key), new.ruleset.clause(key)
    if after is None:
        others = new.ruleset.topic_clauses(before.topic) if before is not None else ()
        hint = f"; on the same topic: {', '.join(c.key for c in others)}" if others else ""
        return key, NOT_CARRIED, f"{new.ruleset.name} has no such clause{hint}"
    change["fingerprint"] = fingerprint(new.raw_clauses[key], new.raw_tables)
    moved = ""
    if before is not None and before.cites != after.cites:
        moved = f"{before.cites} is now {after.cites}"
    if before is not None and substance(before) == substance(after):
        return key, CARRIED, moved or "the clause asks what it asked"
    now = f"it now reads: {after.cites}, {after.says}"
    return key, CHANGED_BASE, f"the clause asks something else; {now}"


def _carry_addition(change: Any, old: LoadedRuleSet, new: LoadedRuleSet) -> tuple[str, str, str]:
    key = str(change["add"]["key"])
    there = new.ruleset.clause(key)
    if there is not None:
        return key, NOT_CARRIED, f"{new.ruleset.name} has such a clause itself ({there.cites})"
    return key, CARRIED, "an addition of the place's own"


def _carry_sections(change: Any, old: LoadedRuleSet, new: LoadedRuleSet) -> tuple[str, str, str]:
    """Never carried by itself: section numbers move from edition to edition."""
    named = change.get("not_adopted") or change.get("renumber") or change["range"].values()
    return (
        ", ".join(map(str, named)),
        NOT_CARRIED,
        f"sections are numbered otherwise in {new.ruleset.name}; name them anew",
    )


def _carry_setting(change: Any, old: LoadedRuleSet, new: LoadedRuleSet) -> tuple[str, str, str]:
    return ", ".join(map(str, change["set"])), CARRIED, "a value the place fixes"


def _carry_cells(change: Any, old: LoadedRuleSet, new: LoadedRuleSet) -> tuple[str, str, str]:
    name = str(change["cells"])
    before, after = old.raw_tables.get(name), new.raw_tables.get(name)
    if after is None:
        return name, NOT_CARRIED, f"{new.ruleset.name} has no such table"
    if before is None or before.get("by") != after.get("by"):
        return name, NOT_CARRIED, "the table is laid out otherwise; choose its cells anew"
    change["fingerprint"] = table_fingerprint(after)
    if table_fingerprint(before) == table_fingerprint(after):
        return name, CARRIED, "the table is as it was"
    return name, CHANGED_BASE, "the table has other figures; read its cells again"
