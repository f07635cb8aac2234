"""Read a file that somebody named: never more than it may hold, and never for ever."""

from __future__ import annotations

import os
import stat
from pathlib import Path

from deckclause.rulesets.problems import InputError

MAX_BYTES = 4_000_000
"""Largest file read: the longest shipped rule set is far below a tenth of this."""
PATIENCE = 30.0
"""Seconds a pipe may be silent."""
PIECE = 1 << 16


def read_bytes(path: Path, patience: float = PATIENCE) -> bytes:
    """Read a file, or a pipe to its end, refusing missing, huge and endless ones with InputError."""
    name = str(path)
    try:
        handle = os.open(path, os.O_RDONLY | _UNBLOCKED)
    except FileNotFoundError:
        raise InputError.single(name, "there is no such file") from None
    except OSError as fault:
        if path.is_dir():  # where folders cannot be opened at all
            raise InputError.single(name, "is a folder; a file is needed") from None
        raise InputError.single(name, f"cannot be read ({fault.strerror})") from None
    try:
        state = os.fstat(handle)
        if stat.S_ISDIR(state.st_mode):
            raise InputError.single(name, "is a folder; a file is needed")
        if stat.S_ISREG(state.st_mode):
            return _all_of(handle, name, state.st_size)
        if stat.S_ISFIFO(state.st_mode):
            return _from_pipe(handle, name, patience)
        raise InputError.single(name, "is a device; a file is needed")
    except OSError as fault:
        raise InputError.single(name, f"cannot be read ({fault.strerror})") from None
    finally:
        os.close(handle)


_UNBLOCKED: int = getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
"""Opening a pipe nobody writes to must not wait for ever."""


def _all_of(handle: int, name: str, size: int) -> bytes:
    if size > MAX_BYTES:
        raise InputError.single(
            name, f"is {size:,} bytes; no file of this kind is over {MAX_BYTES:,}"
        )
    pieces = []
    left = MAX_BYTES + 1
    while left and (piece := os.read(handle, min(left, max(size, PIECE)))):
        pieces.append(piece)
        left -= len(piece)
    if not left:
        raise InputError.single(name, f"is over {MAX_BYTES:,} bytes; no file of this kind is")
    return b"".join(pieces)


def _from_pipe(handle: int, name: str, patience: float) -> bytes:
    """Read a pipe until its writer closes it."""
    import select

    pieces: list[bytes] = []
    total = 0
    while select.select([handle], [], [], patience)[0]:
        piece = os.read(handle, PIECE)
        if not piece:
            return b"".join(pieces)
        pieces.append(piece)
        total += len(piece)
        if total > MAX_BYTES:
            raise InputError.single(name, f"is over {MAX_BYTES:,} bytes; no file of this kind is")
    raise InputError.single(
        name, f"is a pipe, and nothing came out of it for {patience:g} seconds; write to it first"
    )
