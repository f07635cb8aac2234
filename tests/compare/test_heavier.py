"""A load stated higher than the place's own value marks what it would change, in every output.

The published ledger and framing tables of 2015 end at 40 psf of ground snow: at 60 psf they give
nothing (rules/editions/irc-2015); Dunmarrow, invented, fixes 20 psf on that edition.
"""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import pytest

from deckclause.cli.main import run

EXAMPLE = Path(__file__).parents[2] / "rules" / "examples" / "whole-deck-12x16.yaml"
PLACE = "Dunmarrow@2020-01-01"
CHANGED = {"joist_span", "beam_span", "ledger_fastener_spacing"}


@pytest.fixture
def heavy(tmp_path: Path) -> Path:
    path = tmp_path / "heavy.yaml"
    path.write_text(
        EXAMPLE.read_text().replace("ground_snow_load: 30 psf", "ground_snow_load: 60 psf")
    )
    return path


def _out(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str]:
    status = run(["compare", *words])
    return status, capsys.readouterr().out


def test_it_marks_the_text_and_says_what_it_would_change(
    heavy: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "300")
    status, text = _out(capsys, str(heavy), "--under", PLACE)
    assert status != 0
    line = next(x for x in text.splitlines() if x.startswith("Joist span "))
    assert line.rstrip().endswith("!")
    told = " ".join(text.split())
    assert "the design states a ground snow load of 60 psf, the place 20 psf" in told
    assert "Joist span: engineering required" in told


def test_it_stands_in_csv_json_and_markdown(
    heavy: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    _, text = _out(capsys, str(heavy), "--under", PLACE, "--format", "csv")
    rows = {r["topic"]: r for r in csv.DictReader(io.StringIO(text))}
    _, text = _out(capsys, str(heavy), "--under", PLACE, "--format", "json")
    data = {t["topic"]: t["outcomes"][0]["at_stated_load"] for t in json.loads(text)["topics"]}
    for topic in CHANGED:
        assert rows[topic]["at_stated_load"] == data[topic] == "engineering required"
    assert rows["guard_height"]["at_stated_load"] == ""
    assert data["guard_height"] is None
    _, text = _out(capsys, str(heavy), "--under", PLACE, "--format", "markdown")
    assert "Joist span: engineering required" in text


def test_a_load_no_higher_than_the_place_marks_nothing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "light.yaml"
    path.write_text(
        EXAMPLE.read_text().replace("ground_snow_load: 30 psf", "ground_snow_load: 20 psf")
    )
    _, text = _out(capsys, str(path), "--under", PLACE)
    assert "the design states a ground snow load" not in " ".join(text.split())


def test_a_value_a_clause_of_the_place_gives_counts_as_its_own(
    heavy: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Thistlecombe gives 40 psf to 6,000 ft by a clause; the example lies at 900 ft."""
    _, text = _out(capsys, str(heavy), "--under", "Thistlecombe@2022-01-01")
    told = " ".join(text.split())
    assert "the design states a ground snow load of 60 psf, the place 40 psf" in told
