"""What the page answers is what the command answers."""

from __future__ import annotations

import contextlib
import io
import json
import os
import time
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from deckclause.cli.main import run
from deckclause.evaluate.catalogue import Catalogue
from page.pages import STEP_DOWN, client, example, opened

CATALOGUE = Catalogue.open()
UNDER = ["irc-2012", "irc-2015", "Tarn Hollow@2024-02-01"]


@pytest.fixture
def page(tmp_path: Path) -> TestClient:
    return client(tmp_path, CATALOGUE)


def _command(folder: Path, *words: str) -> str:
    stream = io.StringIO()
    before = Path.cwd()
    os.chdir(folder)
    try:
        with contextlib.redirect_stdout(stream):
            assert run(words) in (0, 1, 3)
    finally:
        os.chdir(before)
    return stream.getvalue()


def _as_file(given: dict[str, Any], file: str = "deck.yaml") -> dict[str, Any]:
    return {"design": given["design"], "base": given["base"], "file": file}


@pytest.mark.parametrize("kind", ["json", "csv", "markdown", "html", "html_full"])
def test_a_report_taken_away_is_the_commands_of_the_design_saved(
    page: TestClient, tmp_path: Path, kind: str
) -> None:
    given = opened(page)
    given["design"]["facts"]["ledger.below_band_joist"] = "2-1/2 in"
    given["design"]["facts"]["joists.odd"] = ""
    asked = _as_file(given)
    assert page.post("/api/save", json=asked).status_code == 200
    answer = page.post("/api/download", json={**asked, "under": UNDER, "kind": kind})
    assert answer.status_code == 200, answer.text
    assert answer.headers["x-file-name"].startswith("deck-compared")
    words = [w for name in UNDER for w in ("--under", name)]
    form, more = kind.removesuffix("_full"), ["--annex"] if kind.endswith("_full") else []
    assert (
        answer.text.strip()
        == _command(tmp_path, "compare", "deck.yaml", *words, "--format", form, *more).strip()
    )


def test_the_design_taken_away_is_the_design_saved(page: TestClient, tmp_path: Path) -> None:
    asked = _as_file(opened(page))
    page.post("/api/save", json=asked)
    answer = page.post("/api/download", json={**asked, "under": UNDER, "kind": "design"})
    assert answer.content == (tmp_path / "deck.yaml").read_bytes()
    assert answer.text == example()


def test_no_report_is_written_of_half_a_design(page: TestClient) -> None:
    given = opened(page)
    given["design"]["facts"]["ledger.size"] = "2x9"
    asked = {**_as_file(given), "under": UNDER, "kind": "json"}
    answer = page.post("/api/download", json=asked)
    assert answer.status_code == 400
    assert "2x9" in " ".join(answer.json()["problems"])


def test_what_cannot_be_read_counts_as_not_known(page: TestClient) -> None:
    given = opened(page)
    design = given["design"]
    design["facts"]["ledger.below_band_joist"] = "7"
    asked = {"design": design, "under": ["irc-2012"], "matrix": True}
    answer = page.post("/api/evaluate", json=asked).json()
    assert [f["field"] for f in answer["faults"]] == ["ledger.below_band_joist"]
    rows = {row["topic"]: row["html"] for row in answer["matrix"]["rows"]}
    told = 'data-rule-set="irc-2012" data-status="information missing"'
    assert told in rows["band_joist_bottom_edge_distance"]


def test_measures_typed_otherwise_are_read_back(page: TestClient) -> None:
    design = opened(page)["design"]
    design["facts"]["ledger.below_band_joist"] = '1 1/2"'
    design["facts"]["fasteners.spacing"] = "406.4 mm"
    answer = page.post("/api/evaluate", json={"design": design, "under": ["irc-2012"]}).json()
    assert answer["faults"] == []
    assert answer["readings"]["ledger.below_band_joist"] == "1-1/2 in"
    assert answer["readings"]["fasteners.spacing"] == "16 in"


def test_the_greatest_step_down_is_shown_with_its_sum(page: TestClient) -> None:
    design = opened(page)["design"]
    asked = {"design": design, "under": ["irc-2012", "irc-2015"]}
    cards = {c["name"]: c["html"] for c in page.post("/api/evaluate", json=asked).json()["cards"]}
    command = json.loads(
        _command(
            Path(__file__).resolve().parents[2] / "rules" / "examples",
            "compare", STEP_DOWN, "--under", "irc-2012", "--under", "irc-2015",
            "--topic", "greatest_step_down", "--format", "json",
        )
    )  # fmt: skip
    for outcome in command["topics"][0]["outcomes"]:
        shown = cards[outcome["rule_set"]].split('data-measure="greatest_step_down"')[1]
        assert shown.split('data-most="')[1].split('"')[0] == outcome["most"]["text"]
    deeper = page.post("/api/topic", json={**asked, "topic": "greatest_step_down"}).text
    for outcome in command["topics"][0]["outcomes"]:
        assert outcome["findings"][0]["says"].split(":")[0] in deeper


@pytest.mark.parametrize("name", ["irc-1999", "Nowhere@2024-01-01", "Dunmarrow@2017-01-01", "../x"])
def test_a_rule_set_that_is_none_is_told(page: TestClient, name: str) -> None:
    asked = {"design": opened(page)["design"], "under": [name]}
    answer = page.post("/api/evaluate", json=asked)
    assert answer.status_code == 400
    assert answer.json()["problems"]
    assert page.post("/api/place", json={"name": name}).status_code == 400


def test_relief_says_what_would_make_it_comply(page: TestClient) -> None:
    given = opened(page)
    answer = page.post("/api/relief", json={**_as_file(given), "under": "irc-2015"})
    assert answer.status_code == 200, answer.text
    assert "What fails" in answer.text
    assert "Relief that would do" in answer.text
    assert "Not an engineered design" in answer.text or "not an engineered design" in answer.text


def test_a_new_design_begins_with_ordinary_values_and_open_questions(page: TestClient) -> None:
    given = page.post("/api/open", json={"source": "new"}).json()
    answer = page.post(
        "/api/evaluate", json={"design": given["design"], "under": ["irc-2021"]}
    ).json()
    assert answer["faults"] == []
    assert [card["status"] for card in answer["cards"]] == ["information missing"]
    assert len(answer["asked"]["questions"]) in range(1, 6)


def test_every_stated_quantity_has_a_field_and_no_other(page: TestClient) -> None:
    html = page.get("/").text
    for definition in CATALOGUE.vocabulary.quantities.values():
        stated = not (definition.derived or definition.provided)
        assert (f'data-field="{definition.name}"' in html) is stated


def _wanted(given: dict[str, Any], **more: str) -> dict[str, Any]:
    named = {"under": "irc-2015", "kind": "modification", "form": "plain", "relief": 1}
    return {**_as_file(given), **named, **more}


@pytest.fixture(scope="module")
def guided(tmp_path_factory: pytest.TempPathFactory) -> str:
    """Return a new request as the page gives it."""
    page = client(tmp_path_factory.mktemp("empty"), CATALOGUE)
    answer = page.post("/api/request", json=_wanted(opened(page)))
    assert answer.status_code == 200, answer.text
    assert answer.headers["x-file-name"] == "deck-request.yaml"
    return answer.text


def test_a_request_taken_away_is_the_commands(tmp_path: Path, guided: str) -> None:
    (tmp_path / "deck.yaml").write_text(example(), encoding="utf-8")
    words = ("request", "new", "deck.yaml", "--under", "irc-2015", "--kind", "modification")
    assert guided == _command(tmp_path, *words, "--form", "plain", "--relief", "1")


def test_what_a_request_lacks_is_told_and_shows_as_empty_in_the_draft(
    page: TestClient, guided: str
) -> None:
    given = opened(page)
    lacks = page.post("/api/request-check", json=_wanted(given, filled=guided))
    assert "still empty" in lacks.text
    for kind, begins in (("html", b"<!DOCTYPE html>"), ("docx", b"PK")):
        draft = page.post("/api/request", json=_wanted(given, filled=guided, format=kind))
        assert draft.status_code == 200, draft.text
        assert draft.content.startswith(begins)


@pytest.mark.parametrize("name", ["/etc/passwd", "../deck.yaml", "other.yaml", ""])
def test_a_request_reads_no_file_but_the_design_on_the_page(
    page: TestClient, guided: str, name: str
) -> None:
    elsewhere = guided.replace('design: "deck.yaml"', f"design: {json.dumps(name)}")
    assert elsewhere != guided
    asked = _wanted(opened(page), filled=elsewhere)
    assert page.post("/api/request-check", json=asked).status_code == 400
    if name != "other.yaml":
        assert page.post("/api/request-check", json={**asked, "file": name}).status_code == 400


def test_a_zoning_variance_is_named_as_another_process_and_not_offered(page: TestClient) -> None:
    choices = page.post("/api/start", json={}).json()["request"]
    assert "zoning" in " ".join(choices["elsewhere"]).lower()
    assert not [k for k in choices["kinds"] if "zoning" in k["name"]]
    answer = page.post("/api/request", json=_wanted(opened(page), kind="zoning_variance"))
    assert answer.status_code == 400


def test_an_answer_costs_less_than_200_ms_of_the_processors_time(page: TestClient) -> None:
    """Matrix, drivers, step down and section under three editions.

    Time on the clock, in a browser, is measured by name in tests/benchmarks.
    """
    asked = {"design": opened(page)["design"], "under": ["irc-2018", "irc-2021", "irc-2024"]}
    times = []
    for inches in range(6):
        asked["design"]["facts"]["ledger.below_band_joist"] = f"{inches} in"
        began = time.process_time()
        assert page.post("/api/evaluate", json=asked).status_code == 200
        times.append(time.process_time() - began)
    assert min(times) < 0.2, times
