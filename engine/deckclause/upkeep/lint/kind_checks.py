"""Checks of kinds: a length is compared with a length, a table of spans is read for a span."""

from __future__ import annotations

from collections.abc import Iterator

from deckclause.rulesets.clauses import (
    Arithmetic,
    ByChoice,
    Cases,
    Clause,
    Condition,
    Distance,
    Fixed,
    Limit,
    Lookup,
    Provides,
    Reads,
    Value,
)
from deckclause.rulesets.walk import condition_tests, requirements
from deckclause.upkeep.lint.context import LintContext, ReadSet
from deckclause.upkeep.lint.finding import Found, Place

PLAIN = ("count", "ratio")
SUFFIXES = {"psf": "load", "lb": "force", "plf": "line_load", "ft": "length", "in": "length"}


class KindChecks:
    """Checks what each value of a clause measures against what it stands for."""

    def __init__(self, context: LintContext) -> None:
        self.context = context
        self._tables = dict(_table_kinds(context))

    def mismatches(self) -> Found:
        """Find values whose kind is not that of the quantity they stand for."""
        for read in self.context.sets:
            for clause in read.ruleset.clauses:
                for kind, value in self._wanted(clause):
                    for found, words in self._kinds(value, read):
                        if kind != found and not {kind, found} <= set(PLAIN):
                            message = (
                                f"{clause.key}: {words} is a {found}, where a {kind} is needed"
                            )
                            yield Place(clause.origin.file, clause.origin.line), clause.key, message

    def _wanted(self, clause: Clause) -> Iterator[tuple[str, Value]]:
        quantities = self.context.quantities
        for condition in (clause.applies, clause.scope, *(e.when for e in clause.exceptions)):
            yield from self._in_condition(condition)
        for requirement in requirements(clause):
            if isinstance(requirement, Limit):
                subject = requirement.subject
                kind = "length" if isinstance(subject, Distance) else quantities[subject].kind
                for value in (requirement.least, requirement.most, requirement.exactly):
                    if value is not None:
                        yield kind, value
            elif isinstance(requirement, Provides):
                yield quantities[requirement.quantity].kind, requirement.value
            elif hasattr(requirement, "condition"):
                yield from self._in_condition(requirement.condition)

    def _in_condition(self, condition: Condition) -> Iterator[tuple[str, Value]]:
        for test in condition_tests(condition):
            for bound in (test.low, test.high):
                if bound is not None:
                    yield self.context.quantities[test.quantity].kind, bound

    def _kinds(self, value: Value, read: ReadSet) -> Iterator[tuple[str, str]]:
        if isinstance(value, Reads):
            yield self.context.quantities[value.quantity].kind, value.quantity
        elif isinstance(value, ByChoice | Cases):
            for _, case in value.cases:
                yield from self._kinds(case, read)
        elif isinstance(value, Lookup):
            kind = self._tables.get((read.ruleset.edition, value.table.name))
            if kind is not None:
                yield kind, f"table {value.table.name}"
        elif isinstance(value, Arithmetic):
            measured = [p for p in value.parts if not isinstance(p, Fixed)]
            plain = [p for p in measured if self._is_plain(p)]
            for part in measured:
                if value.operation == "product" and part in plain and len(measured) > len(plain):
                    continue
                yield from self._kinds(part, read)

    def _is_plain(self, value: Value) -> bool:
        return isinstance(value, Reads) and self.context.quantities[value.quantity].kind in PLAIN


def _table_kinds(context: LintContext) -> Iterator[tuple[tuple[str, str], str]]:
    """Yield what the cells of each table measure, from the units written in the file."""
    read = {layer.name for found in context.sets for layer in found.ruleset.layers}
    for name, paths in context.files.rulesets.items():
        for path in paths if name in read else ():
            tree = context.trees.get(path)
            data = tree.data if tree and isinstance(tree.data, dict) else {}
            for table, entry in (data.get("tables") or {}).items():
                for figure in _figures(entry.get("cells") if isinstance(entry, dict) else None):
                    word = figure.rsplit(" ", 1)[-1]
                    if word in SUFFIXES:
                        yield (name, table), SUFFIXES[word]
                        break


def _figures(cells: object) -> Iterator[str]:
    if isinstance(cells, dict):
        for entry in cells.values():
            yield from _figures(entry)
    elif isinstance(cells, list):
        for entry in cells:
            yield from _figures(entry)
    elif isinstance(cells, str):
        yield cells


def mixed_table(context: LintContext) -> Found:
    """Find tables whose cells do not all measure the same kind."""
    for path in context.trees:
        tree = context.trees[path]
        data = tree.data if isinstance(tree.data, dict) else {}
        tables = data.get("tables") if isinstance(data.get("tables"), dict) else {}
        for name, entry in (tables or {}).items():
            cells = entry.get("cells") if isinstance(entry, dict) else None
            kinds = {SUFFIXES.get(f.rsplit(" ", 1)[-1]) for f in _figures(cells) if " " in f} - {
                None
            }
            if len(kinds) > 1:
                words = " and ".join(sorted(str(k) for k in kinds))
                yield (
                    Place(tree.file, tree.line(("tables", name))),
                    name,
                    f"table {name}: its cells are of several kinds ({words})",
                )
