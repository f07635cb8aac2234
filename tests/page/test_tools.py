"""What else may be asked of the deck on screen is what the command answers of the same file."""

from __future__ import annotations

import csv
import html
import io
import json
import re
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from deckclause.evaluate.catalogue import Catalogue
from deckclause.page.downloads import KINDS
from page.pages import STEP_DOWN, client, example, opened
from page.test_cards import _words
from page.test_results import _command
from support.designs import EXAMPLES

CATALOGUE = Catalogue.open()
WHOLE = "whole-deck-12x16.yaml"
PRICES = {"2x8": 14, "2x10": 19, "4x4": 12, "4x6": 21, "6x6": 38, "concrete": 6, "lag screw": 1}
STAGGERED = "bolts-16-staggered.yaml"


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> TestClient:
    return client(tmp_path_factory.mktemp("empty"), CATALOGUE)


def _asked(page: TestClient, name: str, *under: str) -> dict[str, Any]:
    given = opened(page, name)
    return {"design": given["design"], "base": given["base"], "file": name, "under": list(under)}


def test_the_sizes_chosen_are_the_commands_and_can_be_taken_over(page: TestClient) -> None:
    asked = _asked(page, WHOLE, "irc-2021")
    shown = page.post("/api/choosing", json=asked).text
    command = json.loads(
        _command(EXAMPLES, "choose", WHOLE, "--under", "irc-2021", "--format", "json")
    )
    best = command["solutions"][0]
    rows = re.findall(r'<tr data-quantity="([\w.]+)">(.*?)</tr>', shown, re.DOTALL)
    assert rows
    uses = [json.loads(html.unescape(one)) for one in re.findall(r'data-use="(.*?)"', shown)]
    assert len(uses) == len(command["solutions"])
    for quantity, text in rows:
        told = json.dumps(best, ensure_ascii=False)
        chosen = re.findall(r"<td>(.*?)</td>", text)[1]
        assert html.unescape(chosen).removesuffix(" on center") in told.replace("_", " ")
        assert quantity in uses[0]
    for item in csv.DictReader(
        io.StringIO(_command(EXAMPLES, "choose", WHOLE, "--under", "irc-2021", "--format", "csv"))
    ):
        assert all(html.escape(value, quote=False) in shown for value in item.values() if value)
    design = asked["design"]
    for quantity, text in uses[0].items():
        group, key = quantity.split(".")
        for part in design["parts"].get(group, []):
            part["facts"][key] = text
        if group not in design["parts"]:
            design["facts"][quantity] = text
    answer = page.post("/api/evaluate", json={"design": design, "under": ["irc-2021"]}).json()
    assert answer["faults"] == []
    assert [card["status"] for card in answer["cards"]] == ["complies"]


@pytest.mark.parametrize("under", ["irc-2018", "irc-2012"])
def test_sizes_with_which_anything_is_open_are_called_no_pass_as_the_command_calls_them(
    page: TestClient, under: str
) -> None:
    """IRC 2012 has no beam, joist, post or footing table for decks: sizes under it are no pass."""
    shown = page.post("/api/choosing", json=_asked(page, WHOLE, under)).text
    told = _command(EXAMPLES, "choose", WHOLE, "--under", under)
    assert ("Sizes that comply under" in shown) == ("sizes that comply under" in told)
    assert (
        ("NO PASS AS A WHOLE" in shown) == ("NO PASS AS A WHOLE" in told) == (under == "irc-2012")
    )


def test_the_readers_own_prices_choose_as_the_command_does(
    page: TestClient, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "220")  # the command leaves out what a window has no room for
    lines = ["item,length,price", *(f"{size},,{price}" for size, price in PRICES.items())]
    (tmp_path / "yard.csv").write_text("\n".join(lines), encoding="utf-8")
    (tmp_path / WHOLE).write_text(example(WHOLE), encoding="utf-8")
    words = ("choose", WHOLE, "--under", "irc-2021", "--prices", "yard.csv")
    printed = _command(tmp_path, *words)
    cost = next(line for line in printed.splitlines() if line.startswith("cost")).split()[1:]
    asked = {**_asked(page, WHOLE, "irc-2021"), "prices": "\n".join(lines)}
    shown = page.post("/api/choosing", json=asked).text
    row = shown.split('id="cost"')[1].split("</tr>")[0]
    assert re.findall(r"<td>([\d.,]+)</td>", row) == cost
    assert "least cost by the price list" in shown
    spoilt = page.post("/api/choosing", json={**asked, "prices": "item,length\n2x8,\n"})
    assert spoilt.status_code == 400
    assert "price" in " ".join(spoilt.json()["problems"])


def test_one_deck_for_all_says_what_the_command_says(page: TestClient) -> None:
    under = ("irc-2012", "irc-2021")
    shown = _words(page.post("/api/strictest", json=_asked(page, STEP_DOWN, *under)).text)
    words = [word for name in under for word in ("--under", name)]
    command = _command(
        EXAMPLES, "compare", STEP_DOWN, *words, "--strictest", "--format", "markdown"
    )
    rows = [line.strip("| ").split(" | ") for line in command.splitlines() if line.startswith("| ")]
    limits = [row for row in rows[1:] if len(row) == 5 and not set(row[0]) <= {"-", " "}]
    assert len(limits) > 5
    for topic, limit, *_ in limits:
        assert f"{topic.strip()} {limit.strip()}".replace("\\", "") in shown


def test_the_layout_is_the_commands(page: TestClient) -> None:
    asked = _asked(page, STAGGERED, "irc-2018")
    shown = html.unescape(re.sub(r"<[^>]+>", " ", page.post("/api/layout", json=asked).text))
    printed = _command(EXAMPLES, "place", "layout", STAGGERED, "--under", "irc-2018")
    assert " ".join(shown.split()) == " ".join(printed.split())


@pytest.mark.parametrize("kind", [k for k in KINDS if KINDS[k].of_one or k.startswith("plan")])
def test_a_drawing_or_sheet_is_written_and_says_what_it_lacks(page: TestClient, kind: str) -> None:
    asked = {**_asked(page, STEP_DOWN, "irc-2012", "irc-2021"), "kind": kind, "one": "irc-2012"}
    answer = page.post("/api/download", json=asked)
    assert answer.status_code == 200, answer.text
    ending = kind.rpartition("_")[2]
    begins = {"svg": b"<svg", "png": b"\x89PNG"}.get(ending, b"%PDF")
    assert answer.content.startswith(begins)
    if kind == "section_svg":
        assert "under IRC 2012" in answer.text
    if kind == "elevation_svg":  # this deck does not say enough to lay its fasteners out
        assert "No layout of the fasteners is drawn" in answer.text
        assert "? ends of the band joist" in answer.text


def test_no_file_tells_of_half_a_design(page: TestClient) -> None:
    asked = _asked(page, STEP_DOWN, "irc-2012")
    asked["design"]["facts"]["ledger.size"] = "2x9"
    for route in ("choosing", "strictest", "layout"):
        answer = page.post(f"/api/{route}", json=asked)
        assert answer.status_code == 400
        assert "2x9" in " ".join(answer.json()["problems"])


def test_before_and_after_are_the_commands_two_designs(page: TestClient, tmp_path: Path) -> None:
    before = opened(page)["design"]
    after = json.loads(json.dumps(before))
    after["facts"]["ledger.below_band_joist"] = "0 in"
    (tmp_path / "one.yaml").write_text(example(), encoding="utf-8")
    changed = example().replace("below_band_joist: 3 in", "below_band_joist: 0 in")
    (tmp_path / "two.yaml").write_text(changed, encoding="utf-8")
    under = ["--under", "irc-2012", "--under", "irc-2021"]
    command = json.loads(
        _command(tmp_path, "compare", "one.yaml", "two.yaml", *under, "--format", "json")
    )
    asked = {"before": before, "after": after, "under": ["irc-2012", "irc-2021"]}
    for brief in (False, True):
        text = page.post("/api/two", json={**asked, "brief": brief}).text
        shown = re.findall(r'<li data-changes="(\w+)">(.*?)</li>', text, re.DOTALL)
        assert len(shown) == len(command["outcomes"]) > 0
        for (topic, words), outcome in zip(shown, command["outcomes"], strict=True):
            assert topic == outcome["topic"]
            told = f"{outcome['rule_set']}: {outcome['before']}; then {outcome['after']}"
            assert told in _words(words)
        assert f"{command['unchanged']} " in _words(text)


def test_in_si_units_every_figure_is_in_si_units(page: TestClient) -> None:
    asked = {"design": opened(page)["design"], "under": ["irc-2012"], "matrix": True, "si": True}
    answer = page.post("/api/evaluate", json=asked).json()
    cells = "".join(re.findall(r'class="(?:drawn|limit)">(.*?)<', str(answer["matrix"])))
    assert " mm" in cells
    assert not re.search(r"\d (in|ft|psf|lb|plf)\b", cells)
    figures = "".join(re.findall(r'class="figures">(.*?)</span>', answer["cards"][0]["html"]))
    assert " mm" in figures
    assert not re.search(r"\d (in|ft)\b", figures)
