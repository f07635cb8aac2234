"""Bytes kept by key, each in a file of its own under a digest; anything amiss counts as absent.

Nothing kept is needed for a right answer: without it the YAML is read again.
"""

from __future__ import annotations

import os
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from deckclause.store.trusted import HAS_OWNERS, trusted_file, trusted_folder

MARK = b"deckclause kept 1\n"
DIGEST = 32
"""Bytes of a sha256."""
MOST_BYTES = 1 << 30
"""Kept in all; what was not used for longest goes first, never what this run used."""
UNSEEN_FOR = 3600.0
"""Seconds after which a use is noted again: noting each costs a write."""
OLD_PART = 24 * 3600.0
"""Seconds after which a file half written is one of a process that was killed."""


class KeptFiles:
    """Bytes by key in one folder. `most` is how many bytes may be kept in all."""

    def __init__(self, folder: Path | None, most: int = MOST_BYTES) -> None:
        self.folder = None if folder is None else Path(os.path.abspath(folder))
        self.most = most
        self._used: set[str] = set()
        self._total: int | None = None

    def load(self, key: str) -> bytes | None:
        """Return what was kept under a key, the very bytes, or None."""
        with self._opened() as folder:
            if folder is None:
                return None
            try:
                content = _read(self._at(key, folder), folder)
            except OSError:
                return None
        if content is None or not content.startswith(MARK):
            return None
        told, kept = content[len(MARK) : len(MARK) + DIGEST], content[len(MARK) + DIGEST :]
        if told != _digest(key, kept):
            return None
        self._used.add(key)
        return kept

    def keep(self, key: str, content: bytes) -> None:
        """Keep bytes under a key; the file appears whole or not at all.

        They are not kept where the run alone uses more than may be kept.
        """
        with self._opened() as folder:
            if folder is None:
                return
            whole = MARK + _digest(key, content) + content
            self._used.add(key)
            with suppress(OSError):
                if self._has_room(len(whole), folder):
                    self._write(key, whole, folder)

    def _write(self, key: str, whole: bytes, folder: int) -> None:
        beside = f".{os.urandom(8).hex()}.part"
        flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
        where = _within(folder)
        handle = os.open(self._at(beside, folder), flags, 0o600, dir_fd=where)
        try:
            with os.fdopen(handle, "wb") as stream:
                stream.write(whole)
            os.replace(
                self._at(beside, folder), self._at(key, folder), src_dir_fd=where, dst_dir_fd=where
            )
        except BaseException:
            with suppress(OSError):
                os.unlink(self._at(beside, folder), dir_fd=where)
            raise
        self._total = (self._total or 0) + len(whole)

    def _has_room(self, wanted: int, folder: int) -> bool:
        """Make room for so many bytes; False where what this run uses leaves none."""
        if self._total is None or self._total + wanted > self.most:
            self._total = self._sweep(self.most - wanted, folder)
        return self._total + wanted <= self.most

    def _sweep(self, most: int, folder: int) -> int:
        """Drop what was not used for longest until `most` bytes are left; return how many are."""
        assert self.folder is not None
        found: list[tuple[float, int, str]] = []
        now = time.time()
        for entry in os.scandir(folder if HAS_OWNERS else self.folder):
            state = entry.stat(follow_symlinks=False)
            stray = entry.name.endswith(".part")
            if stray and now - state.st_mtime < OLD_PART:
                continue
            found.append((0.0 if stray else state.st_mtime, state.st_size, entry.name))
        total = sum(size for _, size, _ in found)
        for used, size, name in sorted(found):
            if used and (total <= most or name in self._used):
                continue
            with suppress(OSError):
                os.unlink(self._at(name, folder), dir_fd=_within(folder))
                total -= size
        return total

    @contextmanager
    def _opened(self) -> Iterator[int | None]:
        """Give the folder, open, once it was looked at; None where there is none to be trusted.

        What is read and written is named from the open folder: another put in its place is none.
        """
        if self.folder is None or not trusted_folder(self.folder):
            yield None
            return
        if not HAS_OWNERS:
            yield -1
            return
        try:
            handle = os.open(self.folder, os.O_RDONLY | os.O_DIRECTORY | os.O_NOFOLLOW)
        except OSError:
            yield None
            return
        try:
            same = os.path.samestat(os.fstat(handle), os.lstat(self.folder))
            yield handle if same else None
        finally:
            os.close(handle)

    def _at(self, name: str, folder: int) -> str:
        return name if folder >= 0 else os.path.join(str(self.folder), name)


def _within(folder: int) -> int | None:
    return folder if folder >= 0 else None


def _read(name: str, folder: int) -> bytes | None:
    flags = os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)
    handle = os.open(name, flags | getattr(os, "O_BINARY", 0), dir_fd=_within(folder))
    with os.fdopen(handle, "rb") as stream:
        state = os.fstat(handle)
        if not trusted_file(state):
            return None
        content = stream.read()
        if time.time() - state.st_mtime > UNSEEN_FOR:
            with suppress(OSError):
                os.utime(handle)  # what is used stays; what is not goes first
        return content


def _digest(key: str, content: bytes) -> bytes:
    """Return the digest over key and content, so that no file answers under another's name."""
    from hashlib import sha256

    total = sha256(len(key).to_bytes(8, "big"))
    total.update(key.encode())
    total.update(content)
    return total.digest()
