"""The fingerprint of a clause: what an amendment records of the clause it changes."""

from __future__ import annotations

import json
from hashlib import sha256
from typing import Any

NOT_COUNTED = frozenset({"note", "says", "sources", "standing", "scope_says"})
"""Words about a clause; changing them moves no requirement, so they are not counted."""


def fingerprint(clause: dict[str, Any], tables: dict[str, Any]) -> str:
    """Return twelve hex digits that change when a figure or condition of the clause changes.

    `clause` and `tables` are as read from the file; only tables the clause names are counted.

    >>> one = fingerprint({"key": "a", "at_most": "16 in", "note": "x"}, {})
    >>> one == fingerprint({"key": "a", "at_most": "16 in"}, {})
    True
    >>> one == fingerprint({"key": "a", "at_most": "18 in"}, {})
    False
    """
    counted = _counted(clause)
    used = {
        name: _table_core(tables[name]) for name in sorted(_table_names(counted)) if name in tables
    }
    text = json.dumps([counted, used], sort_keys=True, ensure_ascii=False, separators=(",", ":"))
    return sha256(text.encode()).hexdigest()[:12]


def table_fingerprint(table: dict[str, Any]) -> str:
    """Return the fingerprint of a table's axes and cells."""
    text = json.dumps(_table_core(table), sort_keys=True, separators=(",", ":"))
    return sha256(text.encode()).hexdigest()[:12]


def _table_core(table: dict[str, Any]) -> dict[str, Any]:
    return {k: table[k] for k in ("by", "between", "columns", "cells") if k in table}


def _counted(data: Any) -> Any:
    if isinstance(data, dict):
        return {k: _counted(v) for k, v in data.items() if k not in NOT_COUNTED and v is not None}
    if isinstance(data, list):
        return [_counted(entry) for entry in data]
    return data


def _table_names(data: Any) -> set[str]:
    names: set[str] = set()
    if isinstance(data, dict):
        if isinstance(data.get("table"), str):
            names.add(data["table"])
        for entry in data.values():
            names |= _table_names(entry)
    elif isinstance(data, list):
        for entry in data:
            names |= _table_names(entry)
    return names
