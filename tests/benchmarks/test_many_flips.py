"""Two thousand flipped bits, cuts and swaps in what is kept: none changes what is printed.

pytest tests/benchmarks/test_many_flips.py -n 0 -s        (some five minutes)
"""

from __future__ import annotations

import contextlib
import io
import random
import shutil
from pathlib import Path

import pytest

from deckclause.cli.main import run
from deckclause.evaluate import cache
from faults.commands import STEP_DOWN
from store.planting import ASKED, flipped, kept_files

DAMAGES = 2_000


def _printed() -> tuple[int, str, str]:
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        status = run(["compare", str(STEP_DOWN), *ASKED])
    return status, out.getvalue(), err.getvalue()


def test_no_damage_changes_an_answer(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(cache.ENVIRONMENT_NAME, str(tmp_path / "base"))
    monkeypatch.setenv("COLUMNS", "100")
    whole = _printed()
    assert whole[0] == 1
    assert _printed() == whole
    chance = random.Random(2_000)
    kept = shutil.copytree(tmp_path / "base", tmp_path / "whole")
    counted = dict.fromkeys(("flipped", "cut", "swapped"), 0)
    for _ in range(DAMAGES):
        files = kept_files(tmp_path / "base")
        path = chance.choice(files)
        content = path.read_bytes()
        kind = chance.choices(tuple(counted), (8, 1, 1))[0]
        if kind == "flipped":
            path.write_bytes(flipped(content, chance))
        elif kind == "cut":
            path.write_bytes(content[: chance.randrange(len(content))])
        else:
            shutil.copy(chance.choice([f for f in files if f != path]), path)
        counted[kind] += 1
        assert _printed() == whole, (kind, path.name)
        shutil.copy(kept / path.relative_to(tmp_path / "base"), path)
    print(f"\n{counted}: the same output each time")
