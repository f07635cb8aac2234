"""Say on the terminal that a command is still at work, where its answer takes longer than a moment."""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import TextIO

FIRST, AGAIN = 2.0, 5.0
"""Seconds before it is said first, and between one time and the next."""
LONG = ("relief", "choose")
LONG_PARTS = {
    "request": ("build", "check", "review", "refresh"),
    "rules": ("lint", "coverage", "boundary-designs"),
    "amend": ("papers",),
}
"""Commands that may take long and ask nothing meanwhile; what counts its own work has a bar."""


def is_long(given: Sequence[str]) -> bool:
    """Tell whether a command line may keep its reader waiting.

    >>> is_long(["relief", "deck.yaml"]), is_long(["rules", "list"]), is_long(["request", "new"])
    (True, False, False)
    """
    command, part = (*given[:2], "", "")[:2]
    return command in LONG or part in LONG_PARTS.get(command, ())


@contextmanager
def waiting(
    given: Sequence[str],
    stream: TextIO | None = None,
    *,
    first: float = FIRST,
    again: float = AGAIN,
) -> Iterator[None]:
    """While a long command works, say on the error stream every few seconds that it does.

    Whole lines, so that nothing of the answer is ever overwritten; nothing where no person looks
    on (no terminal), so that a script's error stream stays empty.
    """
    out = sys.stderr if stream is None else stream
    if not (is_long(given) and out.isatty()):
        yield
        return
    from threading import Event, Thread

    done = Event()

    def say() -> None:
        gone, pause = first, first
        while not done.wait(pause):
            print(f"still working, {gone:.0f} s so far; Ctrl-C stops it", file=out, flush=True)
            pause = again
            gone += again

    teller = Thread(target=say, daemon=True)
    teller.start()
    try:
        yield
    finally:
        done.set()
        teller.join()
