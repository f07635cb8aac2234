"""Long work is done beside the page: answered whole, given up at once, never mixed up."""

from __future__ import annotations

import os
import time
from collections.abc import Awaitable, Callable, Iterator
from concurrent.futures import ThreadPoolExecutor

import anyio
import pytest

from deckclause.page.workers import WorkEnded, Workers, can_fork

pytestmark = pytest.mark.skipif(not can_fork(), reason="this system cannot fork")


def _work(request: bytes) -> bytes:
    if request == b"sleep":
        time.sleep(60)
    if request == b"die":
        os._exit(1)
    return request.upper() + b" " + str(os.getpid()).encode()


@pytest.fixture
def workers() -> Iterator[Workers]:
    one = Workers(_work)
    yield one
    one.close()


def _run(ask: Callable[[], Awaitable[None]]) -> None:
    """Run in a thread of its own: where a browser is tested too, a loop runs in this one."""
    with ThreadPoolExecutor(1) as pool:
        pool.submit(anyio.run, ask).result()


async def _stays() -> bool:
    return False


def test_a_worker_answers_whole_and_is_used_again(workers: Workers) -> None:
    async def ask() -> None:
        first = await workers.run(b"a" * 3_000_000, _stays)
        second = await workers.run(b"b", _stays)
        assert first is not None
        assert second is not None
        assert first.startswith(b"A" * 3_000_000 + b" ")
        assert first.split()[1] == second.split()[1] != str(os.getpid()).encode()

    _run(ask)


def test_each_gets_its_own_answer(workers: Workers) -> None:
    async def ask() -> None:
        found: dict[str, bytes | None] = {}

        async def one(word: str) -> None:
            found[word] = await workers.run(word.encode(), _stays)

        async with anyio.create_task_group() as group:
            for number in range(12):
                group.start_soon(one, f"word{number}")
        assert all((found[w] or b"").startswith(w.upper().encode() + b" ") for w in found)
        assert len(found) == 12

    _run(ask)


def test_work_given_up_ends_at_once_and_the_next_is_done(workers: Workers) -> None:
    async def ask() -> None:
        began = time.monotonic()
        looks = iter([False, False])

        async def gone() -> bool:
            return next(looks, True)

        assert await workers.run(b"sleep", gone) is None
        assert await workers.run(b"next", _stays) is not None
        assert time.monotonic() - began < 10

    _run(ask)


def test_a_worker_that_dies_is_told_and_replaced(workers: Workers) -> None:
    async def ask() -> None:
        with pytest.raises(WorkEnded):
            await workers.run(b"die", _stays)
        first = await workers.run(b"x", _stays)
        assert first is not None
        os.kill(int(first.split()[1]), 9)
        assert await workers.run(b"y", _stays) is not None

    _run(ask)
