"""Gathers what the benchmarks measured; a run renews its rows of docs/performance.md."""

from __future__ import annotations

from pathlib import Path

import pytest

from benchmarks.performance_page import Measured, page

ROOT = Path(__file__).resolve().parents[2]
_MEASURED = pytest.StashKey[dict[str, Measured]]()


@pytest.fixture
def measured(request: pytest.FixtureRequest) -> dict[str, Measured]:
    """Where a benchmark notes what it measured, by the name of its row."""
    stash = request.config.stash
    if _MEASURED not in stash:
        stash[_MEASURED] = {}
    return stash[_MEASURED]


def pytest_sessionfinish(session: pytest.Session) -> None:
    rows = session.config.stash.get(_MEASURED, {})
    if rows:
        path = ROOT / "docs" / "performance.md"
        path.write_text(page(rows, path.read_text(encoding="utf-8")), encoding="utf-8")
