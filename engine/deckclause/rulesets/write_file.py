"""Write a file whole or not at all: beside its place, synced, then renamed into it.

Everything the product writes goes through here, so that no cut-off file ever stands under a name
somebody was told of: not on a full disk, not where the process is stopped half-way.
"""

from __future__ import annotations

import errno
import os
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from io import TextIOWrapper
from pathlib import Path
from typing import BinaryIO, TextIO

from deckclause.rulesets.problems import InputError, OutputError, Stopped

INSTALLED = frozenset({"site-packages", "dist-packages"})
"""Folders Python installs packages into."""
NO_ROOM = frozenset({errno.ENOSPC, errno.EDQUOT, errno.EFBIG, errno.EIO})
"""Faults of the disk, not of the name that was asked for."""
NO_LINKS = frozenset({errno.EPERM, errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOSYS, errno.EXDEV})
"""What a file system says that keeps only one name a file."""
NO_SYNC = frozenset({errno.EINVAL, errno.ENOTSUP, errno.EOPNOTSUPP, errno.EROFS, errno.EACCES})
LONGEST_SHOWN = 40
"""Letters of the name that the file beside it bears, so that a stray one can be told."""


def refuse_existing(path: Path | None) -> None:
    """Raise InputError where anything, a dangling link too, stands under the name already."""
    if path is not None and os.path.lexists(path):
        raise InputError.single(
            str(path), "is already there and is left as it is; name another, or move it away"
        )


def write_new(path: Path, content: str | bytes) -> None:
    """Write a new file. Raises InputError where one stands there, or it cannot be written."""
    with writing(path) as stream:
        stream.write(_encoded(content))


def write_whole(path: Path, content: str | bytes) -> None:
    """Put `content` at `path` in one step: a reader sees the old file or the new, never a part.

    A link is followed: the file it names is replaced, the link stays. Raises InputError where it
    cannot be written, or belongs to an installed package.
    """
    write_together({path: content})


def write_together(contents: Mapping[Path, str | bytes]) -> None:
    """Replace or write several files: none is touched before all are written out beside them.

    Raises InputError where one cannot be written.
    """
    ready: list[_Beside] = []
    with _stopping(), _dropping(ready):
        for path, content in contents.items():
            real = path.resolve()
            with _told(real):
                ready.append(_Beside(real, replace=True))
                ready[-1].stream.write(_encoded(content))
                ready[-1].finish()
        for beside in ready:
            with _told(beside.path):
                beside.put()


@contextmanager
def writing(path: Path, *, replace: bool = False) -> Iterator[BinaryIO]:
    """Open a file that will stand at `path` once the block is left, and never before.

    Where the block raises, nothing stands there that did not before. Raises InputError where a
    file is there (unless it is to be replaced) or it cannot be written.
    """
    if not replace:
        refuse_existing(path)
    with _stopping(), _told(path):
        beside = _Beside(path, replace=replace)
        try:
            yield beside.stream
            beside.finish()
            beside.put()
        finally:
            beside.drop()


@contextmanager
def writing_text(path: Path, *, replace: bool = False) -> Iterator[TextIO]:
    """As `writing`, for text in UTF-8 whose line ends are written as they are given."""
    with writing(path, replace=replace) as stream:
        text = TextIOWrapper(stream, encoding="utf-8", newline="")
        yield text
        text.flush()
        text.detach()


@contextmanager
def writing_folder(path: Path) -> Iterator[Path]:
    """Give a folder to fill; it stands at `path` once the block is left, and never before.

    Raises InputError where something is there already or it cannot be written.
    """
    refuse_existing(path)
    with _stopping(), _told(path):
        path.parent.mkdir(parents=True, exist_ok=True)
        beside = _name_beside(path)
        beside.mkdir()
        try:
            yield beside
            if hasattr(os, "sync"):
                os.sync()
            refuse_existing(path)
            beside.rename(path)
            _sync_folder(path.parent)
        except BaseException:
            import shutil

            shutil.rmtree(beside, ignore_errors=True)
            raise


class _Beside:
    """A file under a name of its own in the folder it is for, until it is put in its place."""

    def __init__(self, path: Path, *, replace: bool) -> None:
        _refuse_installed(path)
        self.path = path
        self.replace = replace
        self.name = _name_beside(path)
        handle = os.open(self.name, os.O_WRONLY | os.O_CREAT | os.O_EXCL | _BINARY, 0o666)
        self.stream: BinaryIO = os.fdopen(handle, "wb")

    def finish(self) -> None:
        """Bring all of it to the disk."""
        self.stream.flush()
        _sync(self.stream.fileno())
        if self.replace and self.path.exists():
            self.name.chmod(self.path.stat().st_mode & 0o7777)
        self.stream.close()

    def put(self) -> None:
        """Give it its name. Raises InputError where a new file's name was taken meanwhile."""
        if self.replace:
            self.name.replace(self.path)
        else:
            self._link()
        _sync_folder(self.path.parent)

    def _link(self) -> None:
        """Give it its name in a way that fails where the name is taken, as renaming does not."""
        try:
            os.link(self.name, self.path)
        except FileExistsError:
            refuse_existing(self.path)
            raise
        except OSError as fault:
            if fault.errno not in NO_LINKS:
                raise
            refuse_existing(self.path)
            self.name.rename(self.path)

    def drop(self) -> None:
        """Take away what was not put in its place."""
        with suppress(OSError):
            self.stream.close()
        with suppress(OSError):
            self.name.unlink()


_BINARY: int = getattr(os, "O_BINARY", 0)


def _name_beside(path: Path) -> Path:
    return path.with_name(f".{path.name[:LONGEST_SHOWN]}.{os.urandom(6).hex()}.part")


def _encoded(content: str | bytes) -> bytes:
    return content.encode() if isinstance(content, str) else content


def _refuse_installed(path: Path) -> None:
    if INSTALLED & set(path.resolve().parts):
        raise InputError.single(
            str(path),
            "belongs to the installed package, and the next install would lose it; nothing was "
            "written. Copy its rules folder and name the copy with --rules",
        )


@contextmanager
def _dropping(ready: list[_Beside]) -> Iterator[None]:
    """Take away, at the end, what was not put in its place."""
    try:
        yield
    finally:
        for beside in ready:
            beside.drop()


@contextmanager
def _stopping() -> Iterator[None]:
    """Let a process that is told to end take away first what it was writing: raise Stopped.

    A signal that somebody handles otherwise, or a thread that may not, is left alone.
    """
    import signal
    import threading

    numbers = [n for n in (signal.SIGTERM, getattr(signal, "SIGHUP", None)) if n is not None]
    if threading.current_thread() is not threading.main_thread():
        numbers = []
    ours = [n for n in numbers if signal.getsignal(n) is signal.SIG_DFL]

    def stop(number: int, _: object) -> None:
        raise Stopped(number)

    for number in ours:
        signal.signal(number, stop)
    try:
        yield
    finally:
        for number in ours:
            signal.signal(number, signal.SIG_DFL)


@contextmanager
def _told(path: Path) -> Iterator[None]:
    """Say in words what kept a file from being written. Other files' faults are left alone."""
    try:
        yield
    except OSError as fault:
        if fault.filename is not None and path.parent not in Path(fault.filename).parents:
            raise
        kind = OutputError if fault.errno in NO_ROOM else InputError
        words = fault.strerror or str(fault)
        raise kind.single(
            str(path), f"cannot be written ({words}); nothing was left under that name"
        ) from None


def _sync(handle: int) -> None:
    try:
        os.fsync(handle)
    except OSError as fault:
        if fault.errno not in NO_SYNC:
            raise


def _sync_folder(folder: Path) -> None:
    """Bring the new name itself to the disk, where folders can be synced."""
    if os.name != "posix":
        return
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
