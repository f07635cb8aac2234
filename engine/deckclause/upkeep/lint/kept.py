"""What lint found, kept by the content it follows from.

Nothing kept is needed: whatever is amiss, or has another form than expected, is found afresh. The
store (store/) gives back the very bytes that were kept, from this user's own files, or nothing.
"""

from __future__ import annotations

import os
import platform
from collections.abc import Callable, Iterator, Sequence
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

import deckclause
from deckclause.evaluate.cache import Cache
from deckclause.rulesets.files import RuleFiles, digest
from deckclause.upkeep.lint.finding import LintFinding

PACKAGE = Path(deckclause.__file__).parent
READ_WITH = ("jsonschema", "pydantic", "ruamel.yaml")
"""Packages whose answers a check repeats: another release of one may find something else."""

Findings = tuple[tuple[LintFinding, ...], tuple[LintFinding, ...]]
"""What is to be shown, and what was found besides."""


def kept_findings(
    cache: Cache, files: RuleFiles, asked: Sequence[str], find: Callable[[], Findings]
) -> Findings:
    """Return what was found of the same files by the same program for the same question, or find it.

    Every file a check can read counts, by name and content: the rules folder's, those of the shipped
    rules beneath it, the tests of a checkout, and this program's own. Where one cannot be read, or
    changed while lint ran, nothing is kept.
    """
    key = "" if cache.folder is None else _key(files, asked)
    if key:
        kept = cache.load(key)
        if _is_findings(kept):
            found: Findings = kept
            return found
    found = find()
    if key and key == _key(files, asked):
        cache.store(key, found)
    return found


def _is_findings(kept: object) -> bool:
    return (
        isinstance(kept, tuple)
        and len(kept) == 2
        and all(isinstance(part, tuple) for part in kept)
        and all(isinstance(f, LintFinding) for part in kept for f in part)
    )


def _key(files: RuleFiles, asked: Sequence[str]) -> str:
    """Return the key of a question, or nothing where not all that is read can be."""
    try:
        return f"lint-{digest(*_program(), *_all_read(files), '?', *asked)[:32]}"
    except OSError:
        return ""


def _program() -> Iterator[str | bytes]:
    """Yield what tells one state of the checks from another: their code, and what it reads with."""
    yield from (deckclause.__version__, platform.python_version())
    yield from (f"{name} {_release(name)}" for name in READ_WITH)
    yield from _contents(PACKAGE, (".py",))


def _release(name: str) -> str:
    try:
        return version(name)
    except PackageNotFoundError:
        return ""


def _all_read(files: RuleFiles) -> Iterator[str | bytes]:
    """Yield names and contents of all that lies in the folders a check looks into."""
    for root in (files.root, files.beneath):
        if root is not None:
            yield f"folder {root} at {root.absolute()}"  # findings name files by it
            yield from _contents(root, (".yaml", ".json"))
            yield from _contents(root.parent / "tests" / "oracle", (".py",))
            yield from _contents(root.parent / "tests" / "published", (".py",))


def _contents(folder: Path, endings: tuple[str, ...]) -> Iterator[str | bytes]:
    """Yield name and content of every file of these endings under a folder, in their order.

    Raises OSError for a file that cannot be read, and for a folder behind a link.
    """
    yield f"{folder.is_dir()}"
    for where, folders, names in os.walk(folder):
        folders.sort()
        if any(os.path.islink(os.path.join(where, name)) for name in folders):
            raise OSError("a folder behind a link is not gone through here")
        for name in sorted(names):
            if name.endswith(endings):
                path = os.path.join(where, name)
                with open(path, "rb") as stream:
                    yield path
                    yield stream.read()
