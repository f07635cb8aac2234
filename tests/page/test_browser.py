"""The page in a real browser: from opening to a downloaded report, by keyboard, at phone width.

Needs Chromium on the machine and Playwright for Python; skipped, with the reason, without them.
"""

from __future__ import annotations

import contextlib
import csv
import io
import json
import os
from pathlib import Path
from typing import Any

import pytest

from deckclause.cli.main import run
from deckclause.rulesets.names import rule_set_title
from oracle.random_designs import facts_to_design_document, random_facts
from page.pages import STEP_DOWN, example
from page.tabs import DROP, PHONE, PHONE_TOO, check_axe, only, open_example, settled

RANDOM_DESIGNS = int(os.environ.get("DECKCLAUSE_RANDOM_DESIGNS", "32"))
"""Random designs compared; 200 and more by naming the number in the environment."""
SILENT = {"status": "not regulated", "least": "", "most": "", "standing": ""}
WORST_FIRST = ("does not comply", "engineering required", "information missing", "complies")
PAIRS = (
    ("irc-2012", "irc-2015"),
    ("irc-2009", "irc-2018"),
    ("irc-2018", "irc-2021"),
    ("irc-2015", "irc-2024"),
)


@PHONE_TOO
def test_from_opening_to_a_saved_design_and_a_report(view: Any, folder: Path) -> None:
    for there in folder.glob("*.yaml"):
        there.unlink()
    open_example(view)
    only(view, "irc-2012", "irc-2015")
    view.select_option("#place", "Tarn Hollow")
    view.fill("#day", "2024-02-01")
    settled(view, lambda: view.click("#add-place"))
    view.wait_for_selector('#matrix [data-rule-set="Tarn Hollow@2024-02-01"]')
    assert view.inner_text('[data-rule-set="irc-2012"] .status') == "does not comply"

    view.evaluate("document.querySelector('[data-group=ledger]').open = true")
    settled(view, lambda: view.fill(DROP, "three inches"))
    view.wait_for_selector('[id="ledger.below_band_joist-fault"]:visible')
    assert view.get_attribute(DROP, "aria-invalid") == "true"
    settled(view, lambda: view.fill(DROP, '3/4"'))
    view.wait_for_selector("[aria-invalid]", state="detached")
    view.wait_for_selector('[id="ledger.below_band_joist-reading"]:visible')
    assert "read as 3/4 in" in view.inner_text('[id="ledger.below_band_joist-reading"]')

    view.evaluate("document.querySelector('[data-group=band_joist]').open = true")
    settled(view, lambda: view.select_option('[id="band_joist.size"]', "2x12"))
    assert "was 2-1/2 in" in view.inner_text("#steps")
    assert view.locator("#section-region svg").count() == 1

    view.fill("#file-name", "my deck.yaml")
    view.click("#save")
    view.wait_for_selector("#saved:has-text('Saved as my deck.yaml')")
    saved = (folder / "my deck.yaml").read_text(encoding="utf-8")
    expected = example().replace("below_band_joist: 3 in", 'below_band_joist: 3/4"')
    assert saved == expected.replace(
        "kind: sawn_lumber\n  size: 2x10", "kind: sawn_lumber\n  size: 2x12"
    )

    view.click("#save")
    view.wait_for_selector("#replace[open]")
    view.click("#keep")
    assert (folder / "my deck.yaml").read_text(encoding="utf-8") == saved
    settled(view, lambda: view.fill(DROP, "1 in"))
    view.click("#save")
    view.wait_for_selector("#replace[open]")
    view.click("#do-replace")
    view.wait_for_selector("#replace", state="hidden")
    view.wait_for_selector("#saved:has-text('Saved as')")
    assert "below_band_joist: 1 in" in (folder / "my deck.yaml").read_text(encoding="utf-8")

    view.select_option("#kind", "html")
    with view.expect_download() as waiting:
        view.click("#download")
    assert waiting.value.suggested_filename == "my deck-compared.html"
    report = Path(waiting.value.path()).read_text(encoding="utf-8")
    assert "Tarn Hollow" in report
    assert "Step down of 3 in" in report


@PHONE_TOO
def test_axe_finds_nothing(view: Any) -> None:
    axe = pytest.importorskip(
        "axe_playwright_python.sync_playwright", reason="axe-playwright-python is not installed"
    )
    check_axe(axe, view, "the start")
    open_example(view)
    view.click("#unfold")
    view.click("button.add-part[data-group=beams]")
    settled(view, lambda: view.fill('[id="beams[0].length"]', "long"))
    view.wait_for_selector("#beams .fault:visible, [aria-invalid]")
    check_axe(axe, view, "the design and its results")
    view.emulate_media(color_scheme="dark")
    check_axe(axe, view, "in the dark")
    view.locator("#matrix button.topic").first.click()
    view.wait_for_selector("#depth[open]")
    check_axe(axe, view, "one topic in depth")


@pytest.mark.parametrize("view", [PHONE], ids=["phone"], indirect=True)
def test_nothing_is_wider_than_a_phone(view: Any) -> None:
    for act in (lambda: None, lambda: open_example(view), lambda: view.click("#unfold")):
        act()
        assert view.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]


def test_it_can_be_worked_by_keyboard_alone(view: Any) -> None:
    view.keyboard.press("Tab")
    assert view.evaluate("document.activeElement.textContent") == "Skip to the design"
    view.get_by_role("button", name=STEP_DOWN).focus()
    settled(view, lambda: view.keyboard.press("Enter"))
    view.wait_for_selector("#design:focus")
    for _ in range(5):
        view.keyboard.press("Tab")
    assert view.evaluate("document.activeElement.closest('details').dataset.group") == "site"
    view.locator("#matrix button.topic").first.focus()
    view.keyboard.press("Enter")
    view.wait_for_selector("#depth[open]")
    view.keyboard.press("Escape")
    assert view.evaluate("document.activeElement.className") == "topic"
    view.locator("#questions [data-goto^='joists.']").first.focus()
    view.keyboard.press("Enter")
    assert view.evaluate("document.activeElement.dataset.field").startswith("joists.")
    assert view.evaluate("document.activeElement.value") == ""


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
    assert script[:20] in view.inner_text("#section-region")
    assert view.title() != "run"
    assert view.locator("#answer img, #answer script").count() == 0


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
    view.on("dialog", lambda dialog: dialog.accept())
    for number, pair in enumerate(PAIRS):
        text = _random_design(0)
        if number == 0:
            _drop_in(view, text)
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
    [...row.querySelectorAll('td')].map((td) => [td.dataset.ruleSet, td.dataset.status,
        td.querySelector('.limit')?.textContent || '', td.textContent.endsWith('*')])])"""
_OUTCOMES = """() => [...document.querySelectorAll('.outcomes li')].map(
    (item) => [item.dataset.ruleSet, item.dataset.status])"""
_ALIKE = """() => [...document.querySelectorAll('.alike [data-topic]')].map(
    (button) => [button.dataset.topic, button.dataset.status])"""


_FAILS = "() => [...document.querySelectorAll('[data-fails]')].map((i) => i.dataset.fails)"


def _check_against_command(view: Any, tmp_path: Path, text: str, pair: tuple[str, str]) -> None:
    """Compare what stands on the page with what the command prints of the same file."""
    file = tmp_path / "random.yaml"
    file.write_text(text, encoding="utf-8")
    printed = {name: _printed(file, name) for name in pair}
    shown, alike = dict(view.evaluate(_ROWS)), dict(view.evaluate(_ALIKE))
    failing = set(view.evaluate(_FAILS))
    assert set(shown) | set(alike) <= {t for topics in printed.values() for t in topics}
    for topic in {t for topics in printed.values() for t in topics}:
        outcomes = [
            printed[name].get(topic, {**SILENT, "rule_set": rule_set_title(name)}) for name in pair
        ]
        statuses = {outcome["status"] for outcome in outcomes}
        if topic in shown:
            for cell, outcome in zip(shown[topic], outcomes, strict=True):
                _check_cell(cell, outcome)
        elif topic in alike:
            assert alike[topic] in statuses, topic
        elif topic.startswith("together_"):  # in a block of its own, see _check_holds_together
            continue
        else:  # of a part the design does not state: told to be undecided
            assert not statuses & {"complies", "does not comply"}, topic
        fails = statuses & {"does not comply", "engineering required"}
        assert bool(fails) is (topic in failing), topic
    _check_holds_together(view, file, pair)
    for name, status in view.evaluate(_OUTCOMES):
        found = {outcome["status"] for outcome in printed[name].values()}
        assert status == next(s for s in WORST_FIRST if s in found)


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


def _printed(file: Path, rule_set: str) -> dict[str, dict[str, str]]:
    text = _command("compare", str(file), "--format", "csv", "--under", rule_set)
    return {line["topic"]: line for line in csv.DictReader(io.StringIO(text))}


def _check_cell(cell: list[Any], outcome: dict[str, str]) -> None:
    rule_set, status, limit, from_memory = cell
    assert rule_set_title(rule_set) == outcome["rule_set"]
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
