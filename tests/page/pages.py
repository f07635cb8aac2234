"""A page to test: the application for requests without a browser, or a real server for one."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from support.designs import EXAMPLES

starlette = pytest.importorskip("starlette", reason="the page's library starlette is not installed")
pytest.importorskip("httpx", reason="httpx is not installed; the test client needs it")
from starlette.testclient import TestClient  # noqa: E402

from deckclause.evaluate.catalogue import Catalogue  # noqa: E402
from deckclause.page.app import build_app  # noqa: E402
from deckclause.page.bench import Bench  # noqa: E402
from deckclause.page.folder import Folder  # noqa: E402

KEY = "a-key-for-tests-only-0123456789"
HOST = "127.0.0.1:8321"
CHROMIUM = next(filter(None, map(shutil.which, ("chromium", "chromium-browser"))), None)
STEP_DOWN = "step-down-3in.yaml"


def client(folder: Path, catalogue: Catalogue | None = None) -> TestClient:
    """Return a client that sends what the page's own scripts send."""
    bench = Bench(catalogue or Catalogue.open(), Folder(folder))
    headers = {"x-deckclause-key": KEY, "content-type": "application/json"}
    return TestClient(
        build_app(bench, KEY, [HOST]),
        base_url=f"http://{HOST}",
        headers=headers,
        raise_server_exceptions=False,
    )


def opened(page: TestClient, name: str = STEP_DOWN) -> dict[str, Any]:
    """Open an example; return what the page is given."""
    answer = page.post("/api/open", json={"source": "example", "name": name})
    assert answer.status_code == 200, answer.text
    return answer.json()


def example(name: str = STEP_DOWN) -> str:
    """Return the text of an example."""
    return (EXAMPLES / name).read_text(encoding="utf-8")


@contextmanager
def served(folder: Path) -> Iterator[str]:
    """Run `deckclause page` on a folder; give the address it prints."""
    with serving(folder) as (address, _):
        yield address


@contextmanager
def serving(folder: Path, *more: str) -> Iterator[tuple[str, int]]:
    """Run `deckclause page` on a folder; give the address it prints, and the process's number."""
    command = [sys.executable, "-m", "deckclause.cli.main", "page", str(folder), *more]
    process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
    try:
        yield _address(process), process.pid
    finally:
        process.terminate()
        process.wait(10)


def _address(process: subprocess.Popen[str]) -> str:
    assert process.stdout is not None
    said = ""
    for line in process.stdout:
        said += line
        found = re.search(r"http://127\.0\.0\.1:\d+/#key=\S+", line)
        if found:
            return found[0]
    raise AssertionError(f"the page did not start: {said}")
