"""A request as written, with everything the engine works out for it afresh."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from msgspec import Struct

from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.findings import Finding
from deckclause.rulesets.check import check_shape
from deckclause.rulesets.problems import InputError, Problem, suggestion
from deckclause.rulesets.read_file import read_bytes
from deckclause.rulesets.relief import Form, LocalSettings, ReliefKind, ReliefRules, read_relief
from deckclause.rulesets.translate_values import ValueTranslator
from deckclause.rulesets.yaml_tree import Tree, parse_tree
from deckclause.variance.case import ReliefCase, open_case
from deckclause.variance.changing import changed
from deckclause.variance.request.fields import ITEMS
from deckclause.variance.request.hints import stray_comments

FORMAT = "1"


class RequestItem(Struct, frozen=True):
    """One item: the applicant's words, and the failing finding it stands for (None if none does)."""

    number: int
    words: dict[str, Any]
    finding: Finding | None

    @property
    def clause(self) -> str:
        """The clause's key."""
        return str(self.words["clause"])


class Request(Struct, frozen=True):
    """A request read: kind, form and local settings from the rules, and the case as it stands now.

    `as_designed` is the design file's own case; `case` has the request's changes made. `strays`
    are comments that may cut an answer short.
    """

    file: str
    tree: Tree
    rules: ReliefRules
    kind: ReliefKind
    form: Form
    local: LocalSettings | None
    as_designed: ReliefCase
    case: ReliefCase
    items: tuple[RequestItem, ...]
    strays: tuple[Problem, ...] = ()

    def written(self, name: str, item: RequestItem | None = None) -> Any:
        """Return what the applicant wrote in a field; None or an empty list where nothing."""
        here: Any = self.tree.data
        if name.startswith(ITEMS):
            if item is None:
                raise KeyError(f"{name} is written once for each item; say which")
            here, name = item.words, name.removeprefix(ITEMS)
        for step in name.split("."):
            here = here.get(step) if isinstance(here, dict) else None
        return here.strip() or None if isinstance(here, str) else here

    def line(self, *path: str | int) -> int:
        """Return the line a part of the file stands on."""
        return self.tree.line(path)


def read_request(catalogue: Catalogue, path: Path) -> Request:
    """Read a request file and evaluate what it rests on. Raises InputError with every fault."""
    from deckclause.variance.request.model import RequestFile

    content = read_bytes(path)
    tree = parse_tree(content, str(path))
    rules = read_relief(catalogue.files, catalogue.vocabulary)
    if isinstance(tree.data, dict):
        _refuse_other_processes(tree, rules)
    check_shape(tree, RequestFile)
    data = tree.data
    kind = _named(tree, "kind", rules.kinds)
    form = _named(tree, "form", rules.forms)
    local = _named(tree, "local", rules.local) if data.get("local") else None
    design = catalogue.design(path.parent / data["design"])
    as_designed = open_case(catalogue, design, data["under"])
    case = _with_changes(catalogue, as_designed, tree)
    items = tuple(_item(i, words, case) for i, words in enumerate(data["items"], 1))
    strays = stray_comments(content.decode("utf-8-sig"), str(path))
    return Request(str(path), tree, rules, kind, form, local, as_designed, case, items, strays)


def _refuse_other_processes(tree: Tree, rules: ReliefRules) -> None:
    other = rules.other_process(str(tree.data.get("kind") or ""))
    if other is not None:
        line = tree.line(("kind",))
        raise InputError.single(tree.file, f"kind: {other.title}: {other.says}", line)


def _named(tree: Tree, field: str, known: dict[str, Any]) -> Any:
    name = str(tree.data[field])
    if name not in known:
        words = f"{field}: '{name}' is not known.{suggestion(name, known)}"
        raise InputError.single(tree.file, words, tree.line((field,)))
    return known[name]


def _with_changes(catalogue: Catalogue, case: ReliefCase, tree: Tree) -> ReliefCase:
    asked = tree.data.get("with_changes") or {}
    if not asked:
        return case
    vocabulary = catalogue.vocabulary
    translator = ValueTranslator(vocabulary, tree)
    problems: list[Problem] = []
    values: dict[str, Any] = {}
    for name, text in asked.items():
        path = ("with_changes", name)
        definition = vocabulary.quantities.get(name)
        if definition is None or definition.provided or definition.derived:
            near = suggestion(name, vocabulary.quantities)
            problems.append(
                Problem(tree.file, tree.line(path), f"'{name}' is not stated by a design.{near}")
            )
        else:
            values[name] = translator.scalar(text, definition, path)
    problems += translator.problems
    if problems:
        raise InputError(problems)
    design = changed(case.design.design, values, vocabulary)
    return ReliefCase(catalogue, case.rules, case.evaluator, case.evaluate(design))


def _item(number: int, words: dict[str, Any], case: ReliefCase) -> RequestItem:
    place = (words["clause"], words.get("part") or "")
    found = next((f for f in case.failing if (f.key, f.part) == place), None)
    return RequestItem(number, words, found)
