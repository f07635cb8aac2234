"""The board's limits are those that `place` proves; what nobody stated is never drawn solid."""

from __future__ import annotations

import contextlib
import io
import json
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from deckclause.cli.main import run
from deckclause.evaluate.catalogue import Catalogue
from page.pages import STEP_DOWN, client, opened
from support.designs import EXAMPLES

CATALOGUE = Catalogue.open()
UNDER = ["irc-2012", "Quillmere County@2014-01-01", "irc-2021", "Tarn Hollow@2025-03-01"]


@pytest.fixture
def page(tmp_path: Path) -> TestClient:
    return client(tmp_path, CATALOGUE)


def _board(page: TestClient, design: dict[str, Any], under: list[str] = UNDER) -> dict[str, Any]:
    answer = page.post("/api/evaluate", json={"design": design, "under": under})
    board: dict[str, Any] = answer.json()["board"]
    return board


def _placed(name: str) -> list[dict[str, Any]]:
    told = io.StringIO()
    more = [word for rule_set in UNDER for word in ("--under", rule_set)]
    with contextlib.redirect_stdout(told):
        run(["place", "solve", str(EXAMPLES / name), *more, "--format", "json"])
    found: list[dict[str, Any]] = json.loads(told.getvalue())["rule_sets"]
    return found


def _handle(board: dict[str, Any], member: str) -> dict[str, Any]:
    found: dict[str, Any] = next(one for one in board["handles"] if one["member"] == member)
    return found


def test_each_bar_ends_where_place_proves_and_says_its_clause(page: TestClient) -> None:
    ledger = _handle(_board(page, opened(page)["design"]), "ledger")
    for reach, proved in zip(ledger["reaches"], _placed(STEP_DOWN), strict=True):
        greatest = proved["drop"]["greatest"]
        assert reach["most"]["text"] == greatest["value"]["text"]
        for link in greatest["links"]:
            assert link["cites"] in reach["most"]["because"]
    assert ledger["strictest"]["most"]["title"] == "IRC 2012"


def test_a_ledger_whose_drop_nobody_stated_is_dashed_and_asked(page: TestClient) -> None:
    design = opened(page)["design"]
    stated = _board(page, design)
    del design["facts"]["ledger.below_band_joist"]
    board = _board(page, design)
    dashed = board["svg"].count('stroke-dasharray="7 4"')
    assert dashed == stated["svg"].count('stroke-dasharray="7 4"') + 1
    assert "drop ?" in board["svg"]
    assert _handle(board, "ledger")["value"] is None
    assert "ledger" in board["words"].partition("as nobody stated it:")[2]


def test_of_a_deck_of_which_nothing_is_stated_nothing_is_drawn_solid(page: TestClient) -> None:
    facts = {"deck.attachment": "ledger"}
    board = _board(page, {"name": "", "says": "", "facts": facts, "parts": {}})
    for member in ("band joist", "ledger", "joists", "upper row", "lower row", "decking"):
        assert member in board["words"]
    assert 'stroke-width="2"/>' not in board["svg"]  # the outline of a stated board
    for handle in board["handles"]:
        assert [reach["most"] for reach in handle["reaches"]] == [None] * len(UNDER)


def test_without_a_ledger_there_is_no_section_and_the_page_says_why(page: TestClient) -> None:
    board = _board(page, {"name": "", "says": "", "facts": {}, "parts": {}})
    assert board["svg"] == ""
    assert "No section is drawn" in board["words"]
