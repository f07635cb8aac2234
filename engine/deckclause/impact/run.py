"""Run an impact over an archive: chunk by chunk, resumable, on one machine or several.

Each chunk's result is kept in a file of its own as soon as it is there; a run that was stopped
goes on from there. Only a few chunks are in memory at a time. Results are put together in the
order of the chunks, so that it does not matter where or when each was worked out.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator
from contextlib import suppress
from pathlib import Path
from typing import Any

from msgspec import Struct

import deckclause
from deckclause.evaluate.catalogue import ENGINE_DIGEST
from deckclause.evaluate.status import STATUS_WORDS
from deckclause.impact.chunk import ImpactJob, run_chunk
from deckclause.impact.read import Archive
from deckclause.impact.rows import Read
from deckclause.rulesets.files import digest
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.write_file import write_whole

PARTS = "parts"
PLAN = "plan.json"
RESULTS = "5"
"""Changes with what a chunk's result holds: a run kept by an older engine is not gone on with."""
SAID = {
    "archive": "the archive, or how its columns are read, is not as it was",
    "from": "the first rule set is not as it was",
    "to": "the second rule set is not as it was",
    "vocabulary": "the facts and topics known are not as they were",
    "topics": "the topics asked are others",
    "together": "what asks whether a deck holds together is not as it was",
    "listed": "the list asked for is another",
    "engine": "deckclause itself is not as it was",
    "statuses": "the statuses are not as they were",
    "results": "results are kept otherwise now",
}
"""What is said where a part of the plan of a stopped run is another now."""
Step = Callable[[int], None]
"""Told how many designs were just done."""


class ImpactFolder(Struct, frozen=True):
    """The folder a run keeps its results in."""

    path: Path

    def part(self, number: int) -> Path:
        """Return the file of one chunk's result."""
        return self.path / PARTS / f"{number:06d}.json"

    def done(self) -> frozenset[int]:
        """Return the chunks whose results are there and whole; a damaged one is worked out again."""
        return frozenset(number for number in self._numbers() if self._kept(number) is not None)

    def keep(self, number: int, result: bytes) -> None:
        """Write one chunk's result under its digest; it appears whole or not at all."""
        write_whole(self.part(number), f"{digest(result)}\n".encode() + result)

    def results(self) -> Iterator[dict[str, Any]]:
        """Yield every chunk's result in order. Raises InputError for one damaged meanwhile."""
        for number in self._numbers():
            result = self._kept(number)
            if result is None:
                raise InputError.single(
                    str(self.part(number)), "was damaged while the run went on; run again, --resume"
                )
            yield json.loads(result)

    def _numbers(self) -> list[int]:
        """Return the chunks of which there is a result, whole or damaged, in order."""
        parts = (self.path / PARTS).glob("[0-9]*.json")
        return sorted(int(part.stem) for part in parts if _numbered(part))

    def _kept(self, number: int) -> bytes | None:
        """Return one chunk's result; None where it is not the very one that was kept."""
        try:
            told, _, result = self.part(number).read_bytes().partition(b"\n")
        except OSError:
            return None
        return result if told == digest(result).encode() else None

    def clear(self) -> None:
        """Take the parts away, once they are put together."""
        for number in self._numbers():
            self.part(number).unlink()
        for stray in (self.path / PARTS).glob(".*.part"):  # of a run that was killed
            stray.unlink()
        with suppress(OSError):
            (self.path / PARTS).rmdir()


def plan_of(archive: Archive, job: ImpactJob) -> dict[str, str]:
    """Return what must be the same for a stopped run to go on."""
    return {
        "archive": archive.fingerprint(),
        "from": f"{job.one.name} {job.one.digest}",
        "to": f"{job.two.name} {job.two.digest}",
        "vocabulary": job.vocabulary.digest,
        "topics": digest(" ".join(job.topics), str(job.narrowed)),
        "together": job.coherence.digest if job.coherence else "",
        "listed": job.listed,
        "rows in a chunk": str(archive.size),
        "engine": f"{deckclause.__version__} {ENGINE_DIGEST}",
        "statuses": digest(" ".join(STATUS_WORDS)),
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
        before = _plan_before(here)
        changed = [name for name in plan if before.get(name) != plan[name]]
        if changed:
            names = ", ".join(SAID.get(name, name) for name in changed)
            raise InputError.single(
                str(path),
                f"holds a run begun otherwise, so it cannot be gone on with: {names}; begin anew in "
                "another folder",
            )
    elif path.exists() and any(path.iterdir()):
        raise InputError.single(
            str(path), "is not empty; add --resume to go on with its run, or name a new folder"
        )
    try:
        (path / PARTS).mkdir(parents=True, exist_ok=True)
    except OSError as fault:
        raise InputError.single(str(path), f"cannot be written to ({fault.strerror})") from None
    write_whole(here, json.dumps(plan, indent=1) + "\n")
    return folder


def _plan_before(here: Path) -> dict[str, Any]:
    """Read what a stopped run was of. Raises InputError where that is damaged."""
    try:
        before = json.loads(here.read_bytes())
    except (OSError, ValueError, RecursionError):
        before = None
    if not isinstance(before, dict):
        raise InputError.single(
            str(here), "is damaged, so the run cannot be gone on with; begin it in a new folder"
        )
    return before


def _numbered(path: Path) -> bool:
    return path.stem.isdecimal() and path.stem.isascii()


def run_impact(
    archive: Archive,
    job: ImpactJob,
    folder: ImpactFolder,
    *,
    dask: str = "",
    workers: int = 1,
    step: Step = lambda count: None,
) -> None:
    """Work out every chunk that is not yet done. Raises InputError for an unreadable archive."""
    chunks = archive.chunks(folder.done())
    pending = (c for c in _told(chunks, archive.size, step) if isinstance(c, Read))
    results = _here(job, pending)
    if dask:
        from deckclause.impact.cluster import on_cluster

        results = on_cluster(job, pending, dask)
    elif workers > 1:
        from deckclause.impact.workers import on_workers

        results = on_workers(job, pending, workers)
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
