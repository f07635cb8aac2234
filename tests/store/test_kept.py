"""Kept bytes: the very ones or none, whatever became of the file; and no more than is allowed."""

from __future__ import annotations

import os
import random
import shutil
from pathlib import Path

import pytest

from deckclause.evaluate.cache import Cache
from deckclause.evaluate.catalogue import Catalogue
from deckclause.rulesets.files import default_root, find_files
from deckclause.store.kept import KeptFiles
from deckclause.store.trusted import trusted_folder
from faults.commands import STEP_DOWN
from store.planting import IS_ROOT, answer, flipped, kept_files

FLIPS = 200


def test_bytes_come_back(tmp_path: Path) -> None:
    kept = KeptFiles(tmp_path)
    assert kept.load("a") is None
    kept.keep("a", b"one")
    assert kept.load("a") == b"one"
    kept.keep("a", b"")
    assert kept.load("a") == b""


def test_a_flipped_bit_a_cut_and_a_swap_count_as_absent(tmp_path: Path) -> None:
    kept = KeptFiles(tmp_path)
    kept.keep("a", b"what is kept under a" * 9)
    kept.keep("b", b"what is kept under b" * 9)
    whole = (tmp_path / "a").read_bytes()
    for place in range(len(whole)):
        for bit in range(8):
            damaged = bytearray(whole)
            damaged[place] ^= 1 << bit
            (tmp_path / "a").write_bytes(damaged)
            assert kept.load("a") is None
        (tmp_path / "a").write_bytes(whole[:place])
        assert kept.load("a") is None
    (tmp_path / "a").write_bytes(whole + b"\0")
    assert kept.load("a") is None
    shutil.copy(tmp_path / "b", tmp_path / "a")
    assert kept.load("a") is None
    (tmp_path / "a").write_bytes(whole)
    assert kept.load("a") == b"what is kept under a" * 9


def test_what_is_still_used_stays_when_older_files_go(tmp_path: Path) -> None:
    kept = KeptFiles(tmp_path, most=4 * 100)
    for place, name in enumerate(("rules", "first", "second", "third")):
        kept.keep(name, bytes(30))
        os.utime(tmp_path / name, (1_000 + place, 1_000 + place))
    later = KeptFiles(tmp_path, most=4 * 100)
    assert later.load("rules") == bytes(30), "used, so its time is now"
    assert (tmp_path / "rules").stat().st_mtime > 10_000
    later.keep("fourth", bytes(30))
    later.keep("fifth", bytes(30))
    assert "rules" in {p.name for p in tmp_path.iterdir()}
    assert "first" not in {p.name for p in tmp_path.iterdir()}
    assert sum(p.stat().st_size for p in tmp_path.iterdir()) <= 400


def test_what_a_run_uses_never_goes_in_that_run(tmp_path: Path) -> None:
    """Reading more than fits, in the same order each time, must still find what is kept."""
    names = [f"set-{number:03}" for number in range(40)]
    for _ in range(3):
        kept = KeptFiles(tmp_path, most=2_000)
        found = []
        for name in names:
            if kept.load(name) is None:
                kept.keep(name, bytes(40))
            else:
                found.append(name)
        assert sum(p.stat().st_size for p in tmp_path.iterdir()) <= 2_000
    assert len(found) == 22, "2,000 bytes hold 22 of 90"


def test_half_written_files_of_killed_processes_go(tmp_path: Path) -> None:
    stray, fresh = tmp_path / ".aa.part", tmp_path / ".bb.part"
    for path in (stray, fresh):
        path.write_bytes(b"half")
    os.utime(stray, (1_000, 1_000))
    KeptFiles(tmp_path).keep("a", b"x")
    assert sorted(p.name for p in tmp_path.iterdir()) == [".bb.part", "a"]


@pytest.fixture(scope="module")
def filled(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A cache folder after one comparison of a design."""
    base = tmp_path_factory.mktemp("cache")
    assert answer(STEP_DOWN, base)[0] == 1
    return base


def test_flipped_bits_change_no_answer(filled: Path, tmp_path: Path) -> None:
    """In one process: every kept file, a bit flipped, is read afresh to the very same values."""
    folder = shutil.copytree(next(filled.iterdir()), tmp_path / "kept")
    chance = random.Random(11)
    files = kept_files(folder)
    assert {p.name.split("-")[0] for p in files} == {"vocabulary", "register", "ruleset", "design"}
    store = KeptFiles(folder)
    for number in range(FLIPS):
        path = files[number % len(files)]
        whole = path.read_bytes()
        path.write_bytes(flipped(whole, chance))
        assert store.load(path.name) is None
        path.write_bytes(whole)
    for path in files:
        path.write_bytes(flipped(path.read_bytes(), chance))
    damaged = Catalogue(find_files(default_root()), Cache(folder))
    fresh = Catalogue.open(cached=False)
    for name in ("irc-2012", "Tarn Hollow@2024-02-01"):
        assert damaged.ruleset(name) == fresh.ruleset(name)
    assert damaged.design(STEP_DOWN).design == fresh.design(STEP_DOWN).design


def test_damage_of_every_kind_prints_the_same(filled: Path, tmp_path: Path) -> None:
    whole = answer(STEP_DOWN, filled)
    assert whole[2] == ""
    base = shutil.copytree(filled, tmp_path / "base")
    files = kept_files(base)
    chance = random.Random(5)
    for path in files:
        path.write_bytes(flipped(path.read_bytes(), chance))
    assert answer(STEP_DOWN, base) == whole
    for path, other in zip(files, files[1:] + files[:1], strict=True):
        shutil.copy(filled / other.relative_to(base), path)
    assert answer(STEP_DOWN, base) == whole
    for path in files:
        path.unlink()
        path.mkdir()
    assert answer(STEP_DOWN, base) == whole


# --- files and folders of others ----------------------------------------------------------------


def test_a_link_in_place_of_the_folder_is_not_followed(filled: Path, tmp_path: Path) -> None:
    folder = next(filled.iterdir())
    base = tmp_path / "base"
    base.mkdir()
    (base / folder.name).symlink_to(folder)
    assert not trusted_folder(base / folder.name)
    before = {p: p.stat().st_mtime_ns for p in kept_files(filled)}
    assert answer(STEP_DOWN, base) == answer(STEP_DOWN, filled)
    assert {p: p.stat().st_mtime_ns for p in kept_files(filled)} == before


def test_a_link_in_place_of_a_file_is_not_followed(tmp_path: Path) -> None:
    (tmp_path / "kept").mkdir()
    kept = KeptFiles(tmp_path / "kept")
    kept.keep("a", b"one")
    (tmp_path / "kept" / "a").rename(tmp_path / "elsewhere")
    (tmp_path / "kept" / "a").symlink_to(tmp_path / "elsewhere")
    assert kept.load("a") is None
    (tmp_path / "kept" / "a").unlink()
    os.link(tmp_path / "elsewhere", tmp_path / "kept" / "a")
    assert kept.load("a") is None, "a file under two names may be another's to write"
    (tmp_path / "elsewhere").unlink()
    assert kept.load("a") == b"one"


@pytest.mark.parametrize("mode", [0o620, 0o602, 0o666])
def test_a_file_others_may_write_is_not_read(mode: int, tmp_path: Path) -> None:
    kept = KeptFiles(tmp_path)
    kept.keep("a", b"one")
    (tmp_path / "a").chmod(mode)
    assert kept.load("a") is None


def test_a_pipe_in_place_of_a_file_holds_nothing_up(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "a")
    assert KeptFiles(tmp_path).load("a") is None


def test_a_base_or_step_others_may_write_in_is_not_trusted(tmp_path: Path) -> None:
    folder = tmp_path / "up" / "base" / "version"
    folder.mkdir(parents=True)
    assert trusted_folder(folder)
    for path, mode, trusted in (
        (folder.parent, 0o777, False),
        (folder.parent, 0o1777, False),
        (folder.parent.parent, 0o777, False),
        (folder.parent.parent, 0o1777, True),
        (folder, 0o702, False),
    ):
        before = path.stat().st_mode
        path.chmod(mode)
        assert trusted_folder(folder) is trusted, (path, oct(mode))
        path.chmod(before)


def test_a_base_that_is_a_link_out_of_a_folder_of_all_is_not_trusted(tmp_path: Path) -> None:
    (tmp_path / "mine" / "version").mkdir(parents=True)
    shared = tmp_path / "shared"
    shared.mkdir()
    (shared / "base").symlink_to(tmp_path / "mine")
    assert trusted_folder(shared / "base" / "version")
    shared.chmod(0o777)
    assert not trusted_folder(shared / "base" / "version")
    (tmp_path / "odd").symlink_to("mine/../shared/base")
    assert not trusted_folder(tmp_path / "odd" / "version")
    (tmp_path / "round").symlink_to("round")
    assert not trusted_folder(tmp_path / "round" / "version")


@pytest.mark.skipif(not IS_ROOT, reason="only root can give a file to another user")
def test_planted_files_and_folders_of_another_user_are_not_read(tmp_path: Path) -> None:
    folder = tmp_path / "base" / "version"
    folder.mkdir(parents=True)
    kept = KeptFiles(folder)
    kept.keep("a", b"planted")
    for path in (folder / "a", folder, folder.parent):
        os.chown(path, 65534, 65534)
        assert kept.load("a") is None, path
        os.chown(path, 0, 0)
        assert kept.load("a") == b"planted"
