"""The clauses of a rule file as they are written: groups opened, named exceptions put in place.

What this gives is the plain form every clause could have been written in, so that fingerprints,
amendments and carried lines do not depend on which way a writer chose.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from deckclause.rulesets.problems import suggestion
from deckclause.rulesets.translate_values import Path, ValueTranslator


class Line(Struct, frozen=True):
    """One clause of a file, or one carried line, and where it stands in the file."""

    data: dict[str, Any]
    path: Path

    @property
    def carried(self) -> str:
        """The rule set it is carried from; "" for a clause that is written out."""
        return str(self.data.get("carried") or "")


def lines(data: Any) -> Iterator[Line]:
    """Yield the clauses and carried lines of a file's plain data in order, groups opened.

    The condition of a group comes first, what a clause says itself is added; a carried line
    repeats a clause whole, so nothing is added to it. Entries of no use are left out (their fault
    is told by the check of the file's shape).

    >>> file = {"clauses": [{"group": "Ledger", "applies": {"a": "x"},
    ...                      "clauses": [{"key": "k", "applies": {"b": "y"}}]}]}
    >>> [(line.data, line.path) for line in lines(file)]
    [({'key': 'k', 'applies': {'a': 'x', 'b': 'y'}}, ('clauses', 0, 'clauses', 0))]
    """
    entries = data.get("clauses") if isinstance(data, dict) else None
    for i, entry in enumerate(entries if isinstance(entries, list) else []):
        if not isinstance(entry, dict):
            continue
        if "group" not in entry:
            yield Line(entry, ("clauses", i))
            continue
        inner = entry.get("clauses")
        for j, clause in enumerate(inner if isinstance(inner, list) else []):
            if isinstance(clause, dict):
                path = ("clauses", i, "clauses", j)
                yield Line(_grouped(clause, entry.get("applies")), path)


def _grouped(clause: dict[str, Any], applies: Any) -> dict[str, Any]:
    if clause.get("carried") or not isinstance(applies, dict):
        return clause
    own = clause.get("applies") or {}
    if not isinstance(own, dict):
        return clause
    together = {"all": [applies, own]} if set(applies) & set(own) else {**applies, **own}
    return {**clause, "applies": together}


def with_named_exceptions(values: ValueTranslator, line: Line) -> Line:
    """Put the file's named exceptions in place of their names, noting names that are not there."""
    unless = line.data.get("unless")
    if line.carried or not any(isinstance(entry, str) for entry in unless or ()):
        return line
    named = values.tree.data.get("exceptions") or {}
    written: list[Any] = []
    for i, entry in enumerate(unless or ()):
        if not isinstance(entry, str):
            written.append(entry)
        elif entry in named:
            written.append(named[entry])
        else:
            values.fault(
                (*line.path, "unless", i),
                f"there is no exception '{entry}' under `exceptions` of this file."
                f"{suggestion(entry, named)}",
            )
    return replace(line, data={**line.data, "unless": written})


def unused_exceptions(values: ValueTranslator) -> None:
    """Note the named exceptions of a file that no clause of it uses: one may have been forgotten."""
    data = values.tree.data
    used = {e for line in lines(data) for e in line.data.get("unless") or () if isinstance(e, str)}
    for name in data.get("exceptions") or {}:
        if name not in used:
            values.fault(("exceptions", name), "no clause of this file names it under `unless`")
