"""Progress of long commands, and what to say where an optional extra is not installed."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from deckclause.rulesets.problems import InputError


@contextmanager
def progress(
    total: int | None, unit: str, *, quiet: bool = False
) -> Iterator[Callable[[int], None]]:
    """Show a bar on the terminal's error stream; yield what to call with how many were done."""
    if quiet or not sys.stderr.isatty():
        yield lambda count: None
        return
    from importlib import import_module

    bar = import_module("tqdm").tqdm(total=total, unit=f" {unit}", file=sys.stderr, leave=False)

    def step(count: int) -> None:
        bar.update(count)

    try:
        yield step
    finally:
        bar.close()


@contextmanager
def needing_extra(name: str) -> Iterator[None]:
    """Turn a missing optional package into words on how to get it."""
    try:
        yield
    except ModuleNotFoundError as missing:
        if (missing.name or "").startswith("deckclause"):
            raise
        raise InputError.single(
            str(missing.name), f"is not installed; run: pip install 'deckclause[{name}]'"
        ) from None


def require_extra(name: str, module: str) -> None:
    """Raise InputError, with words on how to get it, where an optional package is not installed."""
    from importlib import import_module

    with needing_extra(name):
        import_module(module)
