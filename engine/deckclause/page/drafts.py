"""What is being worked on, kept beside each design as it is typed, until it is saved and after.

A draft is a file of its own, `.NAME.draft`, so that a design is never changed before its owner
saves it. It holds the design as it stands in the form, what it is held against and the steps that
can be undone: a reload, or a page started again, takes up where one was.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

from msgspec import Struct
from pydantic import ValidationError

from deckclause.page.folder import SUFFIXES, AlreadyThere, Folder
from deckclause.page.typed import ToKeep
from deckclause.rulesets.files import digest
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.write_file import write_whole

ENDING = ".draft"
MAX_DRAFT_BYTES = 4_000_000
MAX_LISTED = 50


class Draft(Struct, frozen=True):
    """A draft as it was kept; `digest` tells its content from any other."""

    kept: ToKeep
    digest: str


class Drafts:
    """The drafts of one folder."""

    def __init__(self, folder: Folder) -> None:
        self.folder = folder

    def keep(self, asked: ToKeep) -> str:
        """Write a draft; return its digest, to be named as `replacing` by whoever writes the next.

        Raises AlreadyThere where another than that stands there: the design is open in a second
        tab, or was worked on since. Raises InputError where it cannot be written.
        """
        path = self._path(asked.file)
        content = asked.model_copy(update={"replacing": ""}).model_dump_json()
        with self.folder.one_writer:
            if os.path.lexists(path):
                there = digest(self._read(asked.file))
                if there != asked.replacing:
                    raise AlreadyThere(asked.file, there)
            write_whole(path, content)
        return digest(content.encode())

    def of(self, name: str) -> Draft | None:
        """Return the draft of a design; None where there is none that can be read."""
        try:
            content = self._read(name)
            return Draft(ToKeep.model_validate_json(content), digest(content))
        except (InputError, ValidationError):
            return None

    def names(self) -> tuple[str, ...]:
        """Return the names of the designs that have a draft, the one worked on last first."""
        return tuple(name for _, name in sorted(self._found(), reverse=True)[:MAX_LISTED])

    def drop(self, name: str, known: str) -> None:
        """Take away the draft whose digest is `known`; another one that stands there stays."""
        with self.folder.one_writer, suppress(OSError, InputError):
            if digest(self._read(name)) == known:
                self._path(name).unlink()

    def _found(self) -> Iterator[tuple[float, str]]:
        for entry in os.scandir(self.folder.root):
            name = entry.name.removeprefix(".").removesuffix(ENDING)
            if entry.name != f".{name}{ENDING}" or not name.endswith(SUFFIXES):
                continue
            if entry.is_file(follow_symlinks=False):
                yield entry.stat(follow_symlinks=False).st_mtime, name

    def _path(self, name: str) -> Path:
        """Return where a design's draft stands. Raises InputError for a name that leads away."""
        path = self.folder.path(name)
        beside = path.with_name(f".{path.name}{ENDING}")
        if beside.is_symlink():
            raise InputError.single(beside.name, "is a link; links are not followed")
        return beside

    def _read(self, name: str) -> bytes:
        try:
            with open(self.folder.opened(self._path(name)), "rb") as stream:
                content = stream.read(MAX_DRAFT_BYTES + 1)
        except OSError as fault:
            raise InputError.single(name, f"has no draft ({fault.strerror})") from None
        if len(content) > MAX_DRAFT_BYTES:
            raise InputError.single(name, f"has a draft of over {MAX_DRAFT_BYTES:,} bytes")
        return content
