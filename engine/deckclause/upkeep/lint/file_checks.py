"""Checks of the files as files: can they be read, do they hold to their schemas."""

from __future__ import annotations

from deckclause.rulesets.problems import InputError
from deckclause.rulesets.schema import VERSION, file_schemas, schema_text
from deckclause.rulesets.schema_check import (
    SchemaChecker,
    all_files,
    editor_hint,
    kind_of,
    load_schemas,
)
from deckclause.rulesets.vocabulary import READ_IN_BOOK
from deckclause.rulesets.written import lines
from deckclause.upkeep.lint.context import LintContext, walk_entries
from deckclause.upkeep.lint.finding import Found, Place


def unreadable(context: LintContext) -> Found:
    """Find everything that keeps a file, a rule set or a place from being read."""
    for problem in dict.fromkeys(context.problems):
        yield Place(problem.file, problem.line), problem.file, problem.message


def against_schema(context: LintContext) -> Found:
    """Check every rule file and example against the published schemas, read independently."""
    try:
        schemas = load_schemas(context.files.root)
    except InputError as fault:
        for problem in fault.problems:
            yield Place(problem.file), "schema", problem.message
        return
    checker = SchemaChecker(schemas)
    for path in all_files(context.files):
        if context.narrowed and path not in context.looked_at:
            continue
        name = context.files.name(path)
        kind = kind_of(context.files, path)
        if kind not in schemas:
            yield Place(name), name, f"there is no schema '{kind}' for this file"
            continue
        try:
            for problem in checker.file_faults(path, kind, name):
                yield Place(name, problem.line), name, problem.message
        except InputError:
            continue  # reported as unreadable


def hint_missing(context: LintContext) -> Found:
    """Find files whose first line does not point an editor at their schema."""
    for path, tree in context.trees.items():
        hint = editor_hint(context.files, path, kind_of(context.files, path))
        first = context.files.content(path).decode("utf-8", "replace").partition("\n")[0]
        if first.strip() != hint:
            yield Place(tree.file, 1), tree.file, f"the first line should be: {hint}"


def schema_stale(context: LintContext) -> Found:
    """Find published schemas that are not what the models and the vocabulary make."""
    if context.vocabulary is None:
        return
    folder = context.files.root / "schema" / VERSION
    for name, schema in file_schemas(context.vocabulary).items():
        path = folder / f"{name}.json"
        if not path.is_file() or path.read_text(encoding="utf-8") != schema_text(schema):
            yield (
                Place(context.files.name(path)),
                name,
                "is not current; run `deckclause rules schema --write`",
            )


def dangling_source(context: LintContext) -> Found:
    """Find source ids, in any file and at any depth, that sources.yaml does not list."""
    if context.vocabulary is None:
        return
    known = context.vocabulary.sources
    for tree in context.trees.values():
        for path, entry in walk_entries(tree.data):
            named = entry.get("sources")
            if not isinstance(named, list):
                continue
            for i, source in enumerate(named):
                if isinstance(source, str) and source not in known:
                    line = tree.line((*path, "sources", i))
                    yield Place(tree.file, line), source, f"there is no source '{source}'"


def unused_source(context: LintContext) -> Found:
    """Find sources that no file names."""
    if context.vocabulary is None or context.narrowed:
        return
    used: set[str] = set()
    for tree in context.trees.values():
        for _, entry in walk_entries(tree.data):
            if isinstance(entry.get("sources"), list):
                used.update(s for s in entry["sources"] if isinstance(s, str))
    path = context.files.vocabulary_paths()[2]
    own = context.trees.get(path)
    if own is None:
        return
    for source, definition in context.vocabulary.sources.items():
        listed = ("sources", source) in own.lines
        if listed and source not in used and definition.kind != READ_IN_BOOK:
            yield Place(own.file, own.line(("sources", source))), source, "no figure names it"


def missing_standing(context: LintContext) -> Found:
    """Find clauses and tables that do not say how well they are known."""
    for folder in ("editions", "guides", "reports"):
        for _, tree in context.named_trees(folder):
            data = tree.data if isinstance(tree.data, dict) else {}
            for line in lines(data):
                if not line.data.get("standing"):
                    place = Place(tree.file, tree.line(line.path))
                    yield place, str(line.data.get("key", "?")), "says no standing"
            for name, table in (data.get("tables") or {}).items():
                if isinstance(table, dict) and not table.get("standing"):
                    yield Place(tree.file, tree.line(("tables", name))), name, "says no standing"


def exception_standing(context: LintContext) -> Found:
    """Find exceptions of clauses better founded than memory that state no standing of their own."""
    for tree in context.trees.values():
        for path, entry in walk_entries(tree.data):
            standing = entry.get("standing")
            if standing in (None, "memory") or not isinstance(entry.get("unless"), list):
                continue
            for i, exception in enumerate(entry["unless"]):
                if isinstance(exception, dict) and not exception.get("standing"):
                    message = (
                        f"{entry.get('key', path[-1])}: the clause is {standing}, this exception "
                        "states no standing and counts as memory"
                    )
                    place = Place(tree.file, tree.line((*path, "unless", i)))
                    yield place, str(entry.get("key", path[-1])), message


def standing_unfounded(context: LintContext) -> Found:
    """Find figures called confirmed that name no published source."""
    placeholders = {"memory", "common-practice"}
    for tree in context.trees.values():
        for path, entry in walk_entries(tree.data):
            standing, named = entry.get("standing"), entry.get("sources")
            if standing != "confirmed" or not isinstance(named, list):
                continue
            if path and named and set(map(str, named)) <= placeholders:
                subject = str(entry.get("key") or entry.get("at") or path[-1])
                message = "is called confirmed, but names no published source"
                yield Place(tree.file, tree.line(path)), subject, message


def from_memory(context: LintContext) -> Found:
    """Count, for each book, the clauses whose figures are from memory."""
    for read in context.books:
        clauses = [c for c in read.ruleset.clauses if c.standing == "memory"]
        if clauses:
            total = len(read.ruleset.clauses)
            message = f"{len(clauses)} of {total} clauses are from memory, unverified"
            yield Place(clauses[0].origin.file), read.ruleset.name, message
