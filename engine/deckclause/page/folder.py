"""The one folder the page may read designs from and write them to; no path leads out of it."""

from __future__ import annotations

import os
import re
import stat
from collections.abc import Iterator
from pathlib import Path
from threading import Lock

from deckclause.rulesets.files import digest
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.write_file import write_new, write_whole

SUFFIXES = (".yaml", ".yml")
MAX_NAME = 100
MAX_DESIGN_BYTES = 1_000_000
MAX_LISTED = 500
_HEAD = 4096
"""A design says that it is one in its first lines."""
_IS_DESIGN = re.compile(rb"^design:", re.MULTILINE)
_FORBIDDEN = re.compile(r'[\\/:*?"<>|\x00-\x1f\x7f]')


class AlreadyThere(Exception):
    """A file of the name stands in the folder; `digest` tells its content from any other.

    `kept` is whether the comments of the file opened would be in what replaces it.
    """

    def __init__(self, name: str, content_digest: str) -> None:
        super().__init__(name)
        self.name = name
        self.digest = content_digest
        self.kept = True


class Folder:
    """The designs directly in one folder; links are not followed."""

    def __init__(self, root: Path) -> None:
        self.root = root.resolve()
        self.one_writer = Lock()
        """Held from looking at what stands under a name until another stands there."""

    def names(self) -> tuple[str, ...]:
        """Return the names of the designs in the folder, sorted."""
        return tuple(sorted(self._designs(), key=str.casefold)[:MAX_LISTED])

    def _designs(self) -> Iterator[str]:
        for entry in os.scandir(self.root):
            if not entry.name.endswith(SUFFIXES) or entry.name.startswith("."):
                continue
            if not entry.is_file(follow_symlinks=False):
                continue
            try:
                with open(self.opened(self.path(entry.name)), "rb") as stream:
                    if _IS_DESIGN.search(stream.read(_HEAD)):
                        yield entry.name
            except (OSError, InputError):
                continue

    def read(self, name: str) -> bytes:
        """Return a design's bytes. Raises InputError for what is none, or not in the folder."""
        try:
            with open(self.opened(self.path(name)), "rb") as stream:
                content = stream.read(MAX_DESIGN_BYTES + 1)
        except FileNotFoundError:
            raise InputError.single(name, "there is no such file in this folder") from None
        except OSError as fault:
            raise InputError.single(name, f"cannot be read ({fault.strerror})") from None
        if len(content) > MAX_DESIGN_BYTES:
            raise InputError.single(name, f"is over {MAX_DESIGN_BYTES:,} bytes; no design is")
        return content

    def save(self, name: str, text: str, replacing: str = "") -> None:
        """Write a design.

        Where the file stands already, `replacing` must be the digest of what stands there: the
        person was asked about that very content. Raises AlreadyThere otherwise, InputError where
        the name is not one for a design or the folder cannot be written.
        """
        path = self.path(name)
        with self.one_writer:
            if os.path.lexists(path):
                there = digest(self.read(name))
                if there != replacing:
                    raise AlreadyThere(name, there)
                write_whole(path, text)
                return
            try:
                write_new(path, text)
            except InputError:
                if os.path.lexists(path):  # another came first
                    raise AlreadyThere(name, digest(self.read(name))) from None
                raise

    def free_name(self, stem: str) -> str:
        """Return a name for a new design under which nothing stands, nor a draft of one."""
        for number in range(1, MAX_LISTED):
            name = f"{stem}{f'-{number}' if number > 1 else ''}.yaml"
            beside = (self.root / name, self.root / f".{name}.draft")
            if not any(map(os.path.lexists, beside)):
                return name
        return f"{stem}.yaml"

    def path(self, name: str) -> Path:
        """Return where a design of this name stands. Raises InputError for a name that leads away."""
        if not name.endswith(SUFFIXES):
            raise InputError.single(name or "the file", "a name ending in .yaml is needed")
        if _FORBIDDEN.search(name) or name.startswith((".", "-", " ")) or not name.isprintable():
            raise InputError.single(
                name, "is not a plain file name; letters, digits, spaces, - and _ are"
            )
        if len(name.encode(errors="replace")) > MAX_NAME:
            raise InputError.single(f"{name[:20]}...", f"is longer than {MAX_NAME} bytes")
        path = self.root / name
        if path.is_symlink():
            raise InputError.single(name, "is a link; links are not followed")
        if path.resolve().parent != self.root or not path.resolve().is_relative_to(self.root):
            raise InputError.single(name, "is not in the folder the page was started in")
        return path

    def opened(self, path: Path) -> int:
        """Open a file of the folder itself, never what a link points to, and only a plain file.

        `path` is one that `path()` gave, or a name beside it. Raises OSError or InputError.
        """
        flags = os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)
        handle = os.open(path, flags)
        if not stat.S_ISREG(os.fstat(handle).st_mode):
            os.close(handle)
            raise InputError.single(path.name, "is not a plain file")
        return handle
