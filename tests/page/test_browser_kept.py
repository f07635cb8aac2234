"""Nothing stale, nothing lost: errors of the server, a reload, a second tab, undo.

The server killed in the middle: `test_browser_whole_way`.
"""

from __future__ import annotations

import json
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from page.pages import STEP_DOWN
from page.tabs import DROP, STRUCK, leave, only, open_example, open_form, panel, settled


@pytest.fixture
def bare(browser: Any, address: str, folder: Path) -> Iterator[Any]:
    """Return a fresh tab in which faults of the server may happen."""
    for there in folder.iterdir():
        there.unlink()
    context = browser.new_context()
    tab = context.new_page()
    tab.set_default_timeout(20_000)
    tab.goto(address)
    yield tab
    leave(tab)


def _drafts(folder: Path) -> list[str]:
    return [
        json.loads(p.read_text())["design"]["facts"][DROP[5:-2]] for p in folder.glob(".*.draft")
    ]


def test_an_error_of_the_server_strikes_the_answers_and_asks_again(bare: Any) -> None:
    view = bare
    open_example(view)
    faults = iter([500, 500])
    view.route(
        "**/api/evaluate",
        lambda route: (
            route.fulfill(status=status) if (status := next(faults, 0)) else route.continue_()
        ),
    )
    open_form(view, "ledger")
    view.fill(DROP, "0 in")
    view.wait_for_selector("#trouble:has-text('the server answered 500')")
    assert view.evaluate(STRUCK) == "line-through"
    view.wait_for_selector("body[data-answers=current]")
    assert view.is_hidden("#trouble")


def test_without_a_rule_set_no_answer_stands(view: Any) -> None:
    open_example(view)
    view.evaluate("document.getElementById('against-details').open = true")
    for name in ("irc-2018", "irc-2021", "irc-2024"):
        view.uncheck(f'#against input[value="{name}"]')
    view.wait_for_selector("#trouble:has-text('No rule set is chosen')")
    assert view.evaluate(STRUCK) == "line-through"
    for place in ("section-words", "steps-down", "reaches"):
        assert view.evaluate(STRUCK.replace("cards", place)) == "line-through"
    said = view.evaluate("getComputedStyle(document.getElementById('board'), '::before').content")
    assert "earlier state of the deck" in said


def test_while_an_answer_is_awaited_the_old_one_is_struck_through(view: Any) -> None:
    open_example(view)
    view.route("**/api/evaluate", lambda route: (time.sleep(0.5), route.continue_()))
    open_form(view, "ledger")
    view.fill(DROP, "0 in")
    assert view.get_attribute("body", "data-answers") == "waiting"
    view.wait_for_function(f"() => {STRUCK} === 'line-through'")
    view.wait_for_selector("body[data-answers=current]")
    view.wait_for_function(f"() => {STRUCK} === 'none'")


def test_everything_can_be_undone_and_is_there_after_a_reload(view: Any) -> None:
    open_example(view)
    only(view, "irc-2015", "irc-2024")
    open_form(view, "ledger", "beams", "decking")
    settled(view, lambda: view.click("button.add-part[data-group=beams]"))
    settled(view, lambda: view.fill('[id="beams[0].length"]', "12 ft"))
    settled(view, lambda: view.select_option('[id="ledger.size"]', "2x8"))
    settled(view, lambda: view.click(".remove-part >> visible=true"))
    assert view.locator('[id="beams[0].length"]').count() == 0
    settled(view, lambda: view.click("#undo"))
    assert view.input_value('[id="beams[0].length"]') == "12 ft"
    view.wait_for_selector("#kept:has-text('Kept as a draft')")
    view.reload()
    view.wait_for_selector("body[data-answers=current]")
    panel(view, "design")
    assert view.input_value('[id="beams[0].length"]') == "12 ft"
    assert view.inner_text("#chosen") == "IRC 2015, IRC 2024"
    for _ in range(3):
        settled(view, lambda: view.click("#undo"))
    assert view.input_value('[id="ledger.size"]') == "2x10"
    assert view.locator('[id="beams[0].length"]').count() == 0
    settled(view, lambda: view.click("#undo"))
    assert view.inner_text("#chosen") != "IRC 2015, IRC 2024"
    for _ in range(5):
        settled(view, lambda: view.click("#redo"))
    assert view.input_value('[id="ledger.size"]') == "2x8"
    assert view.locator('[id="beams[0].length"]').count() == 0


def test_a_second_tab_on_the_same_deck_does_not_overwrite_what_the_first_kept(
    view: Any, folder: Path
) -> None:
    open_example(view)
    open_form(view, "ledger")
    settled(view, lambda: view.fill(DROP, "2 in"))
    view.wait_for_selector("#kept:has-text('Kept as a draft')")
    other = view.context.new_page()
    key = view.evaluate("sessionStorage.getItem('deckclause-key')")
    other.goto(f"{view.url}#key={key}")
    other.wait_for_selector("body[data-answers=current]")
    open_form(other, "ledger")
    settled(other, lambda: other.fill(DROP, "1 in"))
    other.wait_for_selector("#kept:has-text('Kept as a draft')")
    settled(view, lambda: view.fill(DROP, "4 in"))
    view.wait_for_selector("#kept:has-text('worked on in another tab')")
    assert _drafts(folder) == ["1 in"]
    assert STEP_DOWN in {p.name[1:-6] for p in folder.glob(".*.draft")}
    view.goto(
        "about:blank"
    )  # what it sends on leaving is refused now, not while the next test runs
