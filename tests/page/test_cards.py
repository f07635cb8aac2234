"""The cards say what the command's JSON says of the same design, and nothing else."""

from __future__ import annotations

import html
import json
import re
from typing import Any

import pytest
from starlette.testclient import TestClient

from deckclause.evaluate.catalogue import Catalogue
from page.pages import client, opened
from page.test_results import _command
from support.designs import EXAMPLES

CATALOGUE = Catalogue.open()
UNDER = ["irc-2012", "irc-2021", "Tarn Hollow@2024-02-01"]
GRAVER = ("complies", "information missing", "engineering required", "does not comply")
DESIGNS = ("step-down-3in.yaml", "snow-country.yaml", "whole-deck-12x16.yaml")


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> TestClient:
    return client(tmp_path_factory.mktemp("empty"), CATALOGUE)


def _words(text: str) -> str:
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", text)).split())


def _both(page: TestClient, name: str) -> tuple[dict[str, Any], dict[str, Any]]:
    asked = {"design": opened(page, name)["design"], "under": UNDER, "matrix": True}
    answer = page.post("/api/evaluate", json=asked)
    assert answer.status_code == 200, answer.text
    under = [word for rule_set in UNDER for word in ("--under", rule_set)]
    command = json.loads(_command(EXAMPLES, "compare", name, *under, "--format", "json"))
    return answer.json(), command


@pytest.mark.parametrize("name", DESIGNS)
def test_each_card_says_what_the_command_says(page: TestClient, name: str) -> None:
    shown, command = _both(page, name)
    cards = {card["name"]: card for card in shown["cards"]}
    order = [GRAVER.index(card["status"]) for card in shown["cards"]]
    assert order == sorted(order, reverse=True)
    for rule_set in command["rule_sets"]:
        card = cards[rule_set["name"]]
        words = _words(card["html"])
        assert card["status"] == rule_set["status"]
        assert card["title"] == rule_set["called"]
        counts = rule_set["counts"]
        for start, key in (
            ("fails on", "does_not_comply"),
            ("needs engineering on", "engineering_required"),
            ("not known on", "information_missing"),
            ("complies on", "complies"),
        ):
            told = re.search(rf"{start} (\d+) topics?", words)
            assert (int(told[1]) if told else 0) == counts[key], (start, words)
        if rule_set["warning"]:
            assert rule_set["warning"] in words
        _check_failures(card["html"], command, rule_set["name"])
    assert set(cards) == {rule_set["name"] for rule_set in command["rule_sets"]}


def _check_failures(card: str, command: dict[str, Any], rule_set: str) -> None:
    """Every part that fails stands on the card with its section, and nothing that does not."""
    items = re.findall(r'<li data-fails="(\w+)">(.*?)</li>', card, re.DOTALL)
    expected = [
        (row["topic"], row["title"], finding)
        for row in command["topics"]
        for outcome in row["outcomes"]
        if outcome["rule_set"] == rule_set
        and outcome["status"] in ("does not comply", "engineering required")
        for finding in outcome["findings"]
        if finding["status"] == outcome["status"]
    ]
    assert {topic for topic, _ in items} == {topic for topic, _, _ in expected}
    for topic, text in items:
        words = _words(text)
        cited = [f for t, title, f in expected if t == topic and words.startswith(title)]
        assert [f for f in cited if f["cites"] in words], words


def test_the_few_questions_are_the_commands(
    page: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "200")  # the command cuts a line where the window ends
    asked = {"design": opened(page)["design"], "under": UNDER}
    shown = page.post("/api/evaluate", json=asked).json()
    under = [word for rule_set in UNDER for word in ("--under", rule_set)]
    printed = _command(EXAMPLES, "compare", "step-down-3in.yaml", *under)
    lines = printed.splitlines()
    begins = lines.index(shown["asked"]["words"])
    told = [line.strip() for line in lines[begins + 1 :] if line.startswith("  ")][:5]
    questions = [question for _, question in shown["asked"]["questions"]]
    told = [line for line in told if line in questions]
    assert told == questions[: len(told)]
    assert told


def test_each_cell_holds_the_designs_value_and_the_limit(page: TestClient) -> None:
    shown, command = _both(page, "step-down-3in.yaml")
    rows = {row["topic"]: row["html"] for row in shown["matrix"]["rows"]}
    checked = 0
    for row in command["topics"]:
        cells = re.findall(
            r'<td class="\w+" data-rule-set="([^"]+)" data-status="([^"]+)">(.*?)</td>',
            rows[row["topic"]],
        )
        assert {name for name, _, _ in cells} == {o["rule_set"] for o in row["outcomes"]}
        outcomes = {outcome["rule_set"]: outcome for outcome in row["outcomes"]}
        for name, status, text in cells:
            outcome = outcomes[name]
            assert status == outcome["status"]
            drawn = re.search(r'class="drawn">(.*?) as drawn<', text)
            values = [f["value"] for f in outcome["findings"] if isinstance(f["value"], dict)]
            if drawn and " to " not in drawn[1]:
                assert html.unescape(drawn[1]) in {value["text"] for value in values}
                checked += 1
    assert checked > 20
