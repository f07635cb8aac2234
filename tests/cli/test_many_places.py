"""Many places at once: names that mean them all, folding those alike, and lists that are narrowed."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from deckclause.cli.main import run
from deckclause.cli.many_places import folded_lines, places_meant
from deckclause.compare.comparison import compare
from deckclause.compare.fold import alike
from deckclause.evaluate.catalogue import Catalogue
from deckclause.rulesets.files import default_root
from support.generated_state import town_name, write_state

DECK = str(default_root() / "examples" / "whole-deck-12x16.yaml")
DAY = "2024-02-01"
TOPICS = ("footing_frost", "joist_span", "guard_height")


@pytest.fixture(scope="module")
def state(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_state(tmp_path_factory.mktemp("state") / "rules", 8)


@pytest.fixture(scope="module")
def catalogue(state: Path) -> Catalogue:
    return Catalogue.open(state)


def test_places_alike_have_the_same_outcome_and_places_not_alike_do_not(
    catalogue: Catalogue,
) -> None:
    """Frost of the six kinds of town, by hand: 12, 24, 30, 36, 42, 48 in, by turns."""
    names = [f"{town_name(n)}@{DAY}" for n in range(8)]
    design = catalogue.design(Path(DECK))
    found = alike(compare(catalogue, design, names, topics=["footing_frost"], pairs=()))
    assert sorted(found) == [(0, 6), (1, 7), (2,), (3,), (4,), (5,)]
    assert [len(group) for group in found] == [1, 1, 1, 1, 2, 2], "the odd ones first"


def test_many_places_are_folded_and_no_line_is_wider_than_the_terminal(
    state: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    asked = [word for topic in TOPICS for word in ("--topic", topic)]
    under = [f"towns of Generated County 000@{DAY}", f"Generated State@{DAY}"]
    under = [word for name in under for word in ("--under", name)]
    run(["compare", DECK, "--rules", str(state), *under, *asked])
    out = capsys.readouterr().out
    assert "9 rule sets come out in 6 ways" in " ".join(out.split())
    assert "Generated Town 0000: 2 alike, with Generated Town 0006" in out
    assert max(map(len, out.splitlines())) <= 80
    assert "Generated Town 0006" not in out[out.index("DOES IT HOLD TOGETHER") :]


@pytest.mark.parametrize("width", range(60, 100))
def test_the_day_all_are_asked_of_is_told_at_every_width(width: int) -> None:
    lines = folded_lines([["Tarn Hollow@2024-02-01", "Skerryvane@2024-02-01"]], width)
    assert "All on 2024-02-01." in " ".join(lines)
    assert max(map(len, lines)) <= width


def test_every_place_is_asked_and_those_without_a_code_are_told(
    capsys: pytest.CaptureFixture[str],
) -> None:
    found = places_meant(Catalogue.open(), f"all-places@{DAY}")
    assert found is not None
    assert {"Quillmere County", "Tarn Hollow", "Skerryvane", "Utah"} <= {
        name.removesuffix(f"@{DAY}") for name in found
    }
    assert f"Waukee@{DAY}" not in found
    assert "nothing is known in force that day in Mt. Crested Butte" in capsys.readouterr().err


def test_places_the_register_is_at_fault_on_are_told_and_not_passed_over(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Aldmer's day is none, and Nether Aldmer lies within it; Fenwick can be asked."""
    assert run(["init", str(tmp_path / "town"), "--place", "Fenwick"]) == 0
    rules = tmp_path / "town" / "rules"
    (rules / "register.yaml").write_text(
        "places:\n"
        "  Aldmer: {invented: true, adoptions: [{from: 2024-02-30, edition: irc-2021}]}\n"
        "  Nether Aldmer: {invented: true, within: Aldmer}\n"
        "  Fenwick: {invented: true, adoptions: [{from: 2024-01-01, edition: irc-2021}]}\n"
    )
    capsys.readouterr()
    found = places_meant(Catalogue.open(rules), f"all-places@{DAY}")
    assert found is not None
    assert f"Fenwick@{DAY}" in found
    assert not {f"Aldmer@{DAY}", f"Nether Aldmer@{DAY}"} & set(found)
    told = capsys.readouterr().err
    assert "at fault on Aldmer, Nether Aldmer, or a larger place; left out" in told
    asked = ["rules", "concordance", "guard_height", "--places", DAY, "--rules", str(rules)]
    assert run([*asked, "--within", "Fenwick"]) == 0
    assert "at fault on Aldmer, Nether Aldmer" in capsys.readouterr().err


def test_the_towns_of_a_county_are_those_within_it(capsys: pytest.CaptureFixture[str]) -> None:
    asked = ["compare", DECK, "--topic", "guard_height", "--format", "csv"]
    run([*asked, "--under", f"Towns of quillmere county@{DAY}"])
    out = capsys.readouterr().out
    assert "Tarn Hollow" in out
    assert "Quillmere County," not in out
    assert "Skerryvane" not in out


@pytest.mark.parametrize(
    ("under", "says"),
    [
        ("all-places@2024-13-01", "is not a date"),
        ("towns of Quillmere@2024-01-01", "is not a place in the register. Did you mean"),
        ("towns of Waukee@2024-01-01", "no place within it"),
    ],
)
def test_a_name_of_many_places_that_means_none_says_why(
    capsys: pytest.CaptureFixture[str], under: str, says: str
) -> None:
    assert run(["compare", DECK, "--under", under]) == 2
    assert says in capsys.readouterr().err


@pytest.mark.parametrize(
    ("asked", "places"),
    [
        (["tarn"], {"Tarn Hollow"}),
        (["--within", "ellavane"], {"Skerryvane", "Thistlecombe"}),
        (["--within", "Ellavane", "--edition", "irc-2018"], {"Thistlecombe"}),
        (["--on", "2012-01-01"], {"Dunmarrow"}),
    ],
)
def test_the_list_is_narrowed(
    capsys: pytest.CaptureFixture[str], asked: list[str], places: set[str]
) -> None:
    assert run(["rules", "list", *asked]) == 0
    out = capsys.readouterr().out
    rows = [line for line in out.splitlines() if re.search(r"\b(invented|real)\b", line)]
    assert {re.split(r"\s{2,}", row)[0] for row in rows} == places


def test_a_list_of_nothing_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["rules", "list", "nowhere"]) == 2
    assert run(["rules", "list", "--on", "soon"]) == 2
    assert run(["rules", "list", "--edition", "irc-2020"]) == 2
    assert "Did you mean irc-2024" in capsys.readouterr().err
