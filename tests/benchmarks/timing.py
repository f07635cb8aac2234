"""Times of the processor, the best of several runs: what else the machine does counts little."""

from __future__ import annotations

import os
import resource
import subprocess
from collections.abc import Callable, Sequence
from time import process_time

ANSWERED = (0, 1, 3)
"""Exit statuses of a command that gave its answer, good or bad."""


def best_of(runs: int, work: Callable[[], object]) -> float:
    """Return the least processor time of some runs (seconds)."""
    times = []
    for _ in range(runs):
        start = process_time()
        work()
        times.append(process_time() - start)
    return min(times)


def best_command(runs: int, command: Sequence[str]) -> float:
    """Return the least processor time a command takes, children and all (seconds).

    Python may keep its byte code, as it does for anyone who runs a command twice.
    """
    keeping = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    times = []
    for _ in range(runs):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        done = subprocess.run(
            command,
            check=False,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            env=keeping,
        )
        if done.returncode not in ANSWERED:
            raise RuntimeError(f"{command} ended with {done.returncode}: nothing to time")
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        times.append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
    return min(times)
