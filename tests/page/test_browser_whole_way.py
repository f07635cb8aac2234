"""The whole way in one sitting: an empty folder, a new deck by answers, a step down dragged in three
towns, the server killed in the middle, what to buy, and a request that lacks nothing."""

from __future__ import annotations

import csv
import json
import os
import re
import signal
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest

from deckclause.cli.main import run
from deckclause.report.choosing.buying import BUYING
from page.pages import serving
from page.request_answers import answer_all
from page.tabs import DROP, STRUCK, add_place, open_form, panel, settled, taken

ANSWERS = {
    "wall.structure": "wood_frame",
    "wall.sheathing_kind": "wood_structural_panel",
    "wall.sheathing_thickness": "7/16 in",
    "wall.gap_to_sheathing": "0 in",
    "wall.drainage_washer_stack": "0 in",
    "floor.subfloor_thickness": "3/4 in",
    "floor.finish_thickness": "3/4 in",
    "band_joist.kind": "sawn_lumber",
    "band_joist.species": "spruce_pine_fir",
    "band_joist.directly_supported_by": "mudsill",
    "ledger.species": "southern_pine",
    "ledger.grade": "no_2",
    "fasteners.upper_row_below_ledger_top": "2 in",
    "fasteners.lower_row_below_ledger_top": "6-1/2 in",
    "decking.thickness": "1 in",
    "ledger.length": "12 ft",
    "joists[0].below_ledger_top": "0 in",
    "joists[0].spacing": "16 in",
    "joists[0].field_width": "12 ft",
    "joists[0].species": "southern_pine",
    "joists[0].grade": "no_2",
    "band_joist.size": "2x10",
}
TOWNS = {"Tarn Hollow": "2025-03-01", "Quillmere County": "2014-01-01", "Dunmarrow": "2020-01-01"}
FILE = "sun-deck.yaml"


def test_the_whole_way(browser: Any, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    context = browser.new_context(accept_downloads=True)
    tab = context.new_page()
    tab.set_default_timeout(15_000)
    figures = {}
    with serving(tmp_path) as (address, process):
        tab.goto(address)
        tab.wait_for_selector("#in-folder:has-text('There is no design')")
        _begin(tab)
        for town in list(TOWNS)[:2]:
            figures[town] = _stops(tab, town)
        tab.wait_for_selector("#kept:has-text('Kept as a draft')")
        os.kill(process, signal.SIGKILL)
        kept = tab.input_value(DROP)
        _grip(tab).press("ArrowUp")
        tab.wait_for_selector("#trouble:has-text('no longer answers')")
        assert tab.evaluate(STRUCK) == "line-through"
        assert tab.is_visible("#retry")
    port = urlsplit(address).port
    with serving(tmp_path, "--port", str(port)) as (again, _):
        tab.wait_for_selector("#trouble:has-text('key of this run')")  # it asks by itself
        tab.evaluate("address => { location.href = address; }", again)
        tab.wait_for_selector("body[data-answers=current]")
        assert tab.is_hidden("#trouble")
        assert tab.evaluate(STRUCK) == "none"
        assert tab.input_value(DROP) != kept  # what was moved while nobody answered
        settled(tab, lambda: tab.keyboard.press("Control+z"))
        assert tab.input_value(DROP) == kept
        town = list(TOWNS)[2]
        figures[town] = _stops(tab, town)
        _save(tab, tmp_path)
        for name, (figure, said) in figures.items():
            proved = _proved(tmp_path, f"{name}@{TOWNS[name]}", capsys)
            assert figure == proved["value"]["text"], name
            assert f"under {name}" in said
            assert any(link["cites"] in said for link in proved["links"] if link["cites"])
        assert len({figure for figure, _ in figures.values()}) > 1  # all alike would prove little
        _buys(tab)
        _requests(tab, tmp_path)
        context.close()


def _grip(tab: Any) -> Any:
    return tab.locator('#grips [data-name="ledger"]')


def _begin(tab: Any) -> None:
    """Begin a deck and answer for it; the name and the first answers by keyboard alone."""
    tab.focus("#new")
    settled(tab, lambda: tab.keyboard.press("Enter"))
    first = next(iter(TOWNS))
    others = tab.evaluate(
        "() => [...document.querySelectorAll('#against input:checked')].map((box) => box.value)"
    )
    add_place(tab, first, TOWNS[first])
    for name in others:
        settled(tab, tab.locator(f'#against input[value="{name}"]').click)
    open_form(tab, *dict.fromkeys(re.split(r"[.\[]", name)[0] for name in ANSWERS))
    tab.focus("#name")
    tab.keyboard.press("Control+a")
    tab.keyboard.type("Sun deck")
    for name, text in ANSWERS.items():
        place = f'[id="{name}"]'
        if tab.evaluate("place => document.querySelector(place).tagName", place) == "SELECT":
            tab.select_option(place, text)
        elif name.startswith("fasteners."):
            tab.focus(place)
            tab.keyboard.type(text)
        else:
            tab.fill(place, text)
    tab.evaluate("document.querySelector('[data-group=doors]').open = true")
    tab.check("#none-doors")
    tab.wait_for_selector("body[data-answers=current]")
    tab.focus("#tab-board")
    settled(tab, lambda: tab.keyboard.press("Enter"))


def _stops(tab: Any, town: str) -> tuple[str, str]:
    """Drag the ledger down under one town alone; return the greatest step shown and what is said."""
    others = tab.evaluate(
        "() => [...document.querySelectorAll('#against input:checked')].map((box) => box.value)"
    )
    label = f"{town}@{TOWNS[town]}"
    if label not in others:
        add_place(tab, town, TOWNS[town])
        tab.evaluate("document.getElementById('against-details').open = true")
        for name in others:
            settled(tab, tab.locator(f'#against input[value="{name}"]').click)
        tab.evaluate("document.getElementById('against-details').open = false")
    _grip(tab).focus()
    tab.keyboard.press("Home")
    tab.wait_for_selector("body[data-answers=current]")
    held = _grip(tab).locator("circle").last
    held.hover()
    box = held.bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    tab.mouse.down()
    for part in (150, 300, 500):
        tab.mouse.move(x, y + part)
    tab.mouse.up()
    tab.wait_for_selector("body[data-answers=current]")
    shown = tab.text_content("#steps-down dd:first-of-type")
    figure = shown.partition(" as drawn")[0]
    assert figure.endswith(" in")
    assert shown.startswith(f"{figure} as drawn; greatest: {town} {figure}")
    return figure, tab.text_content("#board-said")


def _save(tab: Any, folder: Path) -> None:
    panel(tab, "design")
    tab.fill("#file-name", FILE)
    tab.keyboard.press("Control+s")
    tab.wait_for_selector(f"#kept:has-text('Saved as {FILE}')")
    assert "name: Sun deck" in (folder / FILE).read_text(encoding="utf-8")


def _proved(folder: Path, under: str, capsys: pytest.CaptureFixture[str]) -> dict[str, Any]:
    """What `place` proves of the deck as saved."""
    run(["place", "solve", str(folder / FILE), "--under", under, "--format", "json"])
    found = json.loads(capsys.readouterr().out)["rule_sets"][0]["step_downs"][0]
    greatest: dict[str, Any] = found["range"]["greatest"]
    return greatest


def _buys(tab: Any) -> None:
    """Take away what to cut and buy, as a list a lumber yard reads."""
    panel(tab, "files")
    tab.select_option("#kind", "buying")
    name, content = taken(tab, "#download")
    assert name == "sun-deck-buy.csv"
    head, *rows = csv.reader(content.decode().splitlines())
    assert head[: len(BUYING)] == list(BUYING)
    assert any("2x" in " ".join(row) for row in rows), rows


def _requests(tab: Any, folder: Path) -> None:
    """Draw the step past the limit and ask for relief; the request filed lacks nothing."""
    settled(tab, lambda: panel(tab, "board"))
    _grip(tab).focus()
    for _ in range(2):
        settled(tab, lambda: tab.keyboard.press("Shift+ArrowDown"))
    panel(tab, "relief-panel")
    tab.click("#write")
    tab.wait_for_selector("#relief-choice-1")
    tab.check("#relief-choice-1")
    tab.click("#take-relief")
    tab.wait_for_selector("#request-form:visible")
    assert len(answer_all(tab)) > 10
    tab.wait_for_selector("#request-lacks:has-text('Nothing is missing')")
    tab.select_option("#request-format", "yaml")
    name, content = taken(tab, "#request")
    assert name == "sun-deck-request.yaml"
    settled(tab, lambda: tab.click("#undo"))  # the request is of the deck it was written for
    tab.click("#redo")
    tab.click("#save")
    tab.wait_for_selector(f"#kept:has-text('Saved as {FILE}')")
    (folder / "request.yaml").write_bytes(content)
    assert run(["request", "check", str(folder / "request.yaml")]) == 0
