"""Keep what was read and compiled between runs, by content hash, in the user's cache folder.

The store (store/) gives back the very bytes that were kept or nothing, and only from files no
other user can have written. What they hold is made again from a list of this program's own records
and plain values: no other class or function is ever called.
"""

from __future__ import annotations

import gc
import io
import os
import pickle
import sys
from pathlib import Path
from typing import Any

from msgspec import Struct

import deckclause
from deckclause.store.kept import KeptFiles
from deckclause.store.trusted import trusted_folder

ENVIRONMENT_NAME = "DECKCLAUSE_CACHE"
"""`off` keeps nothing; a path keeps it there."""
PLAIN = frozenset({("fractions", "Fraction"), ("datetime", "date"), ("builtins", "frozenset")})
"""What may be made besides records of this program."""


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
    folder = (
        Path(os.path.abspath(base)) / f"{deckclause.__version__}-{sys.implementation.cache_tag}"
    )
    try:
        if not folder.is_dir():
            base.mkdir(mode=0o755, parents=True, exist_ok=True)
            folder.mkdir(mode=0o700, exist_ok=True)
    except OSError:
        return None
    return folder if trusted_folder(folder) else None


class _Pickler(pickle.Pickler):
    """Keeps a record as its class and values: read back by one call, not field by field."""

    def reducer_override(self, value: Any) -> Any:
        """Return how to make `value` again; leave what is no record to the ordinary way."""
        names = getattr(type(value), "__match_args__", None)
        if names is None or not _is_record(type(value)):
            return NotImplemented
        return type(value), tuple(getattr(value, name) for name in names)


class _Unpickler(pickle.Unpickler):
    """Makes records of this program and plain values, and nothing else."""

    def find_class(self, module: str, name: str) -> Any:
        """Return a class that may be made again. Raises UnpicklingError for any other name."""
        if (module, name) in PLAIN:
            return super().find_class(module, name)
        if module.startswith("deckclause.") and "." not in name:
            found = super().find_class(module, name)
            if isinstance(found, type) and found.__module__ == module and _may_be_made(found):
                return found
            if type(found).__module__ == module and not callable(found):  # a value there is one of
                return found
        raise pickle.UnpicklingError(f"{module}.{name} is nothing that is kept")


def _is_record(kind: type) -> bool:
    return issubclass(kind, Struct)


def _may_be_made(kind: type) -> bool:
    from enum import Enum

    named_tuple = issubclass(kind, tuple) and hasattr(kind, "_fields")
    return _is_record(kind) or named_tuple or issubclass(kind, Enum)


class Cache:
    """Values by key, each in a file of its own; a damaged or foreign file counts as absent."""

    def __init__(self, folder: Path | None) -> None:
        self.folder = folder
        self.files = KeptFiles(folder)

    def load(self, key: str) -> Any:
        """Return the value kept under a key, or None."""
        content = self.files.load(key)
        if content is None:
            return None
        collecting = gc.isenabled()
        gc.disable()  # what is read is kept: looking through it for garbage takes a quarter longer
        try:
            return _Unpickler(io.BytesIO(content)).load()
        except Exception:  # what another state of the program kept: read the YAML instead
            return None
        finally:
            if collecting:
                gc.enable()

    def store(self, key: str, value: Any) -> None:
        """Keep a value under a key."""
        if self.folder is None:
            return
        content = io.BytesIO()
        _Pickler(content, protocol=pickle.HIGHEST_PROTOCOL).dump(value)
        self.files.keep(key, content.getvalue())
