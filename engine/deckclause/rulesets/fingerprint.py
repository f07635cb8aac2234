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
        name: _table_core(tables[name]) for name in sorted(table_names(counted)) if name in tables
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
    """Return what counts, in the one plain form of what may be written in several ways."""
    if isinstance(data, dict):
        kept = {k: _counted(v) for k, v in data.items() if k not in NOT_COUNTED and v is not None}
        return _one_test_each(_as_sum(kept))
    if isinstance(data, list):
        return [_counted(entry) for entry in data]
    return data


def _as_sum(data: dict[str, Any]) -> dict[str, Any]:
    """Write `minus` as the sum it is.

    >>> _as_sum({"minus": ["1 in", {"reads": "a"}]})
    {'sum': ['1 in', {'product': ['-1', {'reads': 'a'}]}]}
    """
    parts = data.get("minus")
    if not isinstance(parts, list):
        return data
    return {"sum": [parts[0], *({"product": ["-1", part]} for part in parts[1:])]}


def _one_test_each(data: dict[str, Any]) -> dict[str, Any]:
    """Write a quantity with several tests as one test, and the others under `all`.

    >>> _one_test_each({"a": [{"at_most": "1 in"}, {"less_than": "2 in"}]})
    {'a': {'at_most': '1 in'}, 'all': [{'a': {'less_than': '2 in'}}]}
    """
    further = [
        {name: test}
        for name, tests in data.items()
        if name not in _LISTS and _are_tests(tests)
        for test in tests[1:]
    ]
    if not further:
        return data
    first = {k: v[0] if k not in _LISTS and _are_tests(v) else v for k, v in data.items()}
    return {**first, "all": [*data.get("all", []), *further]}


_LISTS = frozenset(
    {"all", "any", "unless", "readings", "cases", "sum", "product", "least", "greatest", "minus"}
)
"""Keys whose value is a list of mappings of their own."""
_BOUNDS = frozenset({"at_least", "more_than", "at_most", "less_than"})


def _are_tests(data: Any) -> bool:
    if not isinstance(data, list) or not data:
        return False
    return all(isinstance(entry, dict) and entry and set(entry) <= _BOUNDS for entry in data)


def table_names(data: Any) -> set[str]:
    """Return the names of the tables that plain data of a clause reads."""
    names: set[str] = set()
    if isinstance(data, dict):
        if isinstance(data.get("table"), str):
            names.add(data["table"])
        for entry in data.values():
            names |= table_names(entry)
    elif isinstance(data, list):
        for entry in data:
            names |= table_names(entry)
    return names
