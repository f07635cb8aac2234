"""Carry an amendment to another edition, across a renumbering; list what could not be carried."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from msgspec import Struct

from deckclause.compare.difference import substance
from deckclause.evaluate.words import ClauseWords
from deckclause.rulesets.clauses import Clause
from deckclause.rulesets.fingerprint import fingerprint, table_fingerprint
from deckclause.rulesets.layering import read_amendment_tree
from deckclause.rulesets.library import RuleLibrary
from deckclause.rulesets.round_trip import dump_round_trip, load_round_trip
from deckclause.rulesets.ruleset import LoadedRuleSet
from deckclause.rulesets.sections import named_by, reached, renumbered
from deckclause.rulesets.stale import bases_of

SECTION = re.compile(r"\bR\d+(?:\.\d+)*")
"""The number of a section, table or figure as a clause cites it."""
CARRIED, CHANGED_BASE, NOT_CARRIED = "carried", "carried, but read it again", "not carried"


class CarriedChange(Struct, frozen=True):
    """What became of one change."""

    index: int
    kind: str
    target: str
    outcome: str
    why: str


def rebased(
    library: RuleLibrary,
    name: str,
    edition: str,
    new_name: str,
    ordinance: str,
    adopted: str,
    source: str = "",
) -> tuple[str, list[CarriedChange]]:
    """Return the text of an amendment carried to `edition`, and what became of each change.

    Comments are kept, those that say what a clause said as the new edition says it; a change that
    cannot be carried is left out and listed. With `source`, the figures name it in place of what
    they named. Raises InputError
    where the amendment or either edition cannot be read.
    """
    tree = read_amendment_tree(library.files, name)
    old = bases_of(library, name, tree.data["edition"], tree.data["place"])[0]
    library.load(edition)  # an edition there is none of is told as such
    new = library.beneath_draft(tree.data["place"], edition)
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
    if source:
        _name_source(data, source)
    text = dump_round_trip(data)
    for outcome in outcomes:
        before, after = (held.ruleset.clause(outcome.target) for held in (old, new))
        if outcome.kind in ("replace", "strike", "drop") and before and after:
            text = _said_anew(text, before, after, ClauseWords(library.vocabulary))
    notes = [
        f"# not carried from {name}: {o.kind} {o.target}: {o.why}\n"
        for o in outcomes
        if o.outcome == NOT_CARRIED
    ]
    return text + "".join(notes), outcomes


def _name_source(data: Any, source: str) -> None:
    """Let an amendment, and every change of it that names sources of its own, name this one."""
    data["sources"] = [source]
    for change in data["changes"]:
        for entry in (change, change.get("to"), change.get("add")):
            if isinstance(entry, dict) and "sources" in entry:
                entry["sources"] = [source]


def _said_anew(text: str, before: Clause, after: Clause, words: ClauseWords) -> str:
    """Return the text whose comments say what a clause says now, where they said it as it was."""
    for one, two in (
        (f"# {before.cites} said: {before.says}", f"# {after.cites} said: {after.says}"),
        (_asked(before, words), _asked(after, words)),
    ):
        text = text.replace(f"{one}\n", f"{two}\n")
    return text


def _asked(clause: Clause, words: ClauseWords) -> str:
    return f"# ({words.requirement(clause.requirement)}; {clause.standing})"


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
        "renumber": _carry_renumbering,
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


def _carry_renumbering(change: Any, old: LoadedRuleSet, new: LoadedRuleSet) -> tuple[str, str, str]:
    """Never carried by itself: section numbers move from edition to edition."""
    return (
        ", ".join(map(str, change["renumber"])),
        NOT_CARRIED,
        f"sections are numbered otherwise in {new.ruleset.name}; name them anew",
    )


def _carry_sections(change: Any, old: LoadedRuleSet, new: LoadedRuleSet) -> tuple[str, str, str]:
    """Carry sections changed at once where they reach the same clauses, by number or where these moved.

    Of a range, the ends follow the clauses that stand at them; of what is not adopted, each part
    named follows what stands in it. Whatever would reach one clause more or less is not carried.
    """
    words = named_by(change)
    before = _reached(change, old)
    if not before:
        return words, NOT_CARRIED, f"{old.ruleset.name} has no clause there; name them anew"
    if _reached(change, new).keys() != before.keys():
        moved = _moved(change, before, new)
        if moved is None or _reached(moved, new).keys() != before.keys():
            gone = [k for k in before if new.ruleset.clause(k) is None]
            why = f"{new.ruleset.name} has no {', '.join(gone)}" if gone else (
                f"in {new.ruleset.name} what it reaches stands in other sections, with other clauses"
            )  # fmt: skip
            return words, NOT_CARRIED, f"{why}; name them anew"
        if "range" in change:
            change["range"].update(moved["range"])
        else:
            change["not_adopted"][:] = moved["not_adopted"]
        return words, CHANGED_BASE, f"it is now {named_by(change)}, which reaches the same clauses"
    after = _reached(change, new)
    other = [k for k in before if substance(before[k]) != substance(after[k])]
    if other:
        return (
            words,
            CHANGED_BASE,
            f"reached are the same clauses; {', '.join(other)} ask something else",
        )
    return words, CARRIED, "it reaches the same clauses, which ask what they asked"


def _reached(change: Any, held: LoadedRuleSet) -> dict[str, Clause]:
    """Return the clauses a change of sections at once reaches, by key."""
    return {c.key: c for c in held.ruleset.clauses if any(reached(change, c.cites))}


def _moved(change: Any, before: dict[str, Clause], new: LoadedRuleSet) -> dict[str, Any] | None:
    """Return the change with its sections as the new edition numbers them; None where it cannot be told."""
    heads: dict[str, str] = {}
    for key, clause in before.items():
        there = new.ruleset.clause(key)
        if there is None:
            return None
        ones, twos = SECTION.findall(clause.cites), SECTION.findall(there.cites)
        if len(ones) != len(twos):
            return None
        for one, two in map(_heads, ones, twos):
            if heads.setdefault(one, two) != two:
                return None  # one section became several
    if "range" in change:
        ends = {end: renumbered(str(change["range"][end]), heads) for end in ("from", "to")}
        return {"range": {**change["range"], **ends}}
    return {"not_adopted": [renumbered(str(part), heads) for part in change["not_adopted"]]}


def _heads(one: str, two: str) -> tuple[str, str]:
    """Return what is numbered otherwise of two section numbers, their common end left off.

    >>> _heads("R311.7.5.1", "R318.7.5.1"), _heads("R507.2", "R507.2")
    (('R311', 'R318'), ('R507', 'R507'))
    """
    ones, twos = one.split("."), two.split(".")
    while len(ones) > 1 and len(twos) > 1 and ones[-1] == twos[-1]:
        del ones[-1], twos[-1]
    return ".".join(ones), ".".join(twos)


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
