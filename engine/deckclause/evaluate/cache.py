"""Keep what was compiled between runs, by content hash, in the user's cache folder.

Only this user's own folder is trusted: it must belong to the user and be closed to others.
Nothing here is needed for a right answer; without it the YAML is read again.
"""

from __future__ import annotations

import gc
import os
import pickle
import sys
from pathlib import Path
from typing import Any

import deckclause

ENVIRONMENT_NAME = "DECKCLAUSE_CACHE"
"""`off` keeps nothing; a path keeps it there."""
KEEP = 400
"""Files kept; those not used for longest go when there are more."""


def cache_folder() -> Path | None:
    """Return the cache folder, made if needed; None where there is none to be trusted."""
    named = os.environ.get(ENVIRONMENT_NAME, "")
    if named.lower() == "off":
        return None
    if named:
        base = Path(named)
    else:
        home = os.environ.get("XDG_CACHE_HOME") or os.path.join(os.path.expanduser("~"), ".cache")
        base = Path(home) / "deckclause"
    version = f"{deckclause.__version__}-{sys.version_info[0]}.{sys.version_info[1]}"
    folder = base / version
    try:
        if not folder.is_dir():
            folder.mkdir(mode=0o700, parents=True)
        state = folder.stat()
    except OSError:
        return None
    if hasattr(os, "getuid") and (state.st_uid != os.getuid() or state.st_mode & 0o022):
        return None
    return folder


class _Pickler(pickle.Pickler):
    """Keeps a record as its class and values: read back by one call, not field by field."""

    def reducer_override(self, value: Any) -> Any:
        """Return how to make `value` again; leave what is no record to the ordinary way."""
        names = getattr(type(value), "__match_args__", None)
        if names is None or not hasattr(type(value), "__dataclass_fields__"):
            return NotImplemented
        return type(value), tuple(getattr(value, name) for name in names)


class Cache:
    """Values by key, each in a file of its own; a damaged file counts as absent."""

    def __init__(self, folder: Path | None) -> None:
        self.folder = folder

    def load(self, key: str) -> Any:
        """Return the value kept under a key, or None."""
        if self.folder is None:
            return None
        collecting = gc.isenabled()
        gc.disable()  # what is read is kept: looking through it for garbage takes a quarter longer
        try:
            with open(self.folder / key, "rb") as stream:
                os.utime(stream.fileno())  # what is used stays; what is not goes first
                return pickle.load(stream)
        except FileNotFoundError:
            return None
        except Exception:  # a damaged or foreign file: read the YAML instead
            return None
        finally:
            if collecting:
                gc.enable()

    def store(self, key: str, value: Any) -> None:
        """Keep a value under a key; the file appears whole or not at all."""
        if self.folder is None:
            return
        import tempfile

        try:
            handle, name = tempfile.mkstemp(dir=self.folder)
            with os.fdopen(handle, "wb") as stream:
                _Pickler(stream, protocol=pickle.HIGHEST_PROTOCOL).dump(value)
            os.replace(name, self.folder / key)
            self._drop_oldest()
        except OSError:
            return

    def _drop_oldest(self) -> None:
        assert self.folder is not None
        entries = list(self.folder.iterdir())
        if len(entries) > KEEP:
            entries.sort(key=lambda entry: entry.stat().st_mtime)
            for entry in entries[: len(entries) - KEEP]:
                entry.unlink(missing_ok=True)
