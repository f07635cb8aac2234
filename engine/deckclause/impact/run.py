"""Run an impact over an archive: chunk by chunk, resumable, on one machine or several.

Each chunk's result is kept in a file of its own as soon as it is there; a run that was stopped
goes on from there. Only a few chunks are in memory at a time. Results are put together in the
order of the chunks, so that it does not matter where or when each was worked out.
"""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from typing import Any

import deckclause
from deckclause.impact.chunk import ImpactJob, run_chunk
from deckclause.impact.read import Archive, Read
from deckclause.rulesets.files import digest
from deckclause.rulesets.problems import InputError

PARTS = "parts"
PLAN = "plan.json"
RESULTS = "2"
"""Changes with what a chunk's result holds: a run kept by an older engine is not gone on with."""
Step = Callable[[int], None]
"""Told how many designs were just done."""


@dataclass(frozen=True, slots=True)
class ImpactFolder:
    """The folder a run keeps its results in."""

    path: Path

    def part(self, number: int) -> Path:
        """Return the file of one chunk's result."""
        return self.path / PARTS / f"{number:06d}.json"

    def done(self) -> frozenset[int]:
        """Return the chunks whose results are there."""
        return frozenset(int(p.stem) for p in (self.path / PARTS).glob("[0-9]*.json"))

    def keep(self, number: int, result: bytes) -> None:
        """Write one chunk's result; it appears whole or not at all."""
        target = self.part(number)
        spare = target.with_suffix(".new")
        spare.write_bytes(result)
        os.replace(spare, target)

    def results(self) -> Iterator[dict[str, Any]]:
        """Yield every chunk's result in order."""
        for number in sorted(self.done()):
            yield json.loads(self.part(number).read_bytes())

    def clear(self) -> None:
        """Take the parts away, once they are put together."""
        for number in self.done():
            self.part(number).unlink()
        with suppress(OSError):
            (self.path / PARTS).rmdir()


def plan_of(archive: Archive, job: ImpactJob) -> dict[str, str]:
    """Return what must be the same for a stopped run to go on."""
    return {
        "archive": archive.fingerprint(),
        "from": f"{job.one.name} {job.one.digest}",
        "to": f"{job.two.name} {job.two.digest}",
        "vocabulary": job.vocabulary.digest,
        "topics": digest(" ".join(job.topics)),
        "listed": job.listed,
        "rows in a chunk": str(archive.size),
        "engine": deckclause.__version__,
        "results": RESULTS,
    }


def prepare_folder(path: Path, plan: dict[str, str], *, resume: bool) -> ImpactFolder:
    """Make the folder ready. Raises InputError where it holds another run or is not empty."""
    folder = ImpactFolder(path)
    if path.exists() and not path.is_dir():
        raise InputError.single(str(path), "is a file; a folder is needed for the results")
    here = path / PLAN
    if resume:
        if not here.is_file():
            raise InputError.single(str(path), "holds no run to go on with; leave --resume out")
        before = json.loads(here.read_text(encoding="utf-8"))
        changed = [name for name in plan if before.get(name) != plan[name]]
        if changed:
            names = ", ".join(changed)
            raise InputError.single(str(path), f"holds another run: {names} differ from then")
    elif path.exists() and any(path.iterdir()):
        raise InputError.single(
            str(path), "is not empty; add --resume to go on with its run, or name a new folder"
        )
    (path / PARTS).mkdir(parents=True, exist_ok=True)
    here.write_text(json.dumps(plan, indent=1) + "\n", encoding="utf-8")
    return folder


def run_impact(
    archive: Archive,
    job: ImpactJob,
    folder: ImpactFolder,
    *,
    dask: str = "",
    step: Step = lambda count: None,
) -> None:
    """Work out every chunk that is not yet done. Raises InputError for an unreadable archive."""
    chunks = archive.chunks(folder.done())
    pending = (c for c in _told(chunks, archive.size, step) if isinstance(c, Read))
    results = _on_dask(job, pending, dask) if dask else _here(job, pending)
    for read, result in results:
        folder.keep(read.number, result)
        step(read.chunk.count + len(read.bad))


def _told(chunks: Iterable[Read | int], size: int, step: Step) -> Iterator[Read | int]:
    """Pass chunks on; those done before count as done."""
    for chunk in chunks:
        if isinstance(chunk, int):
            step(size)
        yield chunk


def _here(job: ImpactJob, chunks: Iterable[Read]) -> Iterator[tuple[Read, bytes]]:
    for read in chunks:
        yield read, run_chunk(job, read)


def _on_dask(job: ImpactJob, chunks: Iterable[Read], address: str) -> Iterator[tuple[Read, bytes]]:
    """Work chunks out on the workers of a dask cluster, a few for each worker at a time."""
    distributed: Any = import_module("dask.distributed")
    with distributed.Client(address, set_as_default=False) as client:
        shared = client.scatter(job, broadcast=True, hash=False)
        most = 2 * max(1, len(client.scheduler_info()["workers"]))
        waiting: list[tuple[Read, Any]] = []
        for read in chunks:
            waiting.append((read, client.submit(run_chunk, shared, read, pure=False)))
            if len(waiting) >= most:
                first, future = waiting.pop(0)
                yield first, future.result()
        for read, future in waiting:
            yield read, future.result()
