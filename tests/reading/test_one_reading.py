"""Clause types are taken apart in one place; every other room reads the lowered form.

What still tells clause types apart is listed with how often: a new place, or one more test in an old
one, fails here. Take a line down when its module reads the lowered form; the list should only shrink.
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
STILL: dict[str, int] = {
    "upkeep/lint/support_checks.py": 1,
    "answers/compare/deciding.py": 9,
    "answers/compare/strictest.py": 1,
    "compare/knowledge.py": 1,
    "compare/rule_diff/clauses.py": 11,
    "compare/rule_diff/tables.py": 2,
    "compare/rule_diff/weight.py": 5,
    "compare/strictest.py": 2,
    "evaluate/explain.py": 8,
    "evaluate/findings.py": 4,
    "evaluate/heavier.py": 1,
    "evaluate/local_values.py": 1,
    "evaluate/notices.py": 1,
    "evaluate/plan.py": 1,
    "evaluate/words.py": 21,
    "placement/from_findings.py": 1,
    "placement/from_rules.py": 1,
    "upkeep/amending/describe.py": 4,
    "upkeep/amending/effect.py": 6,
    "upkeep/amending/exceptions.py": 6,
    "upkeep/amending/own_words.py": 1,
    "upkeep/coverage/coverage.py": 4,
    "upkeep/coverage/points.py": 1,
    "upkeep/coverage/variants.py": 16,
    "upkeep/lint/clause_checks.py": 2,
    "upkeep/lint/form_checks.py": 2,
    "upkeep/lint/kin_checks.py": 4,
    "upkeep/lint/kind_checks.py": 8,
    "upkeep/lint/provided_checks.py": 1,
    "variance/relevant.py": 1,
    "variance/search.py": 2,
}


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
