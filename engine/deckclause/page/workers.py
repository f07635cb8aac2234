"""Long work beside the page: processes that have read the rules already and can be ended at once.

Before the page serves anyone a process is forked that waits, the rules in its memory and one thread
in it: what is forked from a process of several threads may wait for ever for one that is not there.
Each worker is forked from it, does one piece of work after another, and is killed where the reader
gives up waiting. Where a system cannot fork, there are no workers and the page does the work itself.
"""

from __future__ import annotations

import gc
import os
import signal
import socket
import struct
from collections.abc import Awaitable, Callable
from contextlib import suppress

from anyio import CapacityLimiter, create_task_group, sleep, to_thread
from msgspec import Struct

MOST_WORKERS = 3
"""At once; more wait."""
LOOK_AGAIN = 0.1
"""Seconds between looks whether the reader still waits."""
NICER = 10
"""How far a worker stands back for the process that answers edits."""

Work = Callable[[bytes], bytes]


class WorkEnded(Exception):
    """A worker ended without an answer: it was killed, or the machine had no room for it."""


def can_fork() -> bool:
    """Tell whether this system has what workers need."""
    return hasattr(os, "fork") and hasattr(socket, "send_fds")


class _Worker(Struct):
    number: int
    line: socket.socket

    def kill(self) -> None:
        """End the process; its line then gives nothing more."""
        with suppress(ProcessLookupError):
            os.kill(self.number, signal.SIGKILL)

    def end(self) -> None:
        """End the process and its line."""
        self.kill()
        self.line.close()


class Workers:
    """Gives work to processes; `work` is what they do with the bytes of a request."""

    def __init__(self, work: Work, shut: tuple[socket.socket, ...] = ()) -> None:
        """Fork the process the workers come from; it keeps none of the sockets in `shut`."""
        self._idle: list[_Worker] = []
        self._room: CapacityLimiter | None = None
        self._line, theirs = socket.socketpair()
        if os.fork() == 0:
            self._line.close()
            for one in shut:
                one.close()
            _wait_and_fork(theirs, work)
        theirs.close()

    async def run(self, request: bytes, gone: Callable[[], Awaitable[bool]]) -> bytes | None:
        """Have a request worked on; None where the reader is `gone` before it is done.

        Raises WorkEnded where the worker ended without an answer.
        """
        if self._room is None:
            self._room = CapacityLimiter(MOST_WORKERS)
        async with self._room:
            while self._idle:
                worker = self._idle.pop()
                answer, left = await _watched(worker, request, gone)
                if answer or left:
                    return self._after(worker, answer, left=left)
                worker.end()  # it had ended while it waited: another does the work
            worker = await to_thread.run_sync(self._new)
            answer, left = await _watched(worker, request, gone)
            if not answer and not left:
                worker.end()
                raise WorkEnded
            return self._after(worker, answer, left=left)

    def _after(self, worker: _Worker, answer: bytes, *, left: bool) -> bytes | None:
        if left:
            worker.end()
            return None
        self._idle.append(worker)
        return answer

    def _new(self) -> _Worker:
        ours, theirs = socket.socketpair()
        with theirs:
            socket.send_fds(self._line, [b"."], [theirs.fileno()])
        number = _take(ours)
        if not number:
            raise WorkEnded
        return _Worker(int(number), ours)

    def close(self) -> None:
        """End every worker that waits, and the process they came from."""
        for worker in self._idle:
            worker.end()
        self._line.close()


def _wait_and_fork(line: socket.socket, work: Work) -> None:
    """Fork a worker for each line that is sent, until the page is gone; never returns."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    signal.signal(signal.SIGTERM, signal.SIG_DFL)
    signal.signal(signal.SIGCHLD, signal.SIG_IGN)
    while True:
        try:
            word, handles, _, _ = socket.recv_fds(line, 1, 1)
        except OSError:
            word, handles = b"", []
        if not word:
            os._exit(0)
        for handle in handles:
            if os.fork() == 0:
                line.close()
                _serve(socket.socket(fileno=handle), work)
            os.close(handle)


def _serve(line: socket.socket, work: Work) -> None:
    """Do one piece of work after another until the page is gone; never returns."""
    signal.signal(signal.SIGCHLD, signal.SIG_DFL)
    gc.enable()
    with suppress(OSError):
        os.nice(NICER)
    try:
        _put(line, str(os.getpid()).encode())
        while request := _take(line):
            _put(line, work(request))
    except OSError:
        pass
    finally:
        os._exit(0)


async def _watched(
    worker: _Worker, request: bytes, gone: Callable[[], Awaitable[bool]]
) -> tuple[bytes, bool]:
    """Return a worker's answer, nothing where it ended, and whether the reader left first."""
    left = False

    async def watch() -> None:
        nonlocal left
        while not await gone():
            await sleep(LOOK_AGAIN)
        left = True
        worker.kill()

    async with create_task_group() as group:
        group.start_soon(watch)
        answer = await to_thread.run_sync(_ask, worker.line, request)
        group.cancel_scope.cancel()
    return answer, left


def _ask(line: socket.socket, request: bytes) -> bytes:
    try:
        _put(line, request)
        return _take(line)
    except OSError:
        return b""


def _put(line: socket.socket, content: bytes) -> None:
    line.sendall(struct.pack("!Q", len(content)) + content)


def _take(line: socket.socket) -> bytes:
    """Return what was sent whole; nothing where the other side is gone."""
    head = _exactly(line, 8)
    return _exactly(line, struct.unpack("!Q", head)[0]) if head else b""


def _exactly(line: socket.socket, count: int) -> bytes:
    parts: list[bytes] = []
    while count:
        part = line.recv(min(count, 1 << 20))
        if not part:
            return b""
        parts.append(part)
        count -= len(part)
    return b"".join(parts)
