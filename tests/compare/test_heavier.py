"""A load stated higher than the place's own value marks what it would change, in every output.

The published ledger and framing tables of 2015 end at 40 psf of ground snow: at 60 psf they give
nothing (rules/editions/irc-2015); Dunmarrow, invented, fixes 20 psf on that edition.
"""

from __future__ import annotations

import csv
import io
import json
import re
import shutil
from pathlib import Path

import pytest

from deckclause.cli.main import run
from deckclause.compare.comparison import WORKED_OUT, compare
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.findings import TopicOutcome, evaluate
from deckclause.evaluate.status import COMPLIES, NOT_APPLICABLE

Elsewhere = tuple[int, Catalogue]
SHARED = Catalogue.open()

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


PLACES = {"Dunmarrow@2020-01-01": 20, "Tarn Hollow@2025-03-01": 30, "Skerryvane@2024-05-01": 40}
"""The invented places, with the ground snow each fixes (psf; its county's where it fixes none)."""
SPANS = ("9 ft 9 in", "10 ft 4 in", "11 ft", "11 ft 10 in")
"""Southern pine 2x8 at 16 in: the spans at which the tables of 2021 end for 70, 60, 50 and 40 psf."""


@pytest.fixture(scope="module", params=[45, 75])
def elsewhere(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> Elsewhere:
    """Return a load, and the places as they would be if each of them fixed it."""
    root = tmp_path_factory.mktemp("fixed") / "rules"
    shutil.copytree(EXAMPLE.parents[1], root, ignore=shutil.ignore_patterns("boundary"))
    for path in (root / "amendments").glob("*.yaml"):
        text = path.read_text()
        path.write_text(
            re.sub(r"ground_snow_load: \d+ psf", f"ground_snow_load: {request.param} psf", text)
        )
    return request.param, Catalogue.open(root, cached=False)


def _stated(snow: int, span: str, tmp_path: Path) -> Path:
    text = EXAMPLE.read_text().replace("snow_load: 30 psf", f"snow_load: {snow} psf")
    path = tmp_path / f"stated-{snow}-{span.replace(' ', '-')}.yaml"
    path.write_text(text.replace("\n  span: 10 ft\n", f"\n  span: {span}\n"))
    return path


@pytest.mark.parametrize("place", PLACES)
def test_what_is_marked_is_what_the_place_would_say_if_it_fixed_that_load(
    place: str, elsewhere: Elsewhere, tmp_path: Path
) -> None:
    """Both ways: nothing is marked that would come out alike, nothing that would not is left unmarked.

    Tarn Hollow and Skerryvane ask 60 psf live load and read the rows for 70 psf of snow: a stated
    load changes something there above 70 psf only.
    """
    snow, fixed = elsewhere
    marked = 0
    for span in SPANS:
        path = _stated(snow, span, tmp_path)
        found = compare(SHARED, SHARED.design(path), (place,), pairs=())
        there = evaluate(fixed.design(path), fixed.evaluator(place), fixed.vocabulary)
        for row in found.rows:
            if row.topic.name in WORKED_OUT:
                continue
            told, would = found.at_stated(row, 0), _comes_to(there.outcome(row.topic.name))
            assert _comes_to(told or row.outcomes[0]) == would, (span, row.topic.name)
            assert (told is not None) == (_comes_to(row.outcomes[0]) != would)
            marked += told is not None
            passes = row.outcomes[0].status == COMPLIES
            if passes and would[0] not in (COMPLIES, NOT_APPLICABLE):
                assert found.exit_status != 0
    reads_70_psf_rows = place != "Dunmarrow@2020-01-01"
    assert (marked > 0) == (snow > 70 or not reads_70_psf_rows)


@pytest.mark.parametrize(("place", "fixes"), PLACES.items())
def test_a_load_as_the_place_has_it_or_lower_marks_no_cell(
    place: str, fixes: int, tmp_path: Path
) -> None:
    for snow in (0, fixes - 5, fixes):
        found = compare(
            SHARED, SHARED.design(_stated(snow, SPANS[-1], tmp_path)), (place,), pairs=()
        )
        assert found.heavier == (None,)
        assert not any(found.at_stated(row, 0) for row in found.rows)


def _comes_to(outcome: TopicOutcome) -> tuple[int, frozenset[object]]:
    asked = ((f.part, f.key, f.status, f.least, f.most) for f in outcome.findings)
    return outcome.status, frozenset(asked)
