"""What is kept between runs: what comes back, by what it is kept, what is never made from it."""

from __future__ import annotations

import os
import pickle
import subprocess
import sys
from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from deckclause.evaluate import cache
from deckclause.evaluate.cache import Cache, cache_folder
from deckclause.evaluate.catalogue import PACKAGES_COMPILED_FROM, Catalogue
from deckclause.evaluate.scale import Scale
from deckclause.reading.special import BEYOND
from deckclause.rulesets.files import default_root, find_files


def test_a_value_comes_back_as_it_was(tmp_path: Path) -> None:
    kept = Cache(tmp_path)
    value = (Scale(7, 9), Fraction(13, 2), date(2024, 5, 1), frozenset({"a"}), {"b": None})
    kept.store("scale-1", value)
    assert kept.load("scale-1") == value
    kept.store("special", BEYOND)
    assert kept.load("special") is BEYOND


class _Runs:
    def __reduce__(self) -> Any:
        return os.system, ("touch planted",)


@pytest.mark.parametrize(
    "value", [_Runs(), os.system, pickle.loads, Path("x"), Cache, cache.cache_folder, Exception]
)
def test_nothing_but_records_and_plain_values_is_made_again(
    value: object, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    kept = Cache(tmp_path)
    kept.files.keep("x", pickle.dumps(value))
    assert kept.files.load("x") is not None
    assert kept.load("x") is None
    assert not (tmp_path / "planted").exists()


def test_a_folder_others_may_write_in_is_not_trusted(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(cache.ENVIRONMENT_NAME, str(tmp_path / "base"))
    folder = cache_folder()
    assert folder is not None
    folder.chmod(0o777)
    assert cache_folder() is None
    folder.chmod(0o700)
    assert cache_folder() == folder
    (tmp_path / "base").chmod(0o777)
    assert cache_folder() is None


def test_a_place_is_kept_by_what_is_in_force_there_not_by_the_day(tmp_path: Path) -> None:
    def opened() -> Catalogue:
        return Catalogue(find_files(default_root()), Cache(tmp_path))

    first = opened().ruleset("Tarn Hollow@2024-02-01")
    kept = {p.name: p.read_bytes() for p in tmp_path.iterdir()}
    again = opened()
    second = again.ruleset("Tarn Hollow@2024-02-02")
    assert {p.name: p.read_bytes() for p in tmp_path.iterdir()} == kept
    assert again._library is None, "no YAML is read for another day"
    assert (first.name, second.name) == ("Tarn Hollow@2024-02-01", "Tarn Hollow@2024-02-02")
    assert "2024-02-02" in second.title
    assert first.digest == second.digest
    assert first.clauses == second.clauses
    fresh = Catalogue.open(cached=False)
    for name, kept_one in (("Tarn Hollow@2024-02-01", first), ("Tarn Hollow@2024-02-02", second)):
        assert fresh.ruleset(name) == kept_one
    other = opened().ruleset("Tarn Hollow@2025-02-01")
    assert other.digest != first.digest


def test_the_key_covers_every_package_that_makes_what_is_kept() -> None:
    """Run a cold compile in a process of its own, and see which packages of the engine it loads."""
    code = (
        "import sys\n"
        "from deckclause.rulesets.files import default_root, find_files\n"
        "from deckclause.rulesets.library import RuleLibrary\n"
        "from deckclause.evaluate.compile import compile_ruleset\n"
        "from deckclause.designs.read_design import read_design\n"
        "library = RuleLibrary(find_files(default_root()))\n"
        "library.register\n"
        "for name in ('irc-2021', 'Tarn Hollow@2024-02-01'):\n"
        "    compile_ruleset(library.ruleset(name), library.vocabulary.quantities)\n"
        "read_design(library.files.root / 'examples' / 'whole-deck-12x16.yaml', library.vocabulary)\n"
        "print(*{m.split('.')[1] for m in sys.modules if m.startswith('deckclause.')})\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    used = set(done.stdout.split())
    assert {"rulesets", "quantities"} <= used
    assert used <= {*PACKAGES_COMPILED_FROM}
