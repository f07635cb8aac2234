"""Speed of the page in a browser: run by name, `pytest tests/benchmarks/test_page_speed.py -n 0 -s`."""

from __future__ import annotations

import os
from functools import partial
from pathlib import Path
from statistics import median, quantiles

import pytest

from page.pages import CHROMIUM, STEP_DOWN, serving
from page.tabs import DROP, only, open_example, open_form, panel, settled

playwright = pytest.importorskip("playwright.sync_api", reason="Playwright is not installed")
pytestmark = pytest.mark.skipif(CHROMIUM is None, reason="no Chromium on this machine")

ANSWERS = 30
WHOLE = "whole-deck-12x16.yaml"
CASES = {
    "a step down under three": (STEP_DOWN, ["irc-2018", "irc-2021", "irc-2024"], 100),
    "a whole deck under three apart": (WHOLE, ["irc-2006", "irc-2012", "irc-2024"], 100),
    "a whole deck under seven": (
        WHOLE,
        [f"irc-{y}" for y in (2006, 2009, 2012, 2015, 2018, 2021, 2024)],
        200,
    ),
}
"""Deck, rule sets, and what an answer may take the server of the processor (ms)."""


def processor_seconds(process: int) -> float:
    """Return what a running process has taken of the processor, by Linux's account of it."""
    fields = Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


@pytest.mark.parametrize("writing", [False, True], ids=["alone", "while a report is written"])
@pytest.mark.parametrize(("deck", "names", "most"), CASES.values(), ids=CASES)
def test_from_the_key_to_the_cards_painted(
    tmp_path: Path, deck: str, names: list[str], most: int, *, writing: bool
) -> None:
    """An answer takes the server no more of the processor than a person should wait in all.

    What a person waits is told, not asserted: it is the machine's as much as ours. It is counted
    from the key to the next painted frame.
    """
    with serving(tmp_path) as (address, process), playwright.sync_playwright() as running:
        browser = running.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        tab = browser.new_page()
        tab.goto(address)
        open_example(tab, deck)
        only(tab, *names)
        if writing:
            panel(tab, "files")
            tab.select_option("#kind", "pdf_full")
            tab.click("#download")
        open_form(tab, "ledger")
        times = []
        before = processor_seconds(process)
        for number in range(1, ANSWERS + 1):
            text = f"{number % 6}-1/{2 + number % 3} in"
            settled(tab, partial(tab.fill, DROP, text))
            tab.wait_for_function("() => document.getElementById('answer').dataset.milliseconds")
            times.append(float(tab.get_attribute("#answer", "data-milliseconds") or "inf"))
            tab.evaluate("() => delete document.getElementById('answer').dataset.milliseconds")
        each = 1000 * (processor_seconds(process) - before) / ANSWERS
        browser.close()
    p95 = quantiles(times, n=20)[-1]
    print(
        f"median {median(times):.0f} ms, 95 of 100 within {p95:.0f}, "
        f"least {min(times):.0f}, most {max(times):.0f}; of the processor {each:.0f} ms each"
    )
    assert each < most
