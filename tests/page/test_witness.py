"""Reading a book on the page: the same sheet and file as the command, the same guards as the page."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from page.pages import HOST, client, serving
from rulesets.small_rules import one_place, open_rules

READER = {"ruleset": "code-2018", "witness": "Ada Reader", "printing": "first printing"}


@pytest.fixture
def rules(tmp_path: Path) -> Path:
    root = tmp_path / "rules"
    open_rules(root, one_place())
    return root


@pytest.fixture
def page(rules: Path, tmp_path: Path) -> Any:
    from deckclause.evaluate.catalogue import Catalogue

    (tmp_path / "designs").mkdir()
    return client(tmp_path / "designs", Catalogue.open(rules, cached=False))


def kept(rules: Path) -> Path:
    return rules / "witness" / "code-2018" / "ada-reader.yaml"


def answer(page: Any, step: str, text: str = "", **other: str) -> Any:
    return page.post("/api/witness-keep", json={**READER, "step": step, "text": text, **other})


def test_a_sitting_keeps_every_answer_as_it_is_given(page: Any, rules: Path) -> None:
    found = page.post("/api/witness-open", json=READER).json()
    rows = [s for s in found["steps"] if s["kind"] == "row"]
    assert [(r["names"], r["figures"]) for r in rows] == [
        ("lag", ["30 in", "15 in"]),
        ("bolt", ["36 in", "29 in"]),
    ]
    assert all(s["seen"] == "" for s in found["steps"])
    assert answer(page, rows[0]["step"]).json() == {"seen": "as shown", "kept": 2}
    assert answer(page, rows[1]["step"], "2=30 in @ 5.4").json() == {
        "seen": "2: otherwise 30 in (5.4)",
        "kept": 4,
    }
    text = kept(rules).read_text()
    assert text.count('seen: "as shown"') == 3
    assert 'seen: "otherwise", figure: "30 in", where: "5.4"' in text
    again = page.post("/api/witness-open", json=READER).json()
    assert [s["seen"] for s in again["steps"] if s["kind"] == "row"] == [
        "as shown",
        "2: otherwise 30 in (5.4)",
    ]
    clause = found["steps"][0]
    assert answer(page, clause["step"], "?").json()["seen"] == "not found"


def test_what_is_not_understood_is_not_kept_and_says_why(page: Any, rules: Path) -> None:
    row = "spacing: lag"
    for text, why in (("3=12 in", "columns 1 to 2"), ("nonsense", "write 2=9-10"), ("2=x", "")):
        refused = answer(page, row, text)
        assert refused.status_code == 400
        assert "not understood" in refused.json()["problems"][0]
        assert why in refused.json()["problems"][0]
    assert not kept(rules).exists()
    assert answer(page, "no such step").status_code == 400
    assert answer(page, row, ruleset="code-1066").status_code == 400
    assert answer(page, row, witness="A").status_code == 422
    assert answer(page, row).status_code == 200
    other = answer(page, row, printing="second printing")
    assert "another printing is another book" in other.json()["problems"][0]


def test_nobody_reads_or_writes_without_the_key(page: Any, rules: Path) -> None:
    assert page.get("/witness").status_code == 200
    assert "form-action 'none'" in page.get("/witness").headers["content-security-policy"]
    for name in ("witness-start", "witness-open", "witness-keep"):
        assert (
            page.post(f"/api/{name}", json={}, headers={"x-deckclause-key": "x"}).status_code == 401
        )
        elsewhere = {"origin": "http://elsewhere.example"}
        assert page.post(f"/api/{name}", json={}, headers=elsewhere).status_code == 403
    assert not (rules / "witness").exists()
    assert HOST in str(page.base_url)


def test_a_file_that_cannot_be_written_is_told_and_stays_as_it_was(page: Any, rules: Path) -> None:
    assert answer(page, "spacing: lag").status_code == 200
    before = kept(rules).read_bytes()
    kept(rules).unlink()
    kept(rules).parent.rmdir()
    kept(rules).parent.write_text("in the way")
    refused = answer(page, "spacing: bolt")
    assert refused.status_code == 400
    kept(rules).parent.unlink()
    assert answer(page, "spacing: lag").status_code == 200
    assert kept(rules).read_bytes() == before


def test_a_table_is_read_by_keyboard_alone(rules: Path, tmp_path: Path, browser: Any) -> None:
    (tmp_path / "designs").mkdir()
    context = browser.new_context()
    tab = context.new_page()
    tab.set_default_timeout(20_000)
    faults: list[str] = []
    tab.on("pageerror", lambda error: faults.append(str(error)))
    tab.on("console", lambda m: faults.append(m.text) if m.type == "error" else None)
    with serving(tmp_path / "designs", "--rules", str(rules)) as (address, _):
        tab.goto(address.replace("/#", "/witness#"))
        tab.wait_for_selector("#book option[value=code-2018]", state="attached")
        tab.select_option("#book", "code-2018")
        tab.fill("#witness", "Ada Reader")
        tab.fill("#printing", "first printing")
        tab.keyboard.press("Enter")
        tab.wait_for_selector("#steps input:focus")
        steps = tab.locator("#steps input").count()
        for at in range(steps):
            if at == steps - 1:
                tab.keyboard.type("1=35 in")
            tab.keyboard.press("Enter")
            tab.wait_for_function(
                "n => document.querySelectorAll('.answered').length === n", arg=at + 1
            )
        assert tab.inner_text("#steps li:last-child .answer p") == "Kept: 1: otherwise 35 in"
        tab.keyboard.press("ArrowUp")
        assert tab.evaluate("document.activeElement.getAttribute('aria-label')").startswith("lag")
        tab.screenshot(path=str(tmp_path / "witness.png"))
    context.close()
    assert faults == []
    assert kept(rules).read_text().count("seen: ") == steps + 2  # two rows of two cells each
