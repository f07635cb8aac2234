"""What a test does in a tab of a real browser: open, choose, type, wait for the answer."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from page.pages import STEP_DOWN

DESKTOP, PHONE = {"width": 1280, "height": 900}, {"width": 390, "height": 844}
DROP = '[id="ledger.below_band_joist"]'
PHONE_TOO = pytest.mark.parametrize(
    "view", [DESKTOP, PHONE], ids=["desktop", "phone"], indirect=True
)


def settled(tab: Any, act: Any) -> dict[str, Any]:
    """Do something that asks for an answer; return the answer once it is shown."""
    with tab.expect_response("**/api/evaluate") as waiting:
        act()
    answer: dict[str, Any] = waiting.value.json()
    tab.wait_for_selector("#answer:not(.waiting)")
    return answer


def open_example(tab: Any, name: str = STEP_DOWN) -> None:
    """Open one of the examples and wait for what the rule sets make of it."""
    settled(tab, lambda: tab.locator("#examples").get_by_role("button", name=name).click())
    tab.wait_for_selector("#matrix")


def only(tab: Any, *names: str) -> None:
    """Hold the design against these rule sets and no other."""
    tab.evaluate("document.getElementById('against-details').open = true")
    for box in tab.query_selector_all("#against input[type=checkbox]"):
        wanted = box.get_attribute("value") in names
        if box.is_checked() is not wanted and wanted:
            box.check()
    for box in tab.query_selector_all("#against input[type=checkbox]"):
        if box.get_attribute("value") not in names:
            box.uncheck()
    # each box asks for an answer: wait for the last, or the next act would take it for its own
    tab.wait_for_function(_ANSWERED_FOR, arg=sorted(names))


_ANSWERED_FOR = """(names) => {
    const answer = document.getElementById('answer');
    if (document.getElementById('work').hidden) return true;
    const shown = [...answer.querySelectorAll('.outcomes li')].map((item) => item.dataset.ruleSet);
    return !answer.classList.contains('waiting') && String(shown.sort()) === String(names);
}"""


def taken(tab: Any, button: str) -> tuple[str, bytes]:
    """Press a button that downloads a file; return its name and what is in it."""
    with tab.expect_download(timeout=60_000) as waiting:
        tab.click(button)
    return waiting.value.suggested_filename, Path(waiting.value.path()).read_bytes()


def check_axe(axe: Any, tab: Any, where: str) -> None:
    """Run the accessibility rules on what is shown."""
    found = axe.Axe().run(tab).response["violations"]
    said = [(v["id"], [n["html"][:160] for n in v["nodes"][:3]]) for v in found]
    assert said == [], where
