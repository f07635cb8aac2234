"""The cache: what it gives back, what it lets go, what it never trusts."""

from __future__ import annotations

import os
from fractions import Fraction
from pathlib import Path

import pytest

from deckclause.evaluate import cache
from deckclause.evaluate.cache import Cache, cache_folder
from deckclause.evaluate.scale import Scale


def test_a_value_comes_back_as_it_was(tmp_path: Path) -> None:
    kept = Cache(tmp_path)
    kept.store("scale-1", (Scale(7, 9), Fraction(13, 2)))
    assert kept.load("scale-1") == (Scale(7, 9), Fraction(13, 2))


def test_what_is_absent_or_damaged_counts_as_absent(tmp_path: Path) -> None:
    kept = Cache(tmp_path)
    (tmp_path / "broken").write_bytes(b"\x80no pickle")
    assert kept.load("broken") is None
    assert kept.load("never-stored") is None


def test_what_is_still_used_stays_when_older_files_go(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(cache, "KEEP", 3)
    kept = Cache(tmp_path)
    for place, name in enumerate(("rules", "first", "second")):
        kept.store(name, name)
        os.utime(tmp_path / name, (1_000 + place, 1_000 + place))
    assert kept.load("rules") == "rules"
    kept.store("third", "third")
    assert {p.name for p in tmp_path.iterdir()} == {"rules", "second", "third"}


def test_a_folder_others_may_write_in_is_not_trusted(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(cache.ENVIRONMENT_NAME, str(tmp_path))
    folder = cache_folder()
    assert folder is not None
    folder.chmod(0o777)
    assert cache_folder() is None
