"""Read an edition or guide from its file, or from the files of its folder."""

from __future__ import annotations

from typing import Any

from deckclause.rulesets.check import check_shape
from deckclause.rulesets.clauses import Clause, Origin
from deckclause.rulesets.files import RuleFiles, digest
from deckclause.rulesets.problems import InputError, Problem
from deckclause.rulesets.ruleset import Layer, LoadedRuleSet, RuleSet
from deckclause.rulesets.translate_clauses import ClauseTranslator
from deckclause.rulesets.translate_tables import translate_tables
from deckclause.rulesets.translate_values import ValueTranslator
from deckclause.rulesets.vocabulary import Vocabulary
from deckclause.rulesets.yaml_tree import Tree, parse_tree


def read_ruleset(files: RuleFiles, vocabulary: Vocabulary, name: str) -> LoadedRuleSet:
    """Read a rule set by name. Raises InputError with every fault of its files."""
    trees = _trees(files, name)
    head = trees[0].data
    if head["ruleset"] != name:
        line = trees[0].line(("ruleset",))
        raise InputError.single(
            trees[0].file, f"ruleset: '{head['ruleset']}' stands in a file named for '{name}'", line
        )
    problems: list[Problem] = []
    clauses: list[Clause] = []
    raw_clauses: dict[str, dict[str, Any]] = {}
    raw_tables: dict[str, dict[str, Any]] = {}
    tables: dict[str, Any] = {}
    for tree in trees:
        values = ValueTranslator(vocabulary, tree)
        values.tables = tables
        _read_tables(values, tree, raw_tables)
        _read_clauses(values, tree, name, clauses, raw_clauses)
        problems += values.problems
    if problems:
        raise InputError(problems)
    paths = files.ruleset_paths(name)
    content = files.digest_of(*paths)
    ruleset = RuleSet(
        name=name,
        title=head["title"],
        kind=head["kind"],
        edition=name,
        published=int(head["in_force"]["published"]),
        layers=(Layer(name, head["kind"], head["title"], content),),
        clauses=tuple(clauses),
        settings=(),
        struck=(),
        tables=tuple(tables.values()),
        says=head.get("says") or "",
        digest=digest(vocabulary.digest, content),
        practice=tuple((head.get("practice") or {}).items()),
    )
    return LoadedRuleSet(ruleset, raw_clauses, raw_tables)


def _trees(files: RuleFiles, name: str) -> list[Tree]:
    from deckclause.rulesets.file_models import RuleSetFile, RuleSetPart

    trees: list[Tree] = []
    for index, path in enumerate(files.ruleset_paths(name)):
        tree = parse_tree(files.content(path), files.name(path))
        check_shape(tree, RuleSetPart if index else RuleSetFile)
        if index and tree.data["part_of"] != name:
            raise InputError.single(
                tree.file, f"part_of: '{tree.data['part_of']}' stands in the folder of {name}", 1
            )
        trees.append(tree)
    return trees


def _read_tables(values: ValueTranslator, tree: Tree, raw: dict[str, dict[str, Any]]) -> None:
    fresh = tree.data.get("tables") or {}
    for table in fresh:
        if table in raw:
            values.fault(("tables", table), f"a table '{table}' already stands in this rule set")
        for i, source in enumerate(fresh[table]["sources"]):
            if source not in values.vocabulary.sources:
                values.fault(("tables", table, "sources", i), f"there is no source '{source}'")
    translate_tables(values, fresh, ("tables",))
    raw.update(fresh)


def _read_clauses(
    values: ValueTranslator,
    tree: Tree,
    name: str,
    clauses: list[Clause],
    raw: dict[str, dict[str, Any]],
) -> None:
    translator = ClauseTranslator(values)
    for i, data in enumerate(tree.data.get("clauses") or []):
        path = ("clauses", i)
        if data["key"] in raw:
            values.fault(
                (*path, "key"), f"a clause '{data['key']}' already stands in this rule set"
            )
        clauses.append(translator.clause(data, path, Origin(name, tree.file, tree.line(path))))
        raw[data["key"]] = data
