"""Layer an amendment on a rule set, change by change. Shares what it leaves alone.

Sections changed at once (a range, what is not adopted) come last: they reach what no other change
deals with.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from msgspec.structs import replace

from deckclause.rulesets.check import check_shape
from deckclause.rulesets.clauses import Clause, Origin
from deckclause.rulesets.files import RuleFiles, digest
from deckclause.rulesets.fingerprint import fingerprint, table_fingerprint
from deckclause.rulesets.problems import InputError, suggestion
from deckclause.rulesets.ruleset import Layer, LoadedRuleSet, Setting, Struck
from deckclause.rulesets.sections import cited, named_by, reached, renumbered
from deckclause.rulesets.translate_clauses import ClauseTranslator
from deckclause.rulesets.translate_tables import translate_tables
from deckclause.rulesets.translate_values import ValueTranslator
from deckclause.rulesets.vocabulary import Vocabulary
from deckclause.rulesets.walk import clause_tables
from deckclause.rulesets.yaml_tree import Tree, parse_tree


def read_amendment_tree(files: RuleFiles, name: str) -> Tree:
    """Read an amendment's file and check its shape. Raises InputError with every fault."""
    from deckclause.rulesets.file_models import AmendmentFile

    path = files.amendment_path(name)
    content = files.content(path)
    known = files.amendment_trees.get((files.name(path), content))
    if known is not None and known.data["amendment"] == name:
        return known
    tree = parse_tree(content, files.name(path))
    check_shape(tree, AmendmentFile)
    if tree.data["amendment"] != name:
        raise InputError.single(
            tree.file,
            f"amendment: '{tree.data['amendment']}' stands in a file named for '{name}'",
            tree.line(("amendment",)),
        )
    files.amendment_trees[tree.file, content] = tree
    return tree


def layer_amendment(
    files: RuleFiles, vocabulary: Vocabulary, base: LoadedRuleSet, name: str, label: str
) -> LoadedRuleSet:
    """Return `base` with the amendment `name` layered on, called `label`.

    Raises InputError where the amendment names another edition, changes one clause twice, names
    a clause that is not there, or was written for a clause that has since moved.
    """
    tree = read_amendment_tree(files, name)
    edition = tree.data["edition"]
    if edition != base.ruleset.edition:
        near = suggestion("-".join(edition.casefold().split()), files.rulesets)
        raise InputError.single(
            tree.file,
            f"edition: amends {edition}, but stands on {base.ruleset.edition} here"
            + ("" if edition in files.rulesets else f"; there is no edition '{edition}'.{near}"),
            tree.line(("edition",)),
        )
    content = files.digest_of(files.amendment_path(name))
    return layered_tree(vocabulary, base, tree, label, content)


def layered_tree(
    vocabulary: Vocabulary,
    base: LoadedRuleSet,
    tree: Tree,
    label: str,
    content: str,
    kind: str = "amendment",
) -> LoadedRuleSet:
    """Return `base` with an amendment's tree layered on; `content` is the digest of its file.

    Raises InputError with every fault of the changes.
    """
    layering = _Layering(vocabulary, base, tree)
    layering.run()
    if layering.values.problems:
        raise InputError(layering.values.problems)
    return layering.result(label, content, kind)


class _Layering:
    def __init__(self, vocabulary: Vocabulary, base: LoadedRuleSet, tree: Tree) -> None:
        self.base = base
        self.tree = tree
        self.values = ValueTranslator(vocabulary, tree)
        self.values.tables = {t.name: t for t in base.ruleset.tables}
        self.translator = ClauseTranslator(self.values)
        self.clauses: dict[str, Clause] = {c.key: c for c in base.ruleset.clauses}
        self.raw_clauses = dict(base.raw_clauses)
        self.raw_tables = dict(base.raw_tables)
        self.settings = {s.quantity: s for s in base.ruleset.settings}
        self.struck = list(base.ruleset.struck)
        self.touched: dict[str, int] = {}

    def run(self) -> None:
        operations: dict[str, Callable[[Any, tuple[str | int, ...]], None]] = {
            "cells": self._cells,
            "replace": self._replace,
            "strike": self._strike,
            "add": self._add,
            "set": self._set,
            "drop": self._drop,
            "range": self._range,
            "not_adopted": self._not_adopted,
            "renumber": self._renumber,
        }
        self._own_tables()
        for word, operation in operations.items():
            for i, change in enumerate(self.tree.data["changes"]):
                if change.get(word) is not None:
                    operation(change, ("changes", i))

    def _origin(self, change: dict[str, Any], path: tuple[str | int, ...]) -> Origin:
        data = self.tree.data
        return Origin(
            ruleset=data["amendment"],
            file=self.tree.file,
            line=self.tree.line(path),
            ordinance=data["ordinance"],
            section=change.get("section") or "",
            adopted=data["adopted"],
            place=data["place"],
        )

    def _once(self, what: str, path: tuple[str | int, ...]) -> None:
        line = self.tree.line(path)
        if what in self.touched:
            self.values.fault(
                path,
                f"{what} is already changed on line {self.touched[what]}; one change of it only",
            )
        self.touched[what] = line

    def _target(
        self, key: str, change: dict[str, Any], path: tuple[str | int, ...]
    ) -> Clause | None:
        self._once(key, path)
        clause = self.clauses.get(key)
        if clause is None:
            near = suggestion(key, self.clauses)
            self.values.fault(path, f"{self.base.ruleset.name} has no clause '{key}'.{near}")
            return None
        now = fingerprint(self.raw_clauses[key], self.raw_tables)
        if not change.get("fingerprint"):
            self.values.fault(
                path, f"the fingerprint of {key} is missing; as the clause stands now it is {now}"
            )
        elif change["fingerprint"] != now:
            self.values.fault(path, self._stale(key, change["fingerprint"], now, clause))
        return clause

    def _stale(self, key: str, then: str, now: str, clause: Clause) -> str:
        return (
            f"{key} has moved since this was written (fingerprint {then} then, {now} now; it now "
            f"reads: {clause.cites}, {clause.says}). Read it again; if the change still holds, run "
            f"`deckclause rules affirm {self.tree.data['amendment']} --write`"
        )

    def _replace(self, change: dict[str, Any], path: tuple[str | int, ...]) -> None:
        key = change["replace"]
        if self._target(key, change, path) is None:
            return
        merged = _merged(self.raw_clauses[key], change["to"])
        merged.setdefault("standing", self.tree.data.get("standing", "confirmed"))
        clause = self.translator.clause(merged, (*path, "to"), self._origin(change, path))
        self.clauses[key] = replace(clause, fingerprint=fingerprint(merged, self.raw_tables))
        self.raw_clauses[key] = merged

    def _own_tables(self) -> None:
        tables = self.tree.data.get("tables") or {}
        for name in tables:
            if name in self.raw_tables:
                self.values.fault(
                    ("tables", name),
                    f"{self.base.ruleset.name} has a table '{name}' already; change its cells, or "
                    "give this one a name of its own",
                )
        translate_tables(self.values, tables, ("tables",))
        self.raw_tables |= tables

    def _drop(self, change: dict[str, Any], path: tuple[str | int, ...]) -> None:
        key = change["drop"]
        if self._target(key, change, path) is None:
            return
        raw = dict(self.raw_clauses[key])
        exceptions, choices = raw.get("unless") or [], raw.get("one_of") or []
        for text in change.get("exceptions") or []:
            if not str(text).isdigit() or not 1 <= int(text) <= len(exceptions):
                self.values.fault(path, f"{key} has no exception {text}; it has {len(exceptions)}")
        for choice in change.get("choices") or []:
            if choice not in choices:
                self.values.fault(
                    path, f"{key} does not allow '{choice}'.{suggestion(choice, choices)}"
                )
        gone = {int(n) for n in change.get("exceptions") or [] if str(n).isdigit()}
        if gone:
            raw["unless"] = [e for i, e in enumerate(exceptions, 1) if i not in gone]
        if change.get("choices"):
            raw["one_of"] = [c for c in choices if c not in change["choices"]]
            if not raw["one_of"]:
                self.values.fault(path, f"{key} would allow nothing; strike it, or replace it")
                return
        self._now(key, raw, change, path)

    def _now(
        self, key: str, raw: dict[str, Any], change: dict[str, Any], path: tuple[str | int, ...]
    ) -> None:
        """Put what a clause says now in its place."""
        clause = self.translator.clause(raw, path, self._origin(change, path))
        self.clauses[key] = replace(clause, fingerprint=fingerprint(raw, self.raw_tables))
        self.raw_clauses[key] = raw

    def _range(self, change: dict[str, Any], path: tuple[str | int, ...]) -> None:
        """Strike a range of sections, or leave open what no other change deals with."""
        if not all(cited(change["range"][word]) for word in ("from", "to")):
            self.values.fault(path, "range: name two sections, as {from: R311.7.5, to: R311.7.5.3}")
            return
        self._at_once(change, path, struck=str(change["range"].get("struck", "")) == "true")

    def _not_adopted(self, change: dict[str, Any], path: tuple[str | int, ...]) -> None:
        for part in change["not_adopted"]:
            if not cited(part):
                self.values.fault(path, f"'{part}' names no chapter, section or table")
        self._at_once(change, path, struck=True)

    def _at_once(
        self, change: dict[str, Any], path: tuple[str | int, ...], *, struck: bool
    ) -> None:
        """Strike what lies wholly in some sections; what lies there in part is not settled."""
        found = False
        for key, clause in list(self.clauses.items()):
            places = reached(change, clause.cites)
            found = found or any(places)
            own = clause.origin.ruleset == self.tree.data["amendment"]
            if own or key in self.touched or not any(places):
                continue
            if struck and all(places):
                self._struck_out(key, clause, change, path)
            else:
                self._not_settled(key, change, path, named_by(change), struck=struck)
        if not found:
            self.values.fault(path, f"{self.base.ruleset.name} has no clause in {named_by(change)}")

    def _not_settled(
        self,
        key: str,
        change: dict[str, Any],
        path: tuple[str | int, ...],
        words: str,
        *,
        struck: bool,
    ) -> None:
        how = "strikes" if struck else "replaces"
        raw = dict(self.raw_clauses[key])
        for word in (*REQUIREMENT, "unless", "readings", "note", "assumes", "scope", "scope_says"):
            raw.pop(word, None)
        raw["unmodelled"] = (
            f"{self.tree.data['place']} {how} {words}"
            + (", where this stands in part" if struck else " as a whole")
            + "; what is asked on this is not settled here. Read the ordinance"
        )
        raw["says"] = f"Not settled here. The code amended says: {raw['says']}"
        raw["standing"] = "memory"
        raw["sources"] = self.tree.data["sources"]
        self._now(key, raw, change, path)

    def _renumber(self, change: dict[str, Any], path: tuple[str | int, ...]) -> None:
        """Cite sections by the numbers they have here; what they ask stays."""
        numbers = change["renumber"]
        moved = False
        for key, clause in list(self.clauses.items()):
            cites = renumbered(clause.cites, numbers)
            if cites != clause.cites:
                moved = True
                self.clauses[key] = replace(clause, cites=cites)
                self.raw_clauses[key] = {**self.raw_clauses[key], "cites": cites}
        if not moved:
            self.values.fault(path, f"no clause stands in {', '.join(numbers)}")

    def _strike(self, change: dict[str, Any], path: tuple[str | int, ...]) -> None:
        key = change["strike"]
        clause = self._target(key, change, path)
        if clause is not None:
            self._struck_out(key, clause, change, path)

    def _struck_out(
        self, key: str, clause: Clause, change: dict[str, Any], path: tuple[str | int, ...]
    ) -> None:
        data = self.tree.data
        self.struck.append(
            Struck(
                key,
                clause.topic,
                self._origin(change, path),
                change.get("says") or "",
                change.get("standing") or data.get("standing") or "confirmed",
                tuple(change.get("sources") or data["sources"]),
            )
        )
        del self.clauses[key]

    def _add(self, change: dict[str, Any], path: tuple[str | int, ...]) -> None:
        data = change["add"]
        key = data["key"]
        self._once(key, path)
        if key in self.clauses:
            self.values.fault(
                path, f"{self.base.ruleset.name} already has a clause '{key}'; replace it"
            )
        clause = self.translator.clause(data, (*path, "add"), self._origin(change, path))
        self.clauses[key] = clause
        self.raw_clauses[key] = data

    def _set(self, change: dict[str, Any], path: tuple[str | int, ...]) -> None:
        for name, text in change["set"].items():
            here = (*path, "set", name)
            self._once(f"the value of {name}", here)
            definition = self.values.quantity(name, here)
            value = self.values.scalar(text, definition, here)
            self.settings[name] = Setting(
                name,
                value,
                self._origin(change, path),
                change.get("cites") or "",
                change.get("says") or "",
                self.tree.data.get("standing", "confirmed"),
            )

    def _cells(self, change: dict[str, Any], path: tuple[str | int, ...]) -> None:
        name = change["cells"]
        self._once(f"table {name}", path)
        raw = self.raw_tables.get(name)
        if raw is None:
            near = suggestion(name, self.raw_tables)
            self.values.fault(path, f"{self.base.ruleset.name} has no table '{name}'.{near}")
            return
        now = table_fingerprint(raw)
        if change.get("fingerprint") != now:
            self.values.fault(
                path,
                f"table {name} is not as it was when this was written; its fingerprint is {now} now",
            )
            return
        fresh = {**raw, "cells": raw["cells"]}
        for j, cell in enumerate(change["figures"]):
            fresh["cells"] = self._with_cell(
                fresh["cells"], cell["at"], cell["figure"], raw["columns"], (*path, "figures", j)
            )
        self.raw_tables[name] = fresh
        translate_tables(self.values, {name: fresh}, path)
        self._reread_users(name, change, path)

    def _with_cell(
        self,
        cells: Any,
        at: list[str],
        figure: str,
        columns: list[str],
        path: tuple[str | int, ...],
    ) -> Any:
        key = at[0] if at else ""
        if isinstance(cells, dict):
            if key not in cells:
                self.values.fault(path, f"'{key}' is not a row.{suggestion(key, cells)}")
                return cells
            return {**cells, key: self._with_cell(cells[key], at[1:], figure, columns, path)}
        if key not in columns or len(at) != 1:
            self.values.fault(path, f"'{key}' is not a column.{suggestion(key, columns)}")
            return cells
        place = columns.index(key)
        return [*cells[:place], figure, *cells[place + 1 :]]

    def _reread_users(self, name: str, change: dict[str, Any], path: tuple[str | int, ...]) -> None:
        for key, clause in list(self.clauses.items()):
            if any(table.name == name for table in clause_tables(clause)):
                raw = self.raw_clauses[key]
                fresh = self.translator.clause(raw, path, self._origin(change, path))
                self.clauses[key] = replace(fresh, fingerprint=fingerprint(raw, self.raw_tables))

    def result(self, label: str, content: str, kind: str) -> LoadedRuleSet:
        data = self.tree.data
        base = self.base.ruleset
        layer = Layer(
            data["amendment"],
            kind,
            data["title"],
            content,
            data["ordinance"],
            data["adopted"],
            data["place"],
        )
        ruleset = replace(
            base,
            name=label,
            layers=(*base.layers, layer),
            clauses=tuple(self.clauses.values()),
            settings=tuple(self.settings.values()),
            struck=tuple(self.struck),
            tables=tuple(self.values.tables.values()),
            digest=digest(base.digest, content),
        )
        return LoadedRuleSet(ruleset, self.raw_clauses, self.raw_tables)


REQUIREMENT = (
    "limit", "distance", "at_least", "at_most", "exactly", "one_of", "must_be", "not_permitted",
    "provides", "value", "engineering", "unmodelled", "informs",
)  # fmt: skip
BOUNDS = ("at_least", "at_most", "exactly", "one_of")


def _merged(raw: dict[str, Any], to: dict[str, Any]) -> dict[str, Any]:
    """Lay the new fields over the old; a new form of requirement drops the old form."""
    merged = dict(raw)
    stated = {k for k, v in to.items() if v is not None}
    if stated & set(REQUIREMENT) and not stated & set(REQUIREMENT) <= {*BOUNDS, "value"}:
        for word in REQUIREMENT:
            merged.pop(word, None)
    elif "exactly" in stated or "one_of" in stated:
        for word in BOUNDS:
            merged.pop(word, None)
    elif stated & {"at_least", "at_most"}:
        merged.pop("exactly", None)
    if stated & set(REQUIREMENT):
        merged.pop("readings", None)  # they read the words that are replaced
    if stated & {"standing", "sources"}:
        merged.pop("note", None)  # it speaks of where the old figure was seen
    merged.update({k: v for k, v in to.items() if v is not None})
    return merged
