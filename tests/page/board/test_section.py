"""The board's limits are those that `place` proves; what nobody stated is never drawn solid."""

from __future__ import annotations

import contextlib
import io
import json
import re
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


@pytest.mark.parametrize("name", [STEP_DOWN, "engineered-rim.yaml", "snow-country.yaml"])
def test_the_words_say_of_the_rows_what_place_proves(name: str, page: TestClient) -> None:
    board = _board(page, opened(page, name)["design"])
    told = re.findall(r": ([a-z ]+)[;.]", board["words"].partition("As they stand,")[2])
    assert told == [proved["as_stated"]["status"] for proved in _placed(name)]


def test_no_place_is_shown_open_where_an_engineer_must_say(page: TestClient) -> None:
    board = _board(page, opened(page, "engineered-rim.yaml")["design"])
    assert "hatch-closed)" not in board["svg"]
    assert (
        "upper ?" not in board["svg"]
    )  # stated, so drawn solid: the words say whose it is to judge
    assert "engineering required" in board["words"]
    for step in board["steps"]:
        assert [one["words"] for one in step["greatest"]] == [
            proved["as_stated"]["status"] for proved in _placed("engineered-rim.yaml")
        ]


def test_a_guessed_ledger_keeps_no_limit_and_leaves_no_step_without_one(page: TestClient) -> None:
    design = opened(page, "whole-deck-12x16.yaml")["design"]
    del design["facts"]["ledger.size"]
    board = _board(page, design)
    assert ": complies" not in board["words"]
    assert board["words"].count(": not known") == len(UNDER)
    told = {one["words"] for step in board["steps"] for one in step["greatest"]}
    assert told == {"not known"}
    assert told


def test_where_no_place_is_left_no_step_is_called_unlimited(page: TestClient) -> None:
    """A 2x8 ledger level with a 2x6 band joist: 5-1/2 in hold no two rows under IRC 2021."""
    design = opened(page, "whole-deck-12x16.yaml")["design"]
    design["facts"]["band_joist.size"] = "2x6"
    board = _board(page, design, ["irc-2021"])
    told = {one["words"] for step in board["steps"] for one in step["greatest"]}
    assert told == {"none, no place is left"}


def test_a_threshold_nobody_stated_leaves_the_step_down_not_told_in_full(page: TestClient) -> None:
    design = opened(page, "whole-deck-12x16.yaml")["design"]
    del design["parts"]["doors"][0]["facts"]["threshold_above_floor"]
    (step,) = _board(page, design, ["irc-2021"])["steps"]
    assert step["greatest"][0]["words"].endswith(", not known in full")


def test_rows_that_a_guessed_ledger_cannot_hold_are_not_drawn_as_stated(page: TestClient) -> None:
    design = opened(page)["design"]
    del design["facts"]["ledger.size"]
    design["facts"]["fasteners.lower_row_below_ledger_top"] = "10 in"  # on a 2x12 it has wood
    board = _board(page, design)
    assert "do not lie one above the other on the ledger drawn" in board["words"]
    assert "Rows: upper" not in board["words"]
    assert "row" not in board["words"].partition("as nobody stated it:")[2]
    assert re.search(r">(upper|lower)<", board["svg"]) is None


def test_rows_under_a_drop_nobody_stated_are_limited_at_some_drop_only(page: TestClient) -> None:
    design = opened(page)["design"]
    stated = _handle(_board(page, design), "lower row")
    assert not any("at some drop" in reach["words"] for reach in stated["reaches"])
    del design["facts"]["ledger.below_band_joist"]
    row = _handle(_board(page, design), "lower row")
    assert all("at some drop of the ledger" in r["words"] for r in row["reaches"] if r["most"])
    assert any(reach["most"] for reach in row["reaches"])
