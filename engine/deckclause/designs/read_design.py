"""Read a design file against the vocabulary; every fault at once, with its line."""

from __future__ import annotations

import re
from pathlib import Path as FilePath
from typing import Any

from deckclause.designs.consistency.parts import consistency_faults
from deckclause.designs.design import Design, Facts, Part
from deckclause.designs.spellings import as_meant
from deckclause.rulesets.files import digest
from deckclause.rulesets.problems import InputError, Problem, suggestion
from deckclause.rulesets.read_file import read_bytes
from deckclause.rulesets.translate_values import Path, ValueTranslator
from deckclause.rulesets.vocabulary import QuantityDefinition, Vocabulary
from deckclause.rulesets.yaml_tree import Tree, parse_tree

NONE = ("none", "no")
"""What says that a deck has no such part: `stairs: none`."""
HIDDEN = re.compile(r":\s+#\s?\d")
HEAD = ("design", "name", "says", "invented")
FORMAT = "1"
MAX_PARTS = 200
"""More like parts than this in one design is not a deck a person described."""
MAX_MEASURE = 10_000_000
"""No measure of a deck is larger than this in inch-pound units; larger is a slip of the keys."""


def read_design(path: FilePath, vocabulary: Vocabulary) -> Design:
    """Read a design file. Raises InputError with every fault."""
    content = read_bytes(path)
    return design_of(content, str(path), vocabulary)


def design_of(content: bytes, file: str, vocabulary: Vocabulary) -> Design:
    """Read a design from the bytes of a file called `file`. Raises InputError with every fault."""
    tree = parse_tree(content, file)
    if not isinstance(tree.data, dict):
        raise InputError.single(file, "is not a design; `ledger: ...` and like lines are needed")
    reader = _DesignReader(vocabulary, tree, content.decode("utf-8", "replace").splitlines())
    design = reader.read(digest(content))
    if reader.values.problems:
        raise InputError(reader.values.problems)
    faults = consistency_faults(design)
    if faults:
        raise InputError(
            Problem(file, tree.line(_in_file(tree, f.path)), f.message) for f in faults
        )
    return design


def _in_file(tree: Tree, path: tuple[str | int, ...]) -> tuple[str | int, ...]:
    """Return where a part's value stands: an only part may be written without a list around it."""
    alone = len(path) > 1 and isinstance(tree.data.get(path[0]), dict)
    return (path[0], *path[2:]) if alone and isinstance(path[1], int) else path


def _all_blank(entry: Any) -> bool:
    """Tell a part whose keys stand there unanswered, as in a starting file: it is not stated."""
    return isinstance(entry, dict) and bool(entry) and all(v is None for v in entry.values())


class _DesignReader:
    def __init__(self, vocabulary: Vocabulary, tree: Tree, lines: list[str]) -> None:
        self.vocabulary = vocabulary
        self.tree = tree
        self.lines = lines
        self.values = ValueTranslator(vocabulary, tree)
        self.read_as: list[tuple[str, str, str]] = []

    def read(self, content_digest: str) -> Design:
        facts: Facts = {}
        parts: dict[str, tuple[Part, ...]] = {}
        data = self.tree.data
        if data.get("design") != FORMAT:
            self.values.fault(("design",), f"`design: {FORMAT}` is needed: the format of this file")
        for name, entry in data.items():
            if name in HEAD:
                if entry is not None and not isinstance(entry, str):
                    self.values.fault((name,), "words are needed here")
                continue
            group = self.vocabulary.groups.get(name)
            if group is None or name == "design":
                known = [*self.vocabulary.groups, *HEAD]
                self.values.fault(
                    (name,), f"'{name}' is not a part of a design.{suggestion(name, known)}"
                )
            elif group.many and _all_blank(entry) and not self._hides_any(name, entry):
                continue
            elif group.many:
                parts[name] = self._parts(name, entry)
            else:
                facts.update(self._facts(name, entry, (name,)))
        return Design(
            name=str(data.get("name") or FilePath(self.tree.file).stem),
            says=str(data.get("says") or ""),
            facts=facts,
            parts=parts,
            file=self.tree.file,
            digest=content_digest,
            read_as=tuple(dict.fromkeys(self.read_as)),
            invented=str(data.get("invented")).lower() in ("yes", "true"),
        )

    def _parts(self, group: str, entry: Any) -> tuple[Part, ...]:
        if isinstance(entry, str) and entry.strip().lower() in NONE:
            return ()
        entries = entry if isinstance(entry, list) else [entry]
        if entry is None or len(entries) > MAX_PARTS:
            self.values.fault((group,), f"{group}: one to {MAX_PARTS} are needed, or `none`")
            return ()
        parts = []
        names: set[str] = set()
        for i, data in enumerate(entries):
            path: Path = (group, i) if isinstance(entry, list) else (group,)
            name = ""
            values = data
            if isinstance(data, dict) and "name" in data:
                name = str(data["name"])
                values = {k: v for k, v in data.items() if k != "name"}
            if len(entries) > 1 and (not name or name in names):
                self.values.fault(path, f"each of several {group} needs a `name` of its own")
            names.add(name)
            parts.append(Part(name, self._facts(group, values, path)))
        return tuple(parts)

    def _facts(self, group: str, data: Any, path: Path) -> Facts:
        facts: Facts = {}
        if data is None:
            return facts
        if not isinstance(data, dict):
            self.values.fault(path, f"{group}: `name: value` lines are needed")
            return facts
        for key, text in data.items():
            name = f"{group}.{key}"
            here = (*path, key)
            definition = self.vocabulary.quantities.get(name)
            if definition is None:
                known = [
                    q.split(".", 1)[1]
                    for q in self.vocabulary.quantities
                    if q.startswith(f"{group}.")
                ]
                owners = self._owners(key)
                hint = f" It belongs to {owners}." if owners else suggestion(key, known)
                self.values.fault(here, f"'{key}' is not a known key of {group}.{hint}")
            elif definition.provided or definition.derived:
                self.values.fault(
                    here, f"{name} is worked out by the rules or from other values; leave it out"
                )
            elif text is not None and text != "?":
                self._state(facts, definition, text, here)
            elif text is None and self._hidden(here):
                self.values.fault(
                    here,
                    f"{name}: a # begins a comment, so nothing is stated here. Write '#2' in quotes, or "
                    "No. 2",
                )
        return facts

    def _hidden(self, path: Path) -> bool:
        """Tell a value that the file takes for a comment: `grade: #2`."""
        line = self.tree.line(path)
        return bool(HIDDEN.search(self.lines[line - 1])) if 0 < line <= len(self.lines) else False

    def _hides_any(self, name: str, entry: dict[str, Any]) -> bool:
        return any(self._hidden((name, key)) for key in entry)

    def _owners(self, key: str) -> str:
        """Name the parts of a design that have a key."""
        quantities = [q.partition(".") for q in self.vocabulary.quantities]
        return " or ".join(f"`{group}:`" for group, _, name in quantities if name == key)

    def _state(self, facts: Facts, definition: QuantityDefinition, text: Any, path: Path) -> None:
        before = len(self.values.problems)
        if isinstance(text, str):
            meant = as_meant(text, definition)
            if meant != text:
                self.read_as.append((definition.name, text, meant))
            text = meant
        if definition.kind in ("text", "date") or isinstance(text, str):
            value = self.values.scalar(text, definition, path)
        else:
            self.values.fault(path, f"{definition.name}: one value is needed")
            return
        if len(self.values.problems) > before:
            return
        if not isinstance(value, str | bool):
            if value < 0 and not definition.signed:
                self.values.fault(path, f"{definition.name}: {text} is negative; it cannot be")
                return
            if abs(value) > MAX_MEASURE:
                self.values.fault(path, f"{definition.name}: {text} is more than any deck has")
                return
            if definition.kind == "count" and value.denominator != 1:
                self.values.fault(path, f"{definition.name}: {text} is not a whole number")
                return
        facts[definition.name] = value
