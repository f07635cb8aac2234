"""Clause types are taken apart in one place; every other room reads the lowered form.

What still tells clause types apart is listed with how often. The list only shrinks: a new place, or
one more test in an old one, fails here, and so does a place that no longer needs its line.
"""

from __future__ import annotations

import ast
from pathlib import Path

import deckclause
from deckclause.rulesets import clauses as model

ENGINE = Path(deckclause.__file__).parent
TYPES = {
    name
    for name in vars(model)
    if isinstance(getattr(model, name), type) and getattr(model, name).__module__ == model.__name__
} - {"Origin", "Table", "Axis", "CellNote", "Clause", "ClauseException", "Reading", "Distance"}
"""The forms of conditions, values and requirements; tables and the clause itself are no forms."""
FREE = ("rulesets/", "reading/lower.py")
"""Where the model is made, layered and written, and where it is lowered."""
STILL: dict[str, int] = {}


def told_apart(path: Path) -> int:
    """Count the tests of clause types in a module: isinstance and match, by the names it imports."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    names: set[str] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and node.module == model.__name__:
            names |= {a.asname or a.name for a in node.names if a.name in TYPES}
    count = 0
    for node in ast.walk(tree):
        if (
            isinstance(node, ast.Call)
            and isinstance(node.func, ast.Name)
            and node.func.id == "isinstance"
        ):
            count += any(isinstance(n, ast.Name) and n.id in names for n in ast.walk(node.args[1]))
        elif isinstance(node, ast.MatchClass) and isinstance(node.cls, ast.Name):
            count += node.cls.id in names
    return count


def test_no_other_room_tells_clause_types_apart() -> None:
    found = {}
    for path in sorted(ENGINE.rglob("*.py")):
        name = path.relative_to(ENGINE).as_posix()
        if not name.startswith(FREE) and (count := told_apart(path)):
            found[name] = count
    more = {n: c for n, c in found.items() if c > STILL.get(n, 0)}
    assert not more, f"read the lowered form instead (reading/fold.py says how): {more}"
    fewer = {n: found.get(n, 0) for n, c in STILL.items() if found.get(n, 0) < c}
    assert not fewer, f"take these down in STILL: {fewer}"
