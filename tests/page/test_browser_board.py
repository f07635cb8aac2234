"""The drawing board in a real browser: members taken hold of, limits that stop them, questions."""

from __future__ import annotations

import re
from typing import Any

import pytest

from page.tabs import PHONE, check_axe, only, open_example, settled


def _grip(tab: Any, member: str) -> Any:
    return tab.locator(f'#grips [data-name="{member}"]')


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
