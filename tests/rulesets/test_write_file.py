"""Writing a file whole or not at all, and never where the next install would lose it."""

from __future__ import annotations

from pathlib import Path

import pytest

from deckclause.rulesets.problems import InputError
from deckclause.rulesets.write_file import write_new


def test_a_file_that_stands_there_is_left_as_it_is(tmp_path: Path) -> None:
    file = tmp_path / "town.yaml"
    write_new(file, "one\n")
    with pytest.raises(InputError, match="is already there and is left"):
        write_new(file, "two\n")
    assert file.read_text(encoding="utf-8") == "one\n"
    assert [p.name for p in tmp_path.iterdir()] == ["town.yaml"]


def test_nothing_is_written_into_an_installed_package(tmp_path: Path) -> None:
    folder = tmp_path / "site-packages" / "deckclause" / "rules"
    folder.mkdir(parents=True)
    with pytest.raises(InputError, match="name the copy with --rules"):
        write_new(folder / "town.yaml", "amendment: town\n")
    assert not list(folder.iterdir())
