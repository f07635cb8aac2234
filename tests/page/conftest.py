"""The page served to a real Chromium, once for all tests of a process; skipped where there is none."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from page.tabs import DESKTOP, leave


@pytest.fixture(scope="session")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("designs")


@pytest.fixture(scope="session")
def address(folder: Path) -> Iterator[str]:
    from page.pages import served

    with served(folder) as found:
        yield found


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    from page.pages import CHROMIUM

    playwright = pytest.importorskip(
        "playwright.sync_api",
        reason="Playwright for Python is not installed (pip install playwright)",
    )
    if CHROMIUM is None:
        pytest.skip("no Chromium on this machine (apt-get install chromium)")
    with playwright.sync_playwright() as running:
        started = running.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        yield started
        started.close()


@pytest.fixture(params=[DESKTOP], ids=["desktop"])
def view(request: pytest.FixtureRequest, browser: Any, address: str, folder: Path) -> Iterator[Any]:
    """Return a fresh tab at the page, its folder empty; a fault on the console fails the test."""
    for there in folder.iterdir():
        there.unlink()
    faults: list[str] = []
    context = browser.new_context(viewport=request.param, accept_downloads=True)
    tab = context.new_page()
    tab.set_default_timeout(20_000)
    tab.on("pageerror", lambda error: faults.append(str(error)))
    tab.on("console", lambda m: faults.append(m.text) if _is_fault(m) else None)
    tab.goto(address)
    tab.wait_for_selector("#examples button")
    yield tab
    leave(tab)
    assert faults == []


def _is_fault(message: Any) -> bool:
    expected = "status of 409" in message.text or "status of 400" in message.text
    return message.type in ("error", "warning") and not expected
