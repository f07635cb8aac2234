"""A figure of an edition amended on the page: the command's file, the command's words, this deck."""

from __future__ import annotations

import html
import re
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from deckclause.cli.main import run
from deckclause.evaluate.catalogue import Catalogue
from page.pages import client, opened

CATALOGUE = Catalogue.open()
WHOLE = "whole-deck-12x16.yaml"
CLOSER = {"clause": "decking_joist_spacing", "bound": "at_most", "figure": "12 in"}


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("decks")


@pytest.fixture(scope="module")
def page(folder: Path) -> TestClient:
    return client(folder, CATALOGUE)


def _asked(page: TestClient, **more: Any) -> dict[str, Any]:
    given = opened(page, WHOLE)
    deck = {"design": given["design"], "base": given["base"], "file": "deck.yaml"}
    return {**deck, "edition": "irc-2021", "place": "Otter Brook", **more}


def _text(answer: str) -> str:
    found = re.search(r"<pre[^>]*>(.*?)</pre>", answer, re.DOTALL)
    assert found
    return html.unescape(found[1])


def test_a_draft_is_the_commands_and_is_seen_on_the_deck_and_saved_once(
    page: TestClient, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    answer = page.post("/api/amend", json=_asked(page, **CLOSER, write=True))
    assert answer.status_code == 200, answer.text
    words = ["amend", "new", "--place", "Otter Brook", "--edition", "irc-2021"]
    assert run([*words, "--clause", CLOSER["clause"], "--at-most", CLOSER["figure"]]) == 0
    assert capsys.readouterr().out.startswith(_text(answer.text))
    changes = re.search(r'id="amend-changes">(.*?)</ul>', answer.text, re.DOTALL)
    assert changes
    assert re.findall(r"<li>(.*?)</li>", changes[1]) == [
        "Joist spacing under decking: complies under IRC 2021, does not comply under IRC 2021 with "
        "otter-brook-2021"
    ]
    assert (folder / "otter-brook-2021.yaml").read_text(encoding="utf-8") == _text(answer.text)
    again = page.post("/api/amend", json=_asked(page, **CLOSER, write=True))
    assert again.status_code == 400
    assert "is already there" in " ".join(again.json()["problems"])
    assert "otter-brook-2021.yaml" not in page.post("/api/start", json={}).json()["designs"]


def test_what_changes_nothing_and_what_nobody_decided_is_refused_as_by_the_command(
    page: TestClient, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = set(folder.iterdir())
    idle = page.post(
        "/api/amend", json=_asked(page, quantity="loads.deck_live_load", figure="40 psf")
    )
    words = ["amend", "new", "--place", "Otter Brook", "--edition", "irc-2021"]
    assert run([*words, "--set", "loads.deck_live_load=40 psf"]) == 2
    said = " ".join(capsys.readouterr().err.split())
    assert idle.status_code == 400
    for problem in idle.json()["problems"]:
        assert " ".join(problem.split()) in said
    key = "band_joist_bottom_edge_distance"
    asked = _asked(page, clause=key, bound="at_least", figure="3 in", place="Alder")
    shown = page.post("/api/amend", json=asked)
    assert "data-strike=" in shown.text
    refused = page.post("/api/amend", json={**asked, "write": True})
    assert refused.status_code == 400
    assert "an exception stays that permits less" in " ".join(refused.json()["problems"])
    assert set(folder.iterdir()) == before


def test_every_clause_offered_has_a_figure_to_change(page: TestClient) -> None:
    given = page.post("/api/clauses", json={"edition": "irc-2021"}).json()
    keys = [one["key"] for one in given["clauses"]]
    assert len(keys) == len(set(keys)) > 50
    assert {one["bound"] for one in given["clauses"]} <= {"at_least", "at_most", "exactly"}
    assert "site.ground_snow_load" in [one["quantity"] for one in given["values"]]
    assert page.post("/api/clauses", json={"edition": "irc-2022"}).status_code == 400
