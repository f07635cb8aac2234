"""Work the chunks of an impact out in several processes of this machine, in order, a few at a time."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from multiprocessing import get_context

from deckclause.impact.chunk import ImpactJob, run_chunk
from deckclause.impact.rows import Read
from deckclause.rulesets.problems import InputError

OPTION = "--workers"
AHEAD = 2
"""Chunks given to each process before the first is waited for."""

_job: list[ImpactJob] = []
"""In a worker: the job it was begun with."""


def on_workers(job: ImpactJob, chunks: Iterable[Read], count: int) -> Iterator[tuple[Read, bytes]]:
    """Work chunks out in `count` processes; each result is the one this process would give.

    Raises InputError where a process is lost, as when memory runs out.
    """
    pool = ProcessPoolExecutor(
        count, mp_context=get_context("spawn"), initializer=_begin, initargs=(job,)
    )
    waiting: deque[tuple[Read, Future[bytes]]] = deque()
    try:
        for read in chunks:
            waiting.append((read, pool.submit(_run, read)))
            if len(waiting) >= AHEAD * count:
                first, result = waiting.popleft()
                yield first, result.result()
        while waiting:
            first, result = waiting.popleft()
            yield first, result.result()
    except BrokenProcessPool:
        raise InputError.single(
            OPTION,
            "a process was lost, perhaps for want of memory; what was worked out is kept, and "
            "--resume goes on from there, with fewer of them if need be",
        ) from None
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


def _begin(job: ImpactJob) -> None:
    _job[:] = [job]


def _run(read: Read) -> bytes:
    return run_chunk(_job[0], read)
