"""The page in a real browser: from opening to a downloaded report, by keyboard, at phone width.

Needs Chromium on the machine and Playwright for Python; skipped, with the reason, without them.
"""

from __future__ import annotations

import contextlib
import csv
import io
import json
from pathlib import Path
from typing import Any

import pytest

from deckclause.cli.main import run
from deckclause.rulesets.names import rule_set_title
from oracle.random_designs import facts_to_design_document, random_facts
from page.pages import STEP_DOWN, example
from page.tabs import (
    DESKTOP,
    DROP,
    NARROW,
    PHONE,
    PHONE_TOO,
    add_place,
    check_axe,
    only,
    open_example,
    open_form,
    panel,
    settled,
    taken,
)
from support.sizes import cases

RANDOM_DESIGNS = cases(12, by_name=200)
"""Random designs compared."""
WORST_FIRST = ("does not comply", "engineering required", "information missing", "complies")
PAIRS = (
    ("irc-2012", "irc-2015"),
    ("irc-2009", "irc-2018"),
    ("irc-2018", "irc-2021"),
    ("irc-2015", "irc-2024"),
)


@PHONE_TOO
def test_from_opening_to_a_saved_design_and_a_report(view: Any, folder: Path) -> None:
    open_example(view)
    only(view, "irc-2012", "irc-2015")
    add_place(view, "Tarn Hollow", "2024-02-01")
    assert view.inner_text('#cards [data-rule-set="irc-2012"] header .status') == "does not comply"

    open_form(view, "ledger", "band_joist")
    settled(view, lambda: view.fill(DROP, "three inches"))
    view.wait_for_selector('[id="ledger.below_band_joist-fault"]:visible')
    assert view.get_attribute(DROP, "aria-invalid") == "true"
    settled(view, lambda: view.fill(DROP, '3/4"'))
    view.wait_for_selector("[aria-invalid]", state="detached")
    view.wait_for_selector('[id="ledger.below_band_joist-reading"]:visible')
    assert "read as 3/4 in" in view.inner_text('[id="ledger.below_band_joist-reading"]')
    most = '#cards [data-under="irc-2012"][data-measure="greatest_step_down"] .most'
    before = view.inner_text(most)
    settled(view, lambda: view.select_option('[id="band_joist.size"]', "2x12"))
    assert view.inner_text(most) != before

    view.fill("#file-name", "my deck.yaml")
    view.click("#save")
    view.wait_for_selector("#saved:has-text('Saved as my deck.yaml')")
    saved = (folder / "my deck.yaml").read_text(encoding="utf-8")
    expected = example().replace("below_band_joist: 3 in", 'below_band_joist: 3/4"')
    assert saved == expected.replace(
        "kind: sawn_lumber\n  size: 2x10", "kind: sawn_lumber\n  size: 2x12"
    )

    settled(view, lambda: view.fill(DROP, "1 in"))
    view.click("#save")  # its own file, as it left it: nothing is asked
    view.wait_for_selector("#kept:has-text('Saved as my deck.yaml')")
    assert "below_band_joist: 1 in" in (folder / "my deck.yaml").read_text(encoding="utf-8")

    others = expected.replace("Step down", "Another's step down")
    (folder / "my deck.yaml").write_text(others, encoding="utf-8")
    settled(view, lambda: view.fill(DROP, "2 in"))
    view.click("#save")
    view.wait_for_selector("#replace[open]:has-text('changed by someone else')")
    view.click("#keep")
    assert (folder / "my deck.yaml").read_text(encoding="utf-8") == others
    view.click("#save")
    view.click("#do-replace")
    view.wait_for_selector("#kept:has-text('Saved as my deck.yaml')")
    assert "below_band_joist: 2 in" in (folder / "my deck.yaml").read_text(encoding="utf-8")

    panel(view, "files")
    view.select_option("#kind", "html")
    name, report = taken(view, "#download")
    assert name == "my deck-compared.html"
    assert "Tarn Hollow" in report.decode()
    assert "Step down of 3 in" in report.decode()


@PHONE_TOO
def test_axe_finds_nothing(view: Any) -> None:
    axe = pytest.importorskip(
        "axe_playwright_python.sync_playwright", reason="axe-playwright-python is not installed"
    )
    phone = view.viewport_size == PHONE
    if phone:
        check_axe(axe, view, "the start")
    open_example(view)
    panel(view, "design")
    view.click("#unfold")
    view.click("button.add-part[data-group=beams]")
    settled(view, lambda: view.fill('[id="beams[0].length"]', "long"))
    view.wait_for_selector("#beams .fault:visible, [aria-invalid]")
    if phone:
        check_axe(axe, view, "the design and its results")
        return
    view.emulate_media(color_scheme="dark")
    settled(view, lambda: view.fill('[id="beams[0].length"]', "12 ft"))
    panel(view, "strictest")
    view.click("#strictest .work-out")
    view.wait_for_selector("#strictest-limits")
    check_axe(axe, view, "one deck for all, in the dark")
    view.emulate_media(color_scheme="light")
    panel(view, "board")
    settled(view, lambda: view.click("#show-matrix"))
    check_axe(axe, view, "every topic, and the drawing")
    view.locator("#matrix button.cell").first.click()
    view.wait_for_selector("#depth[open]")
    check_axe(axe, view, "one topic in depth")


@pytest.mark.parametrize("view", [NARROW, DESKTOP], ids=["narrow", "desktop"], indirect=True)
def test_nothing_is_wider_than_the_window(view: Any) -> None:
    width, height = view.viewport_size["width"], view.viewport_size["height"]
    for act in (
        lambda: None,
        lambda: open_example(view),
        lambda: settled(view, lambda: view.click("#show-matrix")),
        lambda: view.click("#show-cards"),
        lambda: panel(view, "design"),
        lambda: view.click("#unfold"),
        lambda: panel(view, "relief-panel"),
    ):
        act()
        assert view.evaluate("document.documentElement.scrollWidth") <= width
        if width < DESKTOP["width"]:
            assert view.evaluate(_TOO_SMALL) == []
        if width >= DESKTOP["width"]:  # one window: its parts scroll, the page does not
            assert view.evaluate("document.documentElement.scrollHeight") <= height


_TOO_SMALL = """() => [...document.querySelectorAll('button, a, select, summary, input, textarea')]
    .filter((one) => one.checkVisibility() && !one.closest('.skip, .aloud'))
    .map((one) => [one, (one.closest('.check, .none-of') || one).getBoundingClientRect()])
    .filter(([, box]) => box.width > 1 && box.height < 43.5)
    .map(([one, box]) => `${one.outerHTML.slice(0, 80)} ${box.height}`)"""


@pytest.mark.parametrize("view", [PHONE], ids=["phone"], indirect=True)
def test_on_a_phone_the_drawing_stands_above_cards_that_are_swiped(view: Any) -> None:
    open_example(view)
    only(view, "irc-2012", "irc-2018")
    board, cards = (view.locator(name).bounding_box() for name in ("#board", "#cards"))
    assert board["y"] + board["height"] <= cards["y"]
    assert board["height"] <= PHONE["height"] / 2
    first, second = (box.bounding_box() for box in view.locator("#cards > li").all())
    assert abs(first["y"] - second["y"]) < 1
    assert second["x"] > first["x"] + first["width"] - 1
    view.locator("#cards > li").last.scroll_into_view_if_needed()
    assert view.evaluate("document.getElementById('cards').scrollLeft") > 0
    assert view.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]


def test_it_can_be_worked_by_keyboard_alone(view: Any) -> None:
    view.keyboard.press("Tab")
    assert view.evaluate("document.activeElement.textContent") == "Skip to the design"
    view.get_by_role("button", name=STEP_DOWN).focus()
    settled(view, lambda: view.keyboard.press("Enter"))
    view.wait_for_selector("#left:focus")
    view.keyboard.press("Tab")
    view.keyboard.press("ArrowRight")
    assert view.evaluate("document.activeElement.textContent") == "Form"
    view.wait_for_selector("#design:visible")
    for _ in range(7):
        view.keyboard.press("Tab")
    assert view.evaluate("document.activeElement.closest('details').dataset.group") == "site"
    view.locator("#cards button.topic").first.focus()
    topic = view.evaluate("document.activeElement.textContent")
    view.keyboard.press("Enter")
    view.wait_for_selector("#depth[open]")
    view.keyboard.press("Escape")
    assert view.evaluate("document.activeElement.textContent") == topic
    view.locator("#questions summary").focus()
    view.keyboard.press("Enter")
    view.locator("#questions [data-goto^='joists.']").first.focus()
    view.keyboard.press("Enter")
    assert view.evaluate("document.activeElement.dataset.field").startswith("joists.")
    assert view.evaluate("document.activeElement.value") == ""
    before = view.input_value(DROP)
    view.focus(DROP)
    settled(view, lambda: view.keyboard.type("1"))
    settled(view, lambda: view.keyboard.press("Control+z"))
    assert view.input_value(DROP) == before
    settled(view, lambda: view.keyboard.press("Control+Shift+z"))
    assert view.input_value(DROP) == f"{before}1"


def test_the_page_is_read_aloud_in_the_order_that_matters(view: Any) -> None:
    open_example(view)
    only(view, "irc-2012", "irc-2018")
    tree = view.locator("#results").aria_snapshot()
    begins = [
        'heading "What the rule sets make of it" [level=2]',
        "IRC 2012, IRC 2018",
        'button "Cards" [pressed]',
        "DOES IT HOLD TOGETHER?",
        'list "A card for each rule set"',
        'listitem "IRC 2012"',
        "does not comply",
        'heading "Does not comply" [level=4]',
        'button "Lower row above the band joist\'s bottom"',
        'heading "How far down it may go" [level=4]',
        'listitem "IRC 2018"',
        'heading "To find out" [level=3]',
        "TO FIND OUT:",
    ]
    place = 0
    for words in begins:
        place = tree.find(words, place)
        assert place >= 0, words
    spoken = view.inner_text("#summary")  # a live region: told again whenever it changes
    assert "IRC 2012: does not comply. IRC 2018: does not comply." in spoken
    assert view.get_attribute("#summary", "role") == "status"
    open_form(view, "ledger")
    settled(view, lambda: view.fill(DROP, "0 in"))
    assert view.inner_text("#summary") != spoken
    assert view.locator("#panels").aria_snapshot().count("tab ") >= 6


def test_an_edit_is_answered_while_a_report_is_written_which_can_be_stopped(view: Any) -> None:
    open_example(view)
    open_form(view, "ledger")
    panel(view, "files")
    view.select_option("#kind", "pdf_full")
    view.click("#download")
    view.wait_for_selector("#downloaded:has-text('Writing')")
    panel(view, "design")
    settled(view, lambda: view.fill(DROP, "1 in"))
    panel(view, "files")
    assert "Writing" in view.inner_text("#downloaded")
    view.click("#downloaded .stop")
    view.wait_for_selector("#downloaded:has-text('Given up')")
    view.select_option("#kind", "csv")
    name, content = taken(view, "#download")  # and the next is written
    assert name.endswith("-compared.csv")
    assert content.startswith(b"part,topic,")


def test_the_few_questions_are_answered_in_place(view: Any) -> None:
    open_example(view)
    fields = view.locator("#asked-fields [data-answers]")
    assert fields.count() >= 1
    before = view.inner_text("#asked-words")
    key = fields.first.get_attribute("data-answers")
    field = view.locator(f'#asked-fields [data-answers="{key}"]')
    field.focus()
    if field.evaluate("field => field.tagName") == "SELECT":
        settled(view, lambda: field.select_option(index=1))
    else:
        settled(view, lambda: field.fill("3 in" if "drop" in key or "height" in key else "3"))
    assert field.evaluate("field => field === document.activeElement")  # it stays while it is used
    assert view.inner_text("#asked-words") != before
    assert view.input_value(f'[id="{key}"]') == field.input_value()
    view.focus("#show-cards")
    view.locator(f'#asked-fields [data-answers="{key}"]').wait_for(state="detached")


def test_a_cell_opens_the_sum_of_its_own_rule_set_and_topics_are_searched(view: Any) -> None:
    open_example(view)
    only(view, "irc-2012", "irc-2018")
    settled(view, lambda: view.click("#show-matrix"))
    rows = view.locator("#matrix tr[data-topic]:visible")
    every = rows.count()
    view.fill("#find", "band joist bottom")
    assert 0 < rows.count() < every
    assert view.inner_text("#found") == f"{rows.count()} of {every} topics."
    view.locator('#matrix td[data-rule-set="irc-2012"]:visible button').first.click()
    view.wait_for_selector("#depth[open]")
    assert view.locator("#depth section:visible").count() == 1
    assert view.get_attribute("#depth section:visible", "data-rule-set") == "irc-2012"
    view.click("#close-depth")
    view.fill("#find", "")
    view.select_option("#of-status", "fails")
    shown = view.evaluate(
        "() => [...document.querySelectorAll('#matrix tr[data-topic]')].filter((r) => !r.hidden)"
        ".map((r) => Boolean(r.querySelector('td.fails')))"
    )
    assert shown
    assert all(shown)


def test_the_key_does_not_stay_in_the_address_and_without_it_nothing_opens(
    view: Any, browser: Any, address: str
) -> None:
    assert "key" not in view.url
    view.reload()
    view.wait_for_selector("#examples button")
    context = browser.new_context()
    tab = context.new_page()
    tab.goto(address.split("#", maxsplit=1)[0])
    tab.wait_for_selector("#refusal:visible")
    assert "key of this run" in tab.inner_text("#refusal")
    assert tab.locator("#examples button").count() == 0
    context.close()


def test_script_in_a_name_shows_as_text(view: Any) -> None:
    script = "<img src=x onerror=\"document.title='run'\"><script>document.title='run'</script>"
    text = (
        example()
        .replace("Step down of 3 in", "Plain")
        .replace("name: Plain", f"name: {json.dumps(script)}")
    )
    _drop_in(view, text, f"{script[:4]}.yaml")
    assert view.inner_text("#title") == script
    assert script[:20] in view.text_content("#drawn title")
    assert view.title() != "run"
    assert view.locator("#work img, #work script").count() == 0


def _drop_in(view: Any, text: str, name: str = "deck.yaml") -> dict[str, Any]:
    file = {"name": name, "mimeType": "application/yaml", "buffer": text.encode()}
    return settled(view, lambda: view.set_input_files("#file", file))


def test_a_file_dropped_on_the_page_opens(view: Any) -> None:
    carried = view.evaluate_handle(
        "text => { const d = new DataTransfer(); d.items.add(new File([text], 'a.yaml')); return d; }",
        example(),
    )
    settled(view, lambda: view.dispatch_event("#drop", "drop", {"dataTransfer": carried}))
    assert view.inner_text("#title") == "Step down of 3 in"


def test_what_is_no_design_is_told(view: Any) -> None:
    for text, words in (("a: [", "YAML"), ("a: 1\n", "not a design"), ("\x00", "binary")):
        file = {"name": "x.yaml", "mimeType": "text/plain", "buffer": text.encode()}
        view.set_input_files("#file", file)
        view.wait_for_selector(f"#refusal:has-text('{words}')")


def test_the_page_shows_what_the_command_says_for_random_designs(view: Any, tmp_path: Path) -> None:
    _drop_in(view, _random_design(0))
    settled(view, lambda: view.click("#show-matrix"))
    for number, pair in enumerate(PAIRS):
        only(view, *pair)
        for seed in range(number, RANDOM_DESIGNS, len(PAIRS)):
            answer = _drop_in(view, _random_design(seed))
            assert answer["faults"] == []
            _check_against_command(view, tmp_path, _random_design(seed), pair)


def _random_design(seed: int) -> str:
    lines = ["design: 1", f"name: Random deck {seed}"]
    for group, entries in facts_to_design_document(random_facts(seed)).items():
        lines += [f"{group}:", *(f"  {key}: {value}" for key, value in entries.items())]
    return "\n".join(lines) + "\n"


_ROWS = """() => [...document.querySelectorAll('#matrix tr[data-topic]')].map((row) => [
    row.dataset.topic,
    Object.fromEntries([...row.querySelectorAll('td')].map((td) => [td.dataset.ruleSet,
        [td.dataset.status, td.querySelector('.limit')?.textContent || '',
         Boolean(td.querySelector('.star'))]]))])"""
_CARDS = """() => [...document.querySelectorAll('#cards > li')].map((card) => [
    card.dataset.ruleSet,
    {status: card.dataset.status, fails: [...card.querySelectorAll('[data-fails]')].map(
        (item) => item.dataset.fails)}])"""


def _check_against_command(view: Any, tmp_path: Path, text: str, pair: tuple[str, str]) -> None:
    """Compare what stands on the page with what the command prints of the same file."""
    file = tmp_path / "random.yaml"
    file.write_text(text, encoding="utf-8")
    printed = _printed(file, pair)
    shown, cards = dict(view.evaluate(_ROWS)), dict(view.evaluate(_CARDS))
    topics = {topic for topic, under in printed if under}
    assert set(shown) == topics
    for name in pair:
        fails = set()
        for topic in topics:
            outcome = printed[topic, name]
            _check_cell(shown[topic][name], outcome)
            if outcome["status"] in ("does not comply", "engineering required"):
                fails.add(topic)
        assert set(cards[name]["fails"]) == fails
        found = {o["status"] for (_, under), o in printed.items() if under in (name, "")}
        assert cards[name]["status"] == next(s for s in WORST_FIRST if s in found)
    _check_holds_together(view, file, pair)


def _check_holds_together(view: Any, file: Path, pair: tuple[str, str]) -> None:
    """Compare the page's answer on the deck as a whole with the command's."""
    under = (word for name in pair for word in ("--under", name))
    command = json.loads(_command("compare", str(file), "--format", "json", *under))
    together = command["holds_together"]
    assert view.inner_text("#together") == f"DOES IT HOLD TOGETHER? {together['says']}"
    lacks = view.locator("#together-lacks li .status").all_inner_texts()
    findings = [f for topic in together["topics"] for f in topic["findings"]]
    for status in ("does not comply", "engineering required"):
        assert lacks.count(status) == sum(f["status"] == status for f in findings)


def _printed(file: Path, pair: tuple[str, str]) -> dict[tuple[str, str], dict[str, str]]:
    """Return what the command prints, by topic and rule set; "" is for every rule set."""
    names = {rule_set_title(name): name for name in pair}
    under = (word for name in pair for word in ("--under", name))
    text = _command("compare", str(file), "--format", "csv", *under)
    lines = csv.DictReader(io.StringIO(text))
    return {(line["topic"], names.get(line["rule_set"], "")): line for line in lines}


def _check_cell(cell: list[Any], outcome: dict[str, str]) -> None:
    status, limit, from_memory = cell
    assert status == outcome["status"]
    least, most = outcome["least"], outcome["most"]
    if least and most:
        assert limit == (f"exactly {least}" if least == most else f"{least} to {most}")
    elif least or most:
        assert limit == (f"at least {least}" if least else f"at most {most}")
    told = status not in ("not applicable", "not regulated")
    assert from_memory is (told and outcome["standing"] == "memory")


def _command(*words: str) -> str:
    stream = io.StringIO()
    with contextlib.redirect_stdout(stream):
        assert run(words) in (0, 1, 3)
    return stream.getvalue()
