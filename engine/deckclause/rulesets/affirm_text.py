"""Write current fingerprints into the text of a rule file, and change nothing else of it.

The lines are found by the reader and changed as text: a YAML writer would lay out anew what a
person laid out beside the book.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Protocol

from deckclause.rulesets.yaml_tree import Tree

LEADS = ("key", "carried", "replace", "strike", "cells", "drop")
"""Beside which of these a missing fingerprint is put: the first that the entry has."""


class Recorded(Protocol):
    """An entry of a file that records a fingerprint."""

    @property
    def path(self) -> tuple[str | int, ...]:
        """Where the entry stands in the file."""

    @property
    def recorded(self) -> str:
        """The fingerprint it records; "" for none."""

    @property
    def now(self) -> str:
        """The fingerprint it should record."""


def with_fingerprints(text: str, tree: Tree, entries: Iterable[Recorded]) -> str:
    """Return `text` with each entry's fingerprint made current. `tree` is `text` as read.

    >>> from deckclause.rulesets.stale import StaleLine
    >>> from deckclause.rulesets.yaml_tree import parse_tree
    >>> text = "changes:\\n  - {strike: a, fingerprint: '000000000000'}  # why\\n"
    >>> line = StaleLine("f", ("changes", 0), "strike", "a", "0" * 12, "123456789abc", 2, "")
    >>> print(with_fingerprints(text, parse_tree(text.encode(), "f"), [line]), end="")
    changes:
      - {strike: a, fingerprint: '123456789abc'}  # why
    """
    rows = text.splitlines(keepends=True)
    for entry in entries:
        lead = next((w for w in LEADS if (*entry.path, w) in tree.lines), "")
        word = "fingerprint" if entry.recorded else lead
        number = tree.line((*entry.path, word)) - 1
        if entry.recorded:
            rows[number] = _replaced(rows[number], entry.recorded, entry.now)
        else:
            rows[number] = _added(rows[number], lead, entry.now)
    return "".join(rows)


def _replaced(row: str, then: str, now: str) -> str:
    found = re.search(rf"(\bfingerprint[\"']?\s*:\s*)([\"']?){re.escape(then)}\2", row)
    if found is None:  # the value stands on a line of its own
        return row.replace(then, now, 1)
    return f"{row[: found.end(1)]}{_quoted(now, found[2])}{row[found.end() :]}"


def _quoted(digits: str, mark: str) -> str:
    return f"{mark or chr(34)}{digits}{mark or chr(34)}"


def _added(row: str, lead: str, now: str) -> str:
    found = re.search(rf"^(\s*(?:- )?)([^#]*?)\b{lead}[\"']?\s*:\s*[^\s,}}#]+", row)
    assert found is not None, row
    fresh = f"fingerprint: {_quoted(now, '')}"
    if "{" in found[2] or row[found.end() :].lstrip().startswith((",", "}")):
        return f"{row[: found.end()]}, {fresh}{row[found.end() :]}"
    return f"{row}{' ' * len(found[1])}{fresh}\n"
