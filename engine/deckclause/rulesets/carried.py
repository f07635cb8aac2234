"""What an edition carries from the one before: the same rule, cited and witnessed anew.

A carried line takes over what a clause asks and says. It never takes over how well that is known:
citation, standing and sources are its own, and those of exceptions, other readings and cells too.
It records the fingerprint of what it carries; when that moves the line is refused until affirmed.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from msgspec import Struct

from deckclause.rulesets.fingerprint import fingerprint, table_fingerprint, table_names
from deckclause.rulesets.problems import suggestion
from deckclause.rulesets.ruleset import LoadedRuleSet
from deckclause.rulesets.written import Line

WITNESS = ("cites", "standing", "sources")
"""What a carried line says anew, of itself and of each exception."""


class Fault(Struct, frozen=True):
    """Why a line cannot be carried: below which key of it, what is wrong, and the cure."""

    path: tuple[str | int, ...]
    message: str


def expanded_clause(line: dict[str, Any], base: dict[str, Any]) -> dict[str, Any]:
    """Return the clause a carried line stands for: the base's, with what the line says anew.

    >>> line = {"key": "a", "carried": "old", "cites": "R2", "standing": "memory",
    ...         "sources": ["memory"], "fingerprint": "0" * 12}
    >>> base = {"key": "a", "cites": "R1", "says": "Two.", "at_least": "2 in", "note": "Seen.",
    ...         "standing": "confirmed", "sources": ["book"]}
    >>> expanded_clause(line, base)
    {'key': 'a', 'cites': 'R2', 'says': 'Two.', 'at_least': '2 in', 'standing': 'memory', \
'sources': ['memory']}
    """
    fresh = {key: entry for key, entry in base.items() if key != "note"}
    own = {k: v for k, v in line.items() if v is not None}
    fresh.update({k: own[k] for k in (*WITNESS, "says", "note") if k in own})
    for part in ("unless", "readings"):
        if base.get(part):
            anew = own.get(part) or [{}] * len(base[part])
            fresh[part] = [_witnessed(b, a) for b, a in zip(base[part], anew, strict=False)]
    return fresh


def _witnessed(part: dict[str, Any], anew: dict[str, Any]) -> dict[str, Any]:
    kept = {key: entry for key, entry in part.items() if key not in WITNESS}
    return kept | {key: entry for key, entry in anew.items() if entry}


def expanded_table(line: dict[str, Any], base: dict[str, Any]) -> dict[str, Any]:
    """Return the table a carried line stands for: the base's axes and cells, no note of its cells."""
    fresh = {key: entry for key, entry in base.items() if key != "notes"}
    fresh.update({k: line[k] for k in (*WITNESS, "title", "notes") if line.get(k)})
    return fresh


def clause_faults(
    line: Line, base: LoadedRuleSet, own: str, tables: dict[str, Any]
) -> Iterator[Fault]:
    """Yield why a line of the rule set `own`, whose tables are given, cannot be carried."""
    key, name = line.data["key"], base.ruleset.name
    raw = base.raw_clauses.get(key)
    if raw is None:
        near = suggestion(key, base.raw_clauses)
        yield Fault(("key",), f"{name} has no clause '{key}' to carry.{near} Else write it out")
        return
    yield from _recorded(line.data, key, base, own, fingerprint(raw, base.raw_tables), raw)
    for table in sorted(table_names(raw)):
        same = table in tables and table_fingerprint(tables[table]) == table_fingerprint(
            base.raw_tables[table]
        )
        if not same:
            yield Fault(
                ("carried",),
                f"{key} reads the table {table}, which is not the one {name} has; carry the table "
                "too, or write the clause out",
            )
    yield from _anew(line.data, raw, "unless", ("cites",), name)
    yield from _anew(line.data, raw, "readings", ("standing", "sources"), name)


def _anew(
    line: dict[str, Any], raw: dict[str, Any], part: str, needed: tuple[str, ...], name: str
) -> Iterator[Fault]:
    """Yield where exceptions or other readings are not cited and witnessed anew, one by one."""
    theirs, own = raw.get(part) or [], line.get(part) or []
    what = "exceptions" if part == "unless" else "other readings"
    asked = [entry for entry in theirs if any(entry.get(word) for word in needed)]
    if not own and not asked:
        return
    if len(own) != len(theirs):
        yield Fault(
            (part,) if own else (),
            f"`{part}` needs {len(theirs)} entries, one for each of the {what} in {name}, in order: "
            f"{' and '.join(needed)} are never taken over",
        )
        return
    for i, (entry, fresh) in enumerate(zip(theirs, own, strict=True)):
        for word in needed:
            if entry.get(word) and not fresh.get(word):
                yield Fault((part, i), f"`{word}` is needed here: {name} gives one of its own")


def table_faults(
    table: str, line: dict[str, Any], base: LoadedRuleSet, own: str
) -> Iterator[Fault]:
    """Yield why a table of the rule set `own` cannot be carried from `base`."""
    raw = base.raw_tables.get(table)
    if raw is None:
        near = suggestion(table, base.raw_tables)
        yield Fault(
            (), f"{base.ruleset.name} has no table '{table}' to carry.{near} Else write it out"
        )
        return
    yield from _recorded(line, table, base, own, table_fingerprint(raw), raw)


def _recorded(
    line: dict[str, Any],
    what: str,
    base: LoadedRuleSet,
    own: str,
    now: str,
    raw: dict[str, Any],
) -> Iterator[Fault]:
    then, name = line.get("fingerprint"), base.ruleset.name
    if then == now:
        return
    if not then:
        words = f"the fingerprint of {what} is missing; as it stands in {name} now it is {now}"
    else:
        words = (
            f"{what} of {name} has moved since this line was written (fingerprint {then} then, "
            f"{now} now; it now reads: {stands(raw)}). Read it again"
        )
    yield Fault(
        ("fingerprint",) if then else (),
        f"{words}. If it is still the same rule here, run `deckclause rules affirm {own} --write`; "
        "if not, write it out",
    )


def stands(raw: dict[str, Any]) -> str:
    """Say in a line where a clause or table stands and what it says.

    >>> stands({"cites": "R507.2", "says": "At least 2 in."})
    'R507.2: At least 2 in.'
    """
    return f"{raw['cites']}: {raw.get('says') or raw.get('title') or ''}"
