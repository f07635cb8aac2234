"""Work the chunks of an impact out on a dask cluster; say at once where there is none."""

from __future__ import annotations

import socket
import warnings
from collections.abc import Iterable, Iterator
from importlib import import_module
from typing import Any
from urllib.parse import urlsplit

from deckclause.impact.chunk import ImpactJob, run_chunk
from deckclause.impact.rows import Read
from deckclause.rulesets.problems import InputError

SECONDS = 5
"""How long a scheduler may take to answer."""
OPTION = "--dask"
KINDS = ("tcp", "tls")
HEAD, LONGEST_GREETING = 8, 1 << 20
"""A scheduler speaks first; these bytes, a whole number, lowest first, say how long its greeting is."""


def on_cluster(
    job: ImpactJob, chunks: Iterable[Read], address: str
) -> Iterator[tuple[Read, bytes]]:
    """Work chunks out on the workers of a cluster, a few for each worker at a time.

    Raises InputError where nothing answers at the address, it has no workers, or it is lost.
    """
    _try_address(address)
    distributed: Any = import_module("dask.distributed")
    comm: Any = import_module("distributed.comm")
    scheduler: Any = import_module("distributed.scheduler")
    lost = (
        OSError,
        comm.CommClosedError,
        scheduler.KilledWorker,
        import_module("concurrent.futures").CancelledError,
    )
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # on the size of the job, which is sent once
        try:
            client = distributed.Client(address, set_as_default=False, timeout=SECONDS)
        except (OSError, ValueError, TypeError, ImportError) as fault:
            raise _no_cluster(address, str(fault)) from None
        with client:
            workers = len(client.scheduler_info()["workers"])
            if not workers:
                raise InputError.single(OPTION, f"{address}: the scheduler there has no workers")
            shared = client.scatter(job, broadcast=True, hash=False)
            waiting: list[tuple[Read, Any]] = []
            try:
                for read in chunks:
                    waiting.append((read, client.submit(run_chunk, shared, read, pure=False)))
                    if len(waiting) >= 2 * workers:
                        first, future = waiting.pop(0)
                        yield first, future.result()
                for read, future in waiting:
                    yield read, future.result()
            except lost as fault:
                raise InputError.single(
                    OPTION,
                    f"{address}: the cluster was lost ({type(fault).__name__}); what was worked out "
                    "is kept, and --resume goes on from there",
                ) from None


def _try_address(address: str) -> None:
    """Raise InputError at once where an address is none, or nothing listens there."""
    try:
        parts = urlsplit(address if "://" in address else f"tcp://{address}")
        host, port = parts.hostname, parts.port
    except ValueError:
        host, port = None, None
    if not host or not port or parts.scheme not in KINDS:
        raise InputError.single(
            OPTION, f"'{address}' is no address; write it as tcp://scheduler.example:8786"
        )
    try:
        with socket.create_connection((host, port), timeout=SECONDS) as line:
            head = b"" if parts.scheme == "tls" else line.recv(HEAD)
    except OSError as fault:
        raise _no_cluster(address, fault.strerror or str(fault)) from None
    if parts.scheme == "tcp" and not 0 < int.from_bytes(head, "little") < LONGEST_GREETING:
        raise _no_cluster(address, "something else listens there")


def _no_cluster(address: str, why: str) -> InputError:
    words = " ".join(why.split())[:200]
    return InputError.single(OPTION, f"{address}: no dask scheduler answers there ({words})")
