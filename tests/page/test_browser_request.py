"""The request for relief in a real browser: from opening a design to the request downloaded."""

from __future__ import annotations

import io
import json
import re
from pathlib import Path
from typing import Any

import pytest

from deckclause.cli.main import run
from page.pages import STEP_DOWN, example
from page.request_answers import answer_all
from page.tabs import (
    DROP,
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
from support.measures import measures
from variance.requests import new_request

UNDER = "Tarn Hollow@2025-03-01"
INTENT = '[id="request-items[1].intent"]'
LEFT_EMPTY = ("items.hardship",)


@pytest.fixture
def asking(view: Any) -> Any:
    """Return a tab with the request for an example open in the form."""
    open_example(view)
    only(view, "irc-2021")
    add_place(view, "Tarn Hollow", "2025-03-01")
    panel(view, "relief-panel")
    view.select_option("#relief-under", UNDER)
    view.click("#write")
    view.wait_for_selector("#relief-choice-1", timeout=60_000)
    view.check("#relief-choice-1")
    view.click("#take-relief")
    view.wait_for_selector("#request-form:visible", timeout=60_000)
    return view


def _pdf_text(content: bytes) -> str:
    pypdf = pytest.importorskip("pypdf")
    assert content.startswith(b"%PDF-")
    pages = pypdf.PdfReader(io.BytesIO(content)).pages
    return re.sub(r"\s+", "", "".join(page.extract_text() for page in pages))


def _word_text(content: bytes) -> str:
    document = pytest.importorskip("docx").Document(io.BytesIO(content))
    words = [p.text for p in document.paragraphs]
    return " ".join(words + [c.text for t in document.tables for r in t.rows for c in r.cells])


@PHONE_TOO
def test_a_request_is_answered_and_taken_away(asking: Any, folder: Path) -> None:
    view = asking
    view.click("#save")
    view.wait_for_selector("#saved:has-text('Saved as')")
    empty = view.locator("#request-form .empty:visible").count()
    assert empty == view.locator("#request-lacks [data-lack]").count() > 10
    words = answer_all(view)
    assert len(words) > 10
    view.wait_for_selector("#request-lacks:has-text('Nothing is missing')")
    assert view.locator("#request-form .empty:visible").count() == 0

    view.select_option("#request-format", "yaml")
    name, guided = taken(view, "#request")
    assert name == f"{Path(STEP_DOWN).stem}-request.yaml"
    (folder / "request.yaml").write_bytes(guided)
    assert run(["request", "check", str(folder / "request.yaml")]) == 0
    if view.viewport_size == PHONE:
        return
    view.select_option("#request-format", "html")
    html = taken(view, "#request")[1].decode()
    view.select_option("#request-format", "docx")
    typed = _word_text(taken(view, "#request")[1])
    view.select_option("#request-format", "pdf")
    name, content = taken(view, "#request")
    assert name.endswith("-request.pdf")
    printed = _pdf_text(content)
    for answer in words.values():
        assert f">{answer}<" in html
        assert answer in typed
        assert re.sub(r"\s+", "", answer) in printed
    for figure in ("atleast6-1/2in", "5-1/2in", "R507.9.1.3"):
        assert figure in printed
    assert "[not written" not in html


def test_the_request_and_the_report_as_pdf_hold_every_figure_of_the_result(
    asking: Any, tmp_path: Path
) -> None:
    view = asking
    only(view, UNDER)
    panel(view, "files")
    view.select_option("#kind", "json")
    data = json.loads(taken(view, "#download")[1])
    view.select_option("#kind", "pdf_full")
    name, content = taken(view, "#download")
    assert name.endswith("-compared-in-full.pdf")
    printed = _pdf_text(content)
    figures = set(measures(data["topics"]))
    assert len(figures) > 15
    assert not {f for f in figures if re.sub(r"\s+", "", f) not in printed}

    panel(view, "relief-panel")
    view.select_option("#request-format", "pdf")
    printed = _pdf_text(taken(view, "#request")[1])
    assert printed.count("[notwritten:") > 10  # what nobody wrote stays visibly empty
    item = next(t for t in data["topics"] if t["topic"] == "ledger_lower_row_below_ledger_top")
    limit = next(o for o in item["outcomes"] if o["rule_set"] == UNDER)["least"]["text"]
    assert re.sub(r"\s+", "", f"at least {limit}") in printed


def test_answers_stay_while_the_page_is_worked(asking: Any) -> None:
    view = asking
    view.fill(INTENT, "The bolts hold as before.")
    view.fill('[id="request-owner.name"]', "Ada Pike")
    view.check('[id="request-declarations.owner_consent"]')
    open_form(view, "ledger")
    settled(view, lambda: view.fill(DROP, "3-1/4 in"))
    panel(view, "relief-panel")
    view.wait_for_selector("#request-lacks:has-text('the design has changed')")
    view.click("#relief")
    view.wait_for_selector("#relief-answer:has-text('What fails')", timeout=60_000)
    assert view.input_value(INTENT) == "The bolts hold as before."

    view.select_option("#relief-kind", "alternative_method")
    view.click("#write")
    view.wait_for_selector("#relief-choice-1", timeout=60_000)
    view.check("#relief-choice-1")
    view.click("#take-relief")
    strength = '#request-form [id="request-items[1].equivalence.strength-tests"]'
    view.wait_for_selector(strength, timeout=60_000)
    assert "Why is it at least equivalent in strength?" in view.inner_text(strength)
    assert view.input_value(INTENT) == "The bolts hold as before."
    assert view.input_value('[id="request-owner.name"]') == "Ada Pike"

    open_form(view, "ledger")
    settled(view, lambda: view.fill(DROP, "3 in"))
    panel(view, "relief-panel")
    view.wait_for_selector("#request-lacks:has-text('the design has changed')")
    view.click("#renew")
    fresh = "#request-lacks:not(:has-text('the design has changed'))"
    view.wait_for_selector(fresh, timeout=60_000)
    assert view.input_value(INTENT) == "The bolts hold as before."
    assert not view.is_checked('[id="request-declarations.owner_consent"]')  # declared anew


def test_a_request_begun_before_goes_on_in_the_form(view: Any, tmp_path: Path) -> None:
    text = new_request(tmp_path, under=UNDER).read_text(encoding="utf-8")
    text = text.replace('design: "deck.yaml"', f'design: "{STEP_DOWN}"')
    words = '<script>document.title="run"</script> & "quoted"\n\nsecond line'
    text = text.replace("    intent:", f"    intent: {json.dumps(words)}")
    open_example(view)
    assert example()
    panel(view, "relief-panel")
    file = {"name": "request.yaml", "mimeType": "application/yaml", "buffer": text.encode()}
    view.set_input_files("#filled", file)
    view.wait_for_selector("#request-form:visible", timeout=60_000)
    assert view.input_value(INTENT) == words
    assert view.title() != "run"
    view.select_option("#request-format", "html")
    draft = taken(view, "#request")[1].decode()
    assert "<script" not in draft
    assert "&lt;script&gt;" in draft


def test_which_relief_is_asked_for_is_chosen(asking: Any) -> None:
    view = asking
    view.fill(INTENT, "Kept.")
    open_form(view, "ledger")
    settled(view, lambda: view.fill(DROP, "5 in"))
    panel(view, "relief-panel")
    view.click("#write")
    view.wait_for_selector("#reliefs:has-text('none is taken by itself')", timeout=60_000)
    view.check("#relief-choice-1")
    view.click("#take-relief")
    view.wait_for_selector("#request-form:visible", timeout=60_000)
    kept = "[data-clause=ledger_lower_row_below_ledger_top] [data-answer=intent]"
    assert view.input_value(kept) == "Kept."


@PHONE_TOO
def test_axe_finds_nothing_in_the_form(asking: Any) -> None:
    axe = pytest.importorskip(
        "axe_playwright_python.sync_playwright", reason="axe-playwright-python is not installed"
    )
    asking.click("#add-paper")
    asking.evaluate("document.getElementById('request-rest').open = true")
    asking.evaluate("document.getElementById('lacks-list').open = true")
    check_axe(axe, asking, "the request")
    asking.emulate_media(color_scheme="dark")
    check_axe(axe, asking, "the request in the dark")
    width = asking.viewport_size["width"]
    assert asking.evaluate("document.documentElement.scrollWidth") <= width


def test_the_request_can_be_answered_by_keyboard(asking: Any) -> None:
    view = asking
    view.evaluate("document.getElementById('lacks-list').open = true")
    view.locator(f'[data-lack="{INTENT[5:-2]}"] a').focus()
    view.keyboard.press("Enter")
    assert view.evaluate("document.activeElement.dataset.answer") == "intent"
    view.keyboard.type("Kept.")
    view.locator(f'[data-lack="{INTENT[5:-2]}"]').wait_for(state="detached")
    view.keyboard.press("Tab")
    assert view.evaluate("document.activeElement.dataset.answer") == "mitigation"
