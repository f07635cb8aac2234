"""One command writes what is out of date, and only that."""

from __future__ import annotations

from pathlib import Path

import pytest

from support import regenerate
from support.regenerate import PARTS, Part, Written, state_of


@pytest.fixture
def root(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(regenerate, "ROOT", tmp_path)
    monkeypatch.setattr(regenerate.state_of, "__defaults__", (tmp_path,))
    (tmp_path / "one.txt").write_text("one")
    (tmp_path / "two.txt").write_text("two")
    return tmp_path


def copies(root: Path) -> tuple[Part, ...]:
    """Two parts: each writes a file in capitals."""

    def write(name: str) -> None:
        text = (root / f"{name}.txt").read_text()
        (root / f"{name}.out").write_text(text.upper())

    return tuple(
        Part(n, (f"{n}.txt",), (f"{n}.out",), lambda n=n: write(n))  # type: ignore[misc]
        for n in ("one", "two")
    )


def test_only_what_is_stale_is_written(root: Path) -> None:
    parts, kept = copies(root), root / "kept.json"
    assert regenerate.regenerate(parts, Written(kept)) == ["one", "two"]
    assert regenerate.regenerate(parts, Written(kept)) == []
    (root / "two.txt").write_text("deux")
    assert regenerate.regenerate(parts, Written(kept)) == ["two"]
    assert (root / "two.out").read_text() == "DEUX"
    (root / "one.out").write_text("edited by hand")
    assert regenerate.regenerate(parts, Written(kept)) == ["one"]
    assert (root / "one.out").read_text() == "ONE"
    assert regenerate.regenerate(parts, Written(kept), every=True) == ["one", "two"]
    assert regenerate.regenerate(parts, Written(None)) == ["one", "two"]


def test_a_part_whose_writing_fails_stays_stale(root: Path) -> None:
    def fail() -> None:
        raise SystemExit("no")

    part, kept = Part("one", ("one.txt",), (), fail), root / "kept.json"
    with pytest.raises(SystemExit):
        regenerate.regenerate((part,), Written(kept))
    assert not Written(kept).is_current(part)


@pytest.mark.parametrize("part", PARTS, ids=[p.name for p in PARTS])
def test_every_part_names_files_that_are_there(part: Part) -> None:
    root = Path(__file__).resolve().parents[2]
    for pattern in (*part.inputs, *part.outputs):
        assert any(root.glob(pattern)), pattern
    assert len(state_of(part, root)) == 64
