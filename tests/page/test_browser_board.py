"""The drawing board in a real browser: members taken hold of, limits that stop them, questions."""

from __future__ import annotations

import json
import re
from typing import Any

import pytest

from deckclause.cli.main import run
from page.tabs import PHONE, add_place, check_axe, only, open_example, settled
from support.designs import EXAMPLES

TOWNS = {
    "Tarn Hollow": "2025-03-01",
    "Quillmere County": "2014-01-01",
    "Dunmarrow": "2020-01-01",
}


def _grip(tab: Any, member: str) -> Any:
    return tab.locator(f'#grips [data-name="{member}"]')


def _drag_down(tab: Any, member: str, pixels: float) -> None:
    box = _grip(tab, member).locator("circle.hit").bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    tab.mouse.move(x, y)
    tab.mouse.down()
    for part in (0.3, 0.6, 1.0):
        tab.mouse.move(x, y + pixels * part)
    tab.mouse.up()
    tab.wait_for_selector("body[data-answers=current]")


def _only_town(tab: Any, town: str, day: str) -> None:
    """Hold the deck against one town and nothing else: a place taken out is no longer offered."""
    others = tab.evaluate(
        "() => [...document.querySelectorAll('#against input:checked')].map((box) => box.value)"
    )
    add_place(tab, town, day)
    tab.evaluate("document.getElementById('against-details').open = true")
    for name in others:
        settled(tab, tab.locator(f'#against input[value="{name}"]').click)


def _placed(under: str, capsys: pytest.CaptureFixture[str]) -> dict[str, Any]:
    """What `place` proves for the example deck with its ledger at the band joist's top."""
    design = str(EXAMPLES / "step-down-3in.yaml")
    run(["place", "solve", design, "--under", under, "--format", "json"])
    found: dict[str, Any] = json.loads(capsys.readouterr().out)["rule_sets"][0]
    return found


def test_a_dragged_step_down_stops_where_place_proves_the_limit(
    view: Any, capsys: pytest.CaptureFixture[str]
) -> None:
    open_example(view)
    only(view, "irc-2021")
    figures = set()
    for town, day in TOWNS.items():
        _only_town(view, town, day)
        _grip(view, "ledger").focus()
        view.keyboard.press("Home")
        view.wait_for_selector("body[data-answers=current]")
        _drag_down(view, "ledger", 500)
        proved = _placed(f"{town}@{day}", capsys)["step_downs"][0]["range"]["greatest"]
        figure = proved["value"]["text"]
        shown = view.text_content("#steps-down dd:first-of-type")
        assert shown.startswith(f"{figure} as drawn; greatest: {town} {figure}")
        said = view.text_content("#board-said")
        assert f"under {town}" in said
        assert any(clause["cites"] in said for clause in _clauses(proved))
        assert view.input_value('[id="ledger.below_band_joist"]').endswith(" in")
        figures.add(figure)
    assert len(figures) >= 2  # towns that all stop alike would prove little


def _clauses(extreme: dict[str, Any]) -> list[dict[str, Any]]:
    return [link for link in extreme["links"] if link["cites"]]


def test_rows_and_joists_move_by_keyboard_and_every_move_can_be_undone(view: Any) -> None:
    open_example(view)
    only(view, "irc-2012", "irc-2018", "irc-2021")
    ledger = _grip(view, "ledger")
    ledger.focus()
    view.keyboard.press("Home")
    view.wait_for_selector("body[data-answers=current]")
    assert ledger.get_attribute("aria-valuetext") == "0 in"
    before = _grip(view, "lower row").get_attribute("aria-valuetext")
    _grip(view, "lower row").focus()
    settled(view, lambda: view.keyboard.press("ArrowDown"))
    moved = _grip(view, "lower row")
    assert (before, moved.get_attribute("aria-valuetext")) == ("6-1/2 in", "6-5/8 in")
    assert view.input_value('[id="fasteners.lower_row_below_ledger_top"]') == "6-5/8 in"
    view.keyboard.press("End")
    view.wait_for_selector("body[data-answers=current]")
    assert "No farther under" in view.text_content("#board-said") or moved.get_attribute(
        "aria-valuetext"
    ) in view.text_content("#reaches")
    view.click("#undo")
    view.wait_for_selector("body[data-answers=current]")
    assert view.input_value('[id="fasteners.lower_row_below_ledger_top"]') == "6-1/2 in"


def test_a_member_tapped_opens_its_questions_and_what_nobody_stated_is_dashed(
    view: Any,
) -> None:
    axe = pytest.importorskip("axe_playwright_python.sync_playwright")
    open_example(view)
    view.locator('#members [data-member="joists"]').press("Enter")
    settled(view, view.get_by_role("button", name="Same as the ledger").click)
    assert view.input_value('[id="joists[0].species"]') == "southern_pine"
    assert view.input_value('[id="joists[0].grade"]') == "no_2"
    view.locator('#members [data-member="ledger"]').press("Enter")
    assert view.input_value('[id="board-ledger.below_band_joist"]') == "3 in"
    settled(view, lambda: view.fill('[id="board-ledger.below_band_joist"]', ""))
    words = view.text_content("#section-words")
    assert "as nobody stated it" in words
    assert "ledger" in words.partition("nobody stated it:")[2]
    assert _grip(view, "ledger").get_attribute("aria-valuetext") == "not stated"
    dashed = "#drawn rect[stroke-dasharray='7 4']"
    assert view.locator(dashed).count() >= 1
    settled(view, lambda: view.fill('[id="board-ledger.below_band_joist"]', "1 in"))
    assert _grip(view, "ledger").get_attribute("aria-valuetext") == "1 in"
    check_axe(axe, view, "the board")


def test_lettering_of_the_board_is_read_without_leaning_forward(view: Any) -> None:
    """12 px and more on a desk; on a phone the drawing scrolls in its own frame, not the page."""
    open_example(view)
    smallest = """() => Math.min(...[...document.querySelectorAll('#stage text')].map((t) =>
        parseFloat(getComputedStyle(t).fontSize) * t.getScreenCTM().a))"""
    assert view.evaluate(smallest) >= 12
    view.set_viewport_size(PHONE)
    wide = "() => document.documentElement.scrollWidth - document.documentElement.clientWidth"
    assert view.evaluate(wide) <= 0


def test_plan_elevation_and_stairs_are_the_form_too(view: Any) -> None:
    """The beam stops at the joist span of the strictest table, as the card says it; all by keyboard."""
    axe = pytest.importorskip("axe_playwright_python.sync_playwright")
    open_example(view, "whole-deck-12x16.yaml")
    only(view, "irc-2018", "irc-2021")
    _shown(view, "plan")
    beam = _grip(view, "joists[0].span")
    beam.focus()
    settled(view, lambda: view.keyboard.press("End"))
    stop = view.locator("#reaches li").first.text_content()
    assert stop.startswith("IRC 2018: at most ")
    assert beam.get_attribute("aria-valuenow") == str(_inches(stop))
    view.keyboard.press("ArrowDown")
    assert "No farther under IRC 2018" in view.text_content("#board-said")
    settled(view, lambda: view.click("#undo"))
    assert beam.get_attribute("aria-valuetext") == "120 in"
    post = _grip(view, "posts[1].from_beam_end")
    box = post.locator("circle.hit").bounding_box()
    view.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    view.mouse.down()
    settled(view, lambda: view.mouse.move(box["x"] - 10, box["y"] + 20))
    view.mouse.up()
    assert float(post.get_attribute("aria-valuenow")) < 96
    view.locator('#members [data-member="beams[0]"]').press("Enter")
    assert view.input_value('[id="board-beams[0].size"]') == "2-2x10"
    check_axe(axe, view, "the plan")
    _shown(view, "elevation")
    spacing = _grip(view, "fasteners.spacing")
    spacing.focus()
    settled(view, lambda: view.keyboard.press("ArrowLeft"))
    assert view.input_value('[id="fasteners.spacing"]') == "15-7/8 in"
    _shown(view, "stairs")
    _grip(view, "stairs[0].tread_depth").focus()
    settled(view, lambda: view.keyboard.press("Home"))
    assert view.input_value('[id="stairs[0].tread_depth"]') == "10 in"


def _shown(tab: Any, view: str) -> None:
    tab.click(f'#board [data-view="{view}"]')
    tab.wait_for_selector(f'#board[data-shown="{view}"]')
    tab.wait_for_selector("body[data-answers=current]")


def _inches(told: str) -> int:
    """Read `at most 11 ft 1 in (...)` as inches."""
    found = re.search(r"at most (?:(\d+) ft ?)?(?:(\d+) in)?", told)
    assert found is not None
    return 12 * int(found[1] or 0) + int(found[2] or 0)


def test_a_measure_between_two_steps_is_neither_told_nor_moved_as_the_next_one(view: Any) -> None:
    """An end stops a member where it stands past a limit; it never moves it farther past."""
    open_example(view)
    only(view, "irc-2021")
    view.locator('#members [data-member="ledger"]').press("Enter")
    settled(view, lambda: view.fill('[id="board-ledger.below_band_joist"]', "5-1/16 in"))
    ledger = _grip(view, "ledger")
    assert ledger.get_attribute("aria-valuetext") == "about 5-1/8 in"
    ledger.focus()
    settled(view, lambda: view.keyboard.press("End"))
    assert view.input_value('[id="ledger.below_band_joist"]') == "5 in"
