"""Writing whole or not at all: one module does it, and nothing else writes."""

from __future__ import annotations

import ast
import errno
import os
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager
from pathlib import Path
from typing import Any

import pytest

import deckclause
from deckclause.rulesets import write_file
from deckclause.rulesets.problems import InputError, OutputError
from deckclause.rulesets.write_file import (
    write_new,
    write_together,
    write_whole,
    writing,
    writing_folder,
    writing_text,
)

ENGINE = Path(deckclause.__file__).parent
MAY_WRITE = {
    "rulesets/write_file.py": "it is the one that does",
    "evaluate/cache.py": "what is kept between runs is no output; it is checked when read",
    "designs/invented/archive.py": "fills the folder `writing_folder` gives",
    "page/requests.py": "fills a folder of its own that is gone before it answers",
}
WRITERS = {"write_text", "write_bytes", "mkstemp", "NamedTemporaryFile", "touch", "savez"}


def _writes(tree: ast.AST) -> Iterator[int]:
    for node in ast.walk(tree):
        if not isinstance(node, ast.Call):
            continue
        name = (
            node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
        )
        modes = [
            a.value
            for a in [*node.args, *(k.value for k in node.keywords)]
            if isinstance(a, ast.Constant)
        ]
        opens = name == "open" and any(
            isinstance(m, str) and set(m) & set("wxa+") and len(m) < 4 for m in modes
        )
        if name in WRITERS or opens:
            yield node.lineno


def test_nothing_else_writes_files() -> None:
    found = {
        file.relative_to(ENGINE).as_posix(): list(
            _writes(ast.parse(file.read_text(encoding="utf-8")))
        )
        for file in ENGINE.rglob("*.py")
    }
    writing_ones = {name for name, lines in found.items() if lines}
    assert writing_ones - set(MAY_WRITE) == set()


class Broken(Exception):
    """Something went wrong while a file was being written."""


def _break_in(place: AbstractContextManager[Any], write: Callable[[Any], object]) -> None:
    with place as given:
        write(given)
        raise Broken


def test_a_file_stands_there_only_once_it_is_whole(tmp_path: Path) -> None:
    path = tmp_path / "x.csv"
    with writing(path) as stream:
        stream.write(b"half")
        stream.flush()
        assert not path.exists()
    assert path.read_bytes() == b"half"
    with pytest.raises(Broken):
        _break_in(writing(tmp_path / "y.csv"), lambda stream: stream.write(b"half"))
    with pytest.raises(Broken):
        _break_in(writing_text(tmp_path / "z.csv"), lambda stream: stream.write("half"))
    assert [p.name for p in tmp_path.iterdir()] == ["x.csv"]


def test_a_name_taken_meanwhile_is_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "x.csv"
    with pytest.raises(InputError, match="is already there"), writing(path):
        path.write_bytes(b"another's")
    assert path.read_bytes() == b"another's"
    assert [p.name for p in tmp_path.iterdir()] == ["x.csv"]


def test_where_a_file_may_have_one_name_only(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refused(*_: object) -> None:
        raise OSError(errno.EPERM, "Operation not permitted")

    monkeypatch.setattr(os, "link", refused)
    write_new(tmp_path / "x", "one")
    with pytest.raises(InputError, match="is already there"):
        write_new(tmp_path / "x", "two")
    assert (tmp_path / "x").read_text() == "one"


def test_several_files_or_none(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    one, two = tmp_path / "one", tmp_path / "two"
    write_together({one: "1", two: "2"})
    synced = []

    def full(handle: int) -> None:
        synced.append(handle)
        if len(synced) == 2:
            raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(write_file, "_sync", full)
    with pytest.raises(OutputError, match="No space left"):
        write_together({one: "3", two: "4"})
    assert (one.read_text(), two.read_text()) == ("1", "2")
    assert len(list(tmp_path.iterdir())) == 2


def test_links_and_modes_stay(tmp_path: Path) -> None:
    (tmp_path / "kept").mkdir()
    real, link = tmp_path / "kept" / "real", tmp_path / "link"
    real.write_text("one")
    real.chmod(0o640)
    link.symlink_to(real)
    write_whole(link, "two")
    assert link.is_symlink()
    assert (real.read_text(), real.stat().st_mode & 0o777) == ("two", 0o640)
    dangling = tmp_path / "dangling"
    dangling.symlink_to(tmp_path / "nowhere")
    with pytest.raises(InputError, match="is already there"):
        write_new(dangling, "x")
    assert not (tmp_path / "nowhere").exists()


def test_a_new_file_is_as_open_as_any_other(tmp_path: Path) -> None:
    (tmp_path / "plain").write_text("")
    write_new(tmp_path / "new", "")
    assert (tmp_path / "new").stat().st_mode == (tmp_path / "plain").stat().st_mode


def test_a_folder_stands_there_only_once_it_is_filled(tmp_path: Path) -> None:
    with pytest.raises(Broken):
        _break_in(writing_folder(tmp_path / "a"), lambda made: (made / "1.yaml").write_text("x"))
    assert not list(tmp_path.iterdir())
    with writing_folder(tmp_path / "a") as folder:
        (folder / "1.yaml").write_text("x")
    assert [p.name for p in (tmp_path / "a").iterdir()] == ["1.yaml"]


@pytest.mark.parametrize("name", ["no/such/folder/x", "file/x", "x" * 300])
def test_a_name_that_cannot_be_written_is_told(name: str, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(InputError, match="cannot be written") as caught:
        write_new(tmp_path / name, "x")
    assert not isinstance(caught.value, OutputError)
