"""A hundred thousand spoilt inputs of nine kinds: each is answered or refused in words, in time.

    pytest tests/benchmarks/test_fuzz.py -n 2 -s

`DECKCLAUSE_FUZZ=2000` tries so many instead; `DECKCLAUSE_FUZZ_SEED` begins elsewhere. What breaks
something is written to the folder the test names; put it into tests/fuzzing/corpus once mended.
"""

from __future__ import annotations

import os
import random
import signal
import time
import traceback
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from fuzzing.spoil import spoilt
from fuzzing.targets import KINDS, target

CASES = int(os.environ.get("DECKCLAUSE_FUZZ", "100000"))
SEED = int(os.environ.get("DECKCLAUSE_FUZZ_SEED", "1"))
SHARES = {
    "design": 30, "rules": 10, "amendment": 15, "register": 10,
    "request": 5, "archive": 15, "sheet_map": 5, "mapping": 5, "page": 5,
}  # fmt: skip
"""Of a hundred cases, how many of each kind."""
SECONDS = 20
"""What one input may take at the most."""


class TooLong(Exception):
    """An input took longer than any may."""


@contextmanager
def _in_time() -> Iterator[None]:
    def stop(*_: object) -> None:
        raise TooLong

    before = signal.signal(signal.SIGALRM, stop)
    signal.alarm(SECONDS)
    try:
        yield
    finally:
        signal.alarm(0)
        signal.signal(signal.SIGALRM, before)


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_every_input_is_answered_or_refused(kind: str, tmp_path: Path) -> None:
    assert sum(SHARES.values()) == 100
    (tmp_path / "work").mkdir()
    made = target(kind, tmp_path / "work")
    chance = random.Random(f"{kind} {SEED}")
    taken, broken = 0, {}
    begun = time.process_time()
    count = CASES * SHARES[kind] // 100
    for number in range(count):
        content = spoilt(chance.choice(made.seeds), chance)
        try:
            with _in_time():
                taken += made.take(content)
        except Exception as fault:
            where = traceback.extract_tb(fault.__traceback__)[-1]
            name = f"{type(fault).__name__} {Path(where.filename).name}:{where.lineno}"
            if name not in broken:
                broken[name] = f"{kind}-{number}"
                (tmp_path / broken[name]).write_bytes(content)
    seconds = time.process_time() - begun
    print(
        f"\n{kind}: {count} inputs, {taken} answered, {seconds:.0f} s; broken: {broken or 'none'}"
    )
    assert not broken, f"see {tmp_path}"
    assert taken, "every single input was refused: the check checks nothing"
