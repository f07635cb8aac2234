"""What a test does in a tab of a real browser: open, choose, type, wait for the answer."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from page.pages import STEP_DOWN

NARROW = {"width": 320, "height": 640}
DESKTOP, PHONE = {"width": 1280, "height": 900}, {"width": 390, "height": 844}
DROP = '[id="ledger.below_band_joist"]'
STRUCK = "getComputedStyle(document.getElementById('cards')).textDecorationLine"
PHONE_TOO = pytest.mark.parametrize(
    "view", [DESKTOP, PHONE], ids=["desktop", "phone"], indirect=True
)


def settled(tab: Any, act: Any) -> dict[str, Any]:
    """Do something that asks for an answer; return the answer once it is shown."""
    with tab.expect_response("**/api/evaluate") as waiting:
        act()
    answer: dict[str, Any] = waiting.value.json()
    tab.wait_for_selector("body[data-answers=current]")
    return answer


def leave(tab: Any) -> None:
    """Close a tab once what was typed is kept, so that nothing of it is written later."""
    tab.wait_for_function("() => !/^Changed/.test(document.getElementById('kept')?.textContent)")
    tab.context.close()


def open_example(tab: Any, name: str = STEP_DOWN) -> None:
    """Open one of the examples and wait for what the rule sets make of it."""
    settled(tab, lambda: tab.locator("#examples").get_by_role("button", name=name).click())
    tab.wait_for_selector("#cards li")


def panel(tab: Any, name: str) -> None:
    """Bring one of the panels on screen."""
    tab.click(f"#tab-{name}")


def open_form(tab: Any, *groups: str) -> None:
    """Bring the form on screen, these parts of it open."""
    panel(tab, "design")
    for group in groups:
        tab.evaluate("g => { document.querySelector(`[data-group=${g}]`).open = true; }", group)


def only(tab: Any, *names: str) -> None:
    """Hold the design against these rule sets and no other."""
    tab.evaluate("document.getElementById('against-details').open = true")
    for box in tab.query_selector_all("#against input[type=checkbox]"):
        wanted = box.get_attribute("value") in names
        if box.is_checked() is not wanted and wanted:
            box.check()
    for name in tab.evaluate(_CHOSEN):
        if name not in names:
            tab.uncheck(f'#against input[value="{name}"]')
    # each box asks for an answer: wait for the last, or the next act would take it for its own
    tab.wait_for_function(_ANSWERED_FOR, arg=sorted(names))
    tab.evaluate("document.getElementById('against-details').open = false")


_CHOSEN = "() => [...document.querySelectorAll('#against input:checked')].map((box) => box.value)"
_ANSWERED_FOR = """(names) => {
    if (document.getElementById('work').hidden) return true;
    const shown = [...document.querySelectorAll('#cards > li')].map((item) => item.dataset.ruleSet);
    return document.body.dataset.answers === 'current' && String(shown.sort()) === String(names);
}"""


def add_place(tab: Any, place: str, day: str) -> None:
    """Hold the design against a place on a day, too."""
    tab.evaluate("document.getElementById('against-details').open = true")
    tab.select_option("#place", place)
    tab.fill("#day", day)
    settled(tab, lambda: tab.click("#add-place"))
    tab.wait_for_selector(f'#cards [data-rule-set="{place}@{day}"]')


def taken(tab: Any, button: str) -> tuple[str, bytes]:
    """Press a button that downloads a file; return its name and what is in it."""
    with tab.expect_download(timeout=60_000) as waiting:
        tab.click(button)
    return waiting.value.suggested_filename, Path(waiting.value.path()).read_bytes()


def check_axe(axe: Any, tab: Any, where: str) -> None:
    """Run the accessibility rules on what is shown."""
    found = axe.Axe().run(tab).response["violations"]
    said = [(v["id"], [n["html"][:160] for n in v["nodes"][:3]]) for v in found]
    assert said == [], f"{where}: {said}"
