"""The sheet of a state: what each place asks on a topic on a day."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from deckclause.answers.places_sheet import PlaceAsks, PlacesSheet
from deckclause.cli.main import run
from deckclause.report.rule_sets.places_document import sheet_lines
from deckclause.rulesets.library import RuleLibrary

DAY = "2024-08-01"


def test_each_place_has_a_line_with_its_own_values(tmp_path: Path) -> None:
    """Typed again by hand from the amendments: the county's frost line is at 42 in, the coast's at 48."""
    path = tmp_path / "sheet.csv"
    assert run(["rules", "concordance", "footing_frost", "--places", DAY, "-o", str(path)]) == 0
    with open(path, encoding="utf-8", newline="") as stream:
        rows = {row["place"]: row for row in csv.DictReader(stream)}
    assert "site frost depth 42 in" in rows["Quillmere County"]["values set there"]
    assert rows["Quillmere County"]["edition"] == "irc-2021"
    assert rows["Quillmere County"]["ordinance"] == "County Ordinance 2024-03"
    assert rows["Tarn Hollow"]["edition"] == "irc-2018"
    assert "site frost depth 42 in" in rows["Tarn Hollow"]["values set there"], "inherited"
    assert "site frost depth 48 in" in rows["Skerryvane"]["values set there"]
    assert rows["Skerryvane"]["within"] == "Ellavane"
    assert rows["Skerryvane"]["invented"] == "yes"
    assert "at least frost depth" in rows["Skerryvane"]["asks"]
    assert "but where the deck stands free" in rows["Skerryvane"]["asks"]
    assert "Waukee" not in rows
    # Thistlecombe fixes no one depth: a clause of its own gives it by elevation
    assert "42 in to 7,500 ft" in rows["Thistlecombe"]["values set there"]
    assert rows["Thistlecombe"]["ordinance"] == "Town Ordinance 24-02"
    assert rows["Utah"]["values set there"] == ""


def test_a_place_whose_own_clause_gives_the_frost_line_is_not_alike_with_one_without(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert run(["rules", "concordance", "footing_frost", "--places", DAY]) == 0
    assert "alone: Thistlecombe\n" in capsys.readouterr().out


def test_places_alike_are_starred_where_one_of_them_has_it_unread() -> None:
    def place(name: str, cites: str, *, unverified: bool) -> PlaceAsks:
        told = (name, "", True, "irc-2018", "at least 42 in.", "")
        return PlaceAsks(*told, cites, "", unverified)

    rows = (place("A", "R1", unverified=False), place("B", "R2", unverified=True))
    topic = RuleLibrary.open().vocabulary.topics["footing_frost"]
    out = " ".join(sheet_lines(PlacesSheet(topic, DAY, rows, ()), 100))
    assert "2 alike: A, B" in out
    assert "(R1; R2*)" in out


def test_places_that_ask_alike_stand_together_and_the_others_are_told(
    capsys: pytest.CaptureFixture[str],
) -> None:
    asked = ["rules", "concordance", "ledger_bottom_edge_distance", "--places", DAY]
    assert run(asked) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "at least 1-1/2 in" in out
    assert out.index("alone:") < out.index("alike:")
    assert "Nothing is known in force that day in" in out
    assert "not an engineered design" in out
    assert run([*asked, "--within", "Quillmere County"]) == 0
    assert "Skerryvane" not in capsys.readouterr().out


def test_a_page_to_pass_on_has_a_row_a_place_and_the_cautions(tmp_path: Path) -> None:
    path = tmp_path / "sheet.html"
    assert run(["rules", "concordance", "guard_height", "--places", DAY, "-o", str(path)]) == 0
    page = path.read_text(encoding="utf-8")
    assert "Guard height: what each place asks" in page
    for place in ("Skerryvane (invented)", "Utah"):
        assert place in page
    assert "not an engineered design" in page
    assert "<script" not in page


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        (["guard_hight", "--places", DAY], "is not a topic. Did you mean guard_height"),
        (["guard_height", "--places", "soon"], "is not a date"),
        (["--places", DAY], "needs a TOPIC"),
        (["guard_height", "--within", "Ellavane"], "belong to --places"),
        (["guard_height", "--places", "1999-01-01"], "nothing is in force on 1999-01-01"),
        (["guard_height", "--places", DAY, "-o", "sheet.xml"], "no ending known here"),
    ],
)
def test_what_cannot_be_asked_says_why(
    capsys: pytest.CaptureFixture[str], asked: list[str], says: str
) -> None:
    assert run(["rules", "concordance", *asked]) == 2
    assert says in capsys.readouterr().err
