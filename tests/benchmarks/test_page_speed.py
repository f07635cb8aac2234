"""Speed of the page in a browser: run by name, `pytest tests/benchmarks/test_page_speed.py -n 0 -s`.

What a person waits is counted from the press or the move itself to the frame in which the answer
to it is painted, and told beside the load of the machine: it is the machine's as much as ours, and
asserted only where nothing else runs. What is asserted everywhere is the server's processor time.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from statistics import median, quantiles
from typing import Any

import pytest

from page.pages import CHROMIUM, STEP_DOWN, serving
from page.tabs import DROP, only, open_example, open_form

playwright = pytest.importorskip("playwright.sync_api", reason="Playwright is not installed")
pytestmark = pytest.mark.skipif(CHROMIUM is None, reason="no Chromium on this machine")

EDITS = 100
WHOLE = "whole-deck-12x16.yaml"
THREE = ["irc-2018", "irc-2021", "irc-2024"]
SEVEN = [f"irc-{year}" for year in (2006, 2009, 2012, 2015, 2018, 2021, 2024)]
MOST_WAIT = {3: 100, 7: 200}
"""By rule sets: what 95 of 100 edits may keep a person waiting (ms)."""
CASES = {
    "a ledger moved, three rule sets": (STEP_DOWN, THREE, "board"),
    "a ledger moved, whole deck, three": (WHOLE, THREE, "board"),
    "a value typed, whole deck, three": (WHOLE, THREE, "form"),
    "a ledger moved, whole deck, seven": (WHOLE, SEVEN, "board"),
    "a value typed, whole deck, seven": (WHOLE, SEVEN, "form"),
}
QUIET = 1.0
"""A load of the machine below which the waiting is our own."""

_WATCH = """() => {
    window.waits = [];
    let began = 0;
    let told = () => {};
    window.painted = (count) => new Promise((tell) => { told = () => { if (window.waits.length > count) tell(); }; told(); });
    for (const kind of ['keydown', 'input', 'pointermove']) {
        addEventListener(kind, (event) => { if (!began && event.isTrusted) began = event.timeStamp; }, true);
    }
    new MutationObserver(() => {
        if (document.body.dataset.answers !== 'current' || !began) return;
        const from = began;
        began = 0;
        requestAnimationFrame(() => setTimeout(() => {
            window.waits.push(performance.now() - from);
            told();
        }));
    }).observe(document.body, { attributes: true, attributeFilter: ['data-answers'] });
}"""
_WRITE_AGAIN = """async (deck) => {
    const key = sessionStorage.getItem('deckclause-key');
    const headers = { 'content-type': 'application/json', 'x-deckclause-key': key };
    const ask = (name, body) => fetch(`/api/${name}`, { method: 'POST', headers, body: JSON.stringify(body) });
    const { design, base, file } = await (await ask('open', { source: 'example', name: deck })).json();
    window.written = 0;
    const write = async () => {
        await (await ask('download', { design, base, file, under: ['irc-2021'], kind: 'pdf' })).blob();
        window.written += 1;
        write();
    };
    write();
}"""


def processor_seconds(process: int) -> float:
    """Return what a running process has taken of the processor, by Linux's account of it."""
    fields = Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


@contextmanager
def working(folder: Path, deck: str, names: list[str]) -> Iterator[tuple[Any, int]]:
    """Open a deck in a tab, held against rule sets; give the tab and the server's process."""
    with serving(folder) as (address, process), playwright.sync_playwright() as running:
        browser = running.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        tab = browser.new_page(viewport={"width": 1440, "height": 900})
        tab.goto(address)
        open_example(tab, deck)
        only(tab, *names)
        yield tab, process
        browser.close()


def _by_key(tab: Any) -> Callable[[int], None]:
    tab.focus('#grips [data-name="ledger"]')
    tab.keyboard.press("Home")
    ways = ("Shift+ArrowDown", "Shift+ArrowUp")
    return lambda number: tab.keyboard.press(ways[number % 2])


def _by_typing(tab: Any) -> Callable[[int], None]:
    open_form(tab, "ledger")
    return lambda number: tab.fill(DROP, f"{number % 6}-1/{2 + number % 3} in")


@pytest.mark.parametrize("writing", [False, True], ids=["alone", "while PDFs are written"])
@pytest.mark.parametrize(("deck", "names", "where"), CASES.values(), ids=CASES)
def test_from_the_edit_to_the_answer_painted(
    tmp_path: Path, deck: str, names: list[str], where: str, *, writing: bool
) -> None:
    with working(tmp_path, deck, names) as (tab, process):
        act = (_by_key if where == "board" else _by_typing)(tab)
        if writing:
            tab.evaluate(_WRITE_AGAIN, deck)
        tab.wait_for_timeout(500)
        tab.evaluate(_WATCH)
        before = processor_seconds(process)
        for number in range(EDITS):
            act(number)
            tab.evaluate("(count) => window.painted(count)", number)
        each = 1000 * (processor_seconds(process) - before) / EDITS
        waits = tab.evaluate("() => window.waits")
        written = tab.evaluate("() => window.written ?? 0")
    p95, load = quantiles(waits, n=20)[-1], os.getloadavg()[0]
    print(
        f"median {median(waits):.0f} ms, 95 of 100 within {p95:.0f}, most {max(waits):.0f}; "
        f"of the processor {each:.0f} ms each; {written} PDFs meanwhile; load {load:.1f}"
    )
    most = MOST_WAIT[len(names)]
    assert each < most / 2
    assert load > QUIET or p95 < most
