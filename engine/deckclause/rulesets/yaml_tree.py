"""Read YAML into plain data with the line of every entry; refuse what could harm or mislead.

Every scalar stays text: what it means is decided by the vocabulary, not by how it looks
(`no`, `2024-05-01` and `1_500` are never guessed at).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from msgspec import Struct

from deckclause.rulesets.problems import InputError, Problem
from deckclause.rulesets.read_file import MAX_BYTES

MAX_DEPTH = 40
MAX_NODES = 400_000

ODD_NAMES: dict[str, str] = {
    "\x85": "a next-line character",
    "\u2028": "a line separator",
    "\u2029": "a paragraph separator",
}
ODD_LINE_END = re.compile(f"[{''.join(ODD_NAMES)}]")
LINE_END = re.compile("\r\n|\r|\n")

Path_ = tuple[str | int, ...]
Plain = Any
"""A nest of dict, list, str and None."""


class Tree(Struct, frozen=True):
    """Plain data and, for each path in it, the line it stands on (from 1)."""

    file: str
    data: Plain
    lines: dict[Path_, int]

    def line(self, path: Path_) -> int:
        """Return the line of `path`, or of its nearest parent that has one."""
        while path and path not in self.lines:
            path = path[:-1]
        return self.lines.get(path, 1)


def parse_tree(content: bytes, file: str) -> Tree:
    """Parse YAML text into a Tree. Raises InputError with every duplicate key, or the first fault.

    >>> parse_tree(b"ledger: {size: 2x10}", "d.yaml").data
    {'ledger': {'size': '2x10'}}
    """
    if len(content) > MAX_BYTES:
        raise InputError.single(file, f"is over {MAX_BYTES:,} bytes; no file of this kind is")
    text = _decoded(content, file)
    builder = _Builder(file)
    _drive(builder, text)
    if builder.problems:
        raise InputError(builder.problems)
    return Tree(file, builder.root, builder.lines)


def _decoded(content: bytes, file: str) -> str:
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise InputError.single(file, "is not text (UTF-8); YAML text is needed") from None
    if "\x00" in text:
        raise InputError.single(file, "holds binary data; YAML text is needed")
    odd = ODD_LINE_END.search(text)
    if odd:
        line = len(LINE_END.findall(text, 0, odd.start())) + 1
        raise InputError.single(
            file,
            f"holds {ODD_NAMES[odd[0]]} (U+{ord(odd[0]):04X}), which some programs take for the end "
            "of a line and others do not; put an ordinary line end or a blank there",
            line,
        )
    return text


def _events(text: str) -> Iterator[Any]:
    from ruamel.yaml import YAML

    yaml = YAML(typ="safe", pure=False)
    yield from yaml.parse(text)


CURES: dict[str, str] = {
    "mapping values are not allowed": (
        "; text that holds a colon must stand in quotation marks (or the line above lacks its colon)"
    ),
    "did not find expected key": (
        "; a line hereabouts is indented otherwise than its neighbours, or the heading it belongs "
        "to (such as `site:`) is missing or still behind a #"
    ),
    "could not find expected ':'": "; the line above, or this one, lacks its colon",
    "found a tab character": "; indent with blanks, never with tabs",
    "cannot start any token": "; take out tabs, and put text that begins with a sign in quotation marks",
}
"""By part of what the YAML reader says: what a person most likely has to do."""


def _drive(builder: _Builder, text: str) -> None:
    from ruamel.yaml.error import MarkedYAMLError, YAMLError

    try:
        for event in _events(text):
            builder.take(event)
    except MarkedYAMLError as fault:
        mark = fault.problem_mark or fault.context_mark
        line = mark.line + 1 if mark else 0
        words = (fault.problem or "cannot be read as YAML").strip()
        likely = next((cure for part, cure in CURES.items() if part in words), "")
        raise InputError.single(builder.file, f"is not valid YAML: {words}{likely}", line) from None
    except (YAMLError, ValueError, RecursionError) as fault:
        words = str(fault).strip().splitlines()[0] if str(fault).strip() else "cannot be read"
        raise InputError.single(builder.file, f"is not valid YAML: {words}") from None


class _Builder:
    """Builds plain data from parser events, one open container a level."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.root: Plain = None
        self.lines: dict[Path_, int] = {}
        self.problems: list[Problem] = []
        self._open: list[tuple[Plain, Path_]] = []
        self._keys: list[str | None] = []
        self._nodes = 0
        self._documents = 0

    def take(self, event: Any) -> None:
        kind = type(event).__name__
        line = event.start_mark.line + 1
        if kind == "ScalarEvent":
            self._scalar(event, line)
        elif kind in ("MappingStartEvent", "SequenceStartEvent"):
            self._start({} if kind[0] == "M" else [], event, line)
        elif kind in ("MappingEndEvent", "SequenceEndEvent"):
            self._open.pop()
            self._keys.pop()
        elif kind == "AliasEvent":
            raise InputError.single(
                self.file, "anchors and aliases (& and *) are not used here; write it out", line
            )
        elif kind == "DocumentStartEvent":
            self._documents += 1
            if self._documents > 1:
                raise InputError.single(self.file, "holds more than one YAML document", line)

    def _scalar(self, event: Any, line: int) -> None:
        if event.anchor is not None or event.tag not in (None, "!"):
            raise InputError.single(self.file, "anchors and tags (& and !) are not used here", line)
        if self._open and isinstance(self._open[-1][0], dict) and self._keys[-1] is None:
            self._key(event.value, line)
            return
        value = event.value
        plain = event.style in (None, "")
        self._place(None if plain and value in ("", "~", "null") else value, line)

    def _key(self, key: str, line: int) -> None:
        container, path = self._open[-1]
        if key in container:
            first = self.lines.get((*path, key), 0)
            self.problems.append(
                Problem(self.file, line, f"'{key}' stands twice (first on line {first}); keep one")
            )
        self._keys[-1] = key
        self.lines.setdefault((*path, key), line)

    def _start(self, container: Plain, event: Any, line: int) -> None:
        if event.anchor is not None or event.tag not in (None, "!"):
            raise InputError.single(self.file, "anchors and tags (& and !) are not used here", line)
        if len(self._open) >= MAX_DEPTH:
            raise InputError.single(self.file, f"is nested more than {MAX_DEPTH} deep", line)
        if self._open and isinstance(self._open[-1][0], dict) and self._keys[-1] is None:
            raise InputError.single(self.file, "a key must be a word, not a list or mapping", line)
        path = self._place(container, line)
        self._open.append((container, path))
        self._keys.append(None)

    def _place(self, value: Plain, line: int) -> Path_:
        self._nodes += 1
        if self._nodes > MAX_NODES:
            raise InputError.single(self.file, f"has more than {MAX_NODES:,} entries", line)
        if not self._open:
            self.root = value
            return ()
        container, path = self._open[-1]
        if isinstance(container, dict):
            key = self._keys[-1]
            assert key is not None
            container[key] = value
            self._keys[-1] = None
            return (*path, key)
        container.append(value)
        here = (*path, len(container) - 1)
        self.lines[here] = line
        return here
