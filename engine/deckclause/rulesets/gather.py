"""Gather the tables and clauses of the files of one rule set, carried ones written out."""

from __future__ import annotations

import json
from typing import Any

from msgspec.structs import replace

from deckclause.rulesets.carried import (
    clause_faults,
    expanded_clause,
    expanded_table,
    table_faults,
)
from deckclause.rulesets.clauses import Carried, Clause, Origin, Table
from deckclause.rulesets.fingerprint import fingerprint
from deckclause.rulesets.problems import Problem
from deckclause.rulesets.ruleset import LoadedRuleSet
from deckclause.rulesets.translate_clauses import ClauseTranslator
from deckclause.rulesets.translate_tables import translate_tables
from deckclause.rulesets.translate_values import Path, ValueTranslator
from deckclause.rulesets.vocabulary import Vocabulary
from deckclause.rulesets.written import Line, lines, unused_exceptions, with_named_exceptions
from deckclause.rulesets.yaml_tree import Tree


class Gathering:
    """What the files of one rule set hold; `bases` are the rule sets its carried lines name."""

    def __init__(self, vocabulary: Vocabulary, name: str, bases: dict[str, LoadedRuleSet]) -> None:
        self.vocabulary = vocabulary
        self.name = name
        self.bases = bases
        self.clauses: list[Clause] = []
        self.tables: dict[str, Table] = {}
        self.raw_clauses: dict[str, dict[str, Any]] = {}
        self.raw_tables: dict[str, dict[str, Any]] = {}
        self.problems: list[Problem] = []
        self._carried: list[dict[str, Any]] = []

    def carried_text(self) -> str:
        """Return what was carried as text, so that a digest tells one state of it from another."""
        return (
            json.dumps(self._carried, sort_keys=True, ensure_ascii=False) if self._carried else ""
        )

    def read_tables(self, tree: Tree) -> None:
        """Read the tables of one file."""
        values = ValueTranslator(self.vocabulary, tree)
        values.tables = self.tables
        for name, entry in (tree.data.get("tables") or {}).items():
            path = ("tables", name)
            if name in self.raw_tables:
                values.fault(path, f"a table '{name}' already stands in this rule set")
            for i, source in enumerate(entry["sources"]):
                if source not in self.vocabulary.sources:
                    values.fault((*path, "sources", i), f"there is no source '{source}'")
            raw = self._table(values, name, entry, path)
            if raw is None:
                continue
            translate_tables(values, {name: raw}, ("tables",))
            self.raw_tables[name] = raw
            mark = self._table_mark(name, entry)
            self.tables[name] = replace(self.tables[name], carried=mark)
        self.problems += values.problems

    def _table(
        self, values: ValueTranslator, name: str, entry: dict[str, Any], path: Path
    ) -> dict[str, Any] | None:
        if not entry.get("carried"):
            return entry
        base = self.bases[entry["carried"]]
        for fault in table_faults(name, entry, base, self.name):
            values.fault((*path, *fault.path), fault.message)
        if name not in base.raw_tables:
            return None
        raw = expanded_table(entry, base.raw_tables[name])
        self._carried.append(raw)
        return raw

    def _table_mark(self, name: str, entry: dict[str, Any]) -> Carried | None:
        if not entry.get("carried"):
            return None
        base = self.bases[entry["carried"]].ruleset
        before = next(t.carried for t in base.tables if t.name == name)
        return Carried(base.name, before.written_in if before else base.name)

    def read_clauses(self, tree: Tree) -> None:
        """Read the clauses of one file; every table of the rule set must have been read."""
        values = ValueTranslator(self.vocabulary, tree)
        values.tables = self.tables
        translator = ClauseTranslator(values)
        for entry in lines(tree.data):
            line = with_named_exceptions(values, entry)
            key = line.data["key"]
            if key in self.raw_clauses:
                place = (*line.path, "key")
                values.fault(place, f"a clause '{key}' already stands in this rule set")
            raw = self._clause(values, line)
            if raw is None:
                continue
            origin = Origin(
                self.name, tree.file, tree.line(line.path), carried=self._clause_mark(line)
            )
            clause = translator.clause(raw, line.path, origin)
            self.clauses.append(replace(clause, fingerprint=fingerprint(raw, self.raw_tables)))
            self.raw_clauses[key] = raw
        unused_exceptions(values)
        self.problems += values.problems

    def _clause(self, values: ValueTranslator, line: Line) -> dict[str, Any] | None:
        if not line.carried:
            return line.data
        base = self.bases[line.carried]
        for fault in clause_faults(line, base, self.name, self.raw_tables):
            values.fault((*line.path, *fault.path), fault.message)
        raw = base.raw_clauses.get(line.data["key"])
        if raw is None:
            return None
        expanded = expanded_clause(line.data, raw)
        self._carried.append(expanded)
        return expanded

    def _clause_mark(self, line: Line) -> Carried | None:
        if not line.carried:
            return None
        base = self.bases[line.carried].ruleset
        clause = base.clause(line.data["key"])
        before = clause.origin.carried if clause else None
        return Carried(base.name, before.written_in if before else base.name)
