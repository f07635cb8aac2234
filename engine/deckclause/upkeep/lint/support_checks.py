"""What holds a clause up beside its rule file: designs, examples, invented permits, tests."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from deckclause.designs import invented
from deckclause.designs.derive.plan import FRAMING
from deckclause.rulesets.clauses import Clause, Informs, Unmodelled
from deckclause.rulesets.walk import clause_reads
from deckclause.upkeep.lint.context import LintContext, ReadSet
from deckclause.upkeep.lint.finding import Found, Place

INVENTED = Path(invented.__file__).parent
ORACLE, PUBLISHED = "oracle", "published"
"""Folders of a checkout's tests: a second reading of the clauses; checks against print."""


def without_support(context: LintContext) -> Found:
    """Find clauses that lack what holds others up, each once, in the first book that has it.

    Told together: no boundary design; quantities that no example states or no recipe of invented
    permits gives; and, in a checkout, a topic that no oracle and no check against print names.
    """
    support = _Support(context)
    told: set[str] = set()
    for read in context.books:
        for clause in read.ruleset.clauses:
            if clause.key in told or isinstance(clause.requirement, Unmodelled | Informs):
                continue
            lacks = list(support.lacks(read, clause))
            if lacks:
                told.add(clause.key)
                place = Place(clause.origin.file, clause.origin.line)
                yield place, clause.key, f"{clause.key} has {'; '.join(lacks)}"


class _Support:
    """What there is beside the rule files, read once."""

    def __init__(self, context: LintContext) -> None:
        self.quantities = context.quantities
        self.recipes = _words(INVENTED)
        self.from_plan = {d.quantity for known in FRAMING.values() for d in known}
        root = context.files.root
        self.stated: set[str] = set()
        self.designed: dict[str, set[str]] = {}
        for path in sorted((root / "examples").rglob("*.yaml")):
            tree = context.trees.get(path)
            if tree is None:
                continue
            if path.parent == root / "examples" and isinstance(tree.data, dict):
                self.stated |= set(_stated(tree.data))
            elif path.parent == root / "examples" / "boundary" and isinstance(tree.data, dict):
                cases = tree.data.get("cases") or []
                self.designed[str(tree.data.get("under"))] = {str(c.get("of")) for c in cases}
        self.tests = {name: _words(root.parent / "tests" / name) for name in (ORACLE, PUBLISHED)}

    def lacks(self, read: ReadSet, clause: Clause) -> Iterator[str]:
        """Yield what a clause lacks."""
        if clause.key not in self.designed.get(read.ruleset.name, set()):
            yield "no boundary design"
        asked = [n for n in dict.fromkeys(clause_reads(clause)) if self._is_stated(n)]
        unstated = [n for n in asked if n not in self.stated]
        if unstated:
            yield f"no example that states {', '.join(unstated)}"
        unmade = [n for n in asked if n not in self.recipes]
        if unmade:
            yield f"no recipe of {', '.join(unmade)} in the invented permits"
        for folder, words in (
            (ORACLE, "no second reading in tests/oracle"),
            (PUBLISHED, "no check against print in tests/published"),
        ):
            found = self.tests[folder]
            if found and not {clause.key, clause.topic} & found:
                yield words

    def _is_stated(self, name: str) -> bool:
        definition = self.quantities.get(name)
        return definition is not None and not (
            name in self.from_plan
            or definition.derived
            or definition.provided
            or definition.fixed_by_place
        )


def _stated(data: dict[str, Any]) -> Iterator[str]:
    """Yield the quantities a design file states, as `group.name`, of any of its parts."""
    for group, entry in data.items():
        for part in entry if isinstance(entry, list) else [entry]:
            if isinstance(part, dict):
                yield from (f"{group}.{name}" for name in part)


def _words(folder: Path) -> set[str]:
    """Return every name written in the Python files of a folder; none where there is no folder."""
    texts = [path.read_text(encoding="utf-8") for path in sorted(folder.rglob("*.py"))]
    return {
        word for text in texts for word in re.findall(r"[a-z][a-z0-9_]*(?:\.[a-z0-9_]+)*", text)
    }
