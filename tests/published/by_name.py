"""Counts of checks too long for the suite, recorded where they are run by name.

`DECKCLAUSE_RECORD=1 pytest tests/benchmarks/...` writes what came out; the validation page prints it.
"""

from __future__ import annotations

import json
import os
from datetime import UTC, datetime
from pathlib import Path

FILE = Path(__file__).with_name("by_name.json")

HEAD = """## Checks run by name

Too long for the suite, which runs the same with fewer; these counts are of the last run that was
recorded (`DECKCLAUSE_RECORD=1 pytest tests/benchmarks/test_many_decks_hold_together.py -n 0`).

| check | held against | run on | cases | found otherwise |
| --- | --- | --- | --- | --- |
"""


def record(check: str, against: str, cases: int, otherwise: int) -> None:
    """Keep the count of a check that ran to its end, where it is asked for."""
    if os.environ.get("DECKCLAUSE_RECORD") != "1":
        return
    kept = json.loads(FILE.read_text(encoding="utf-8")) if FILE.is_file() else {}
    day = datetime.now(UTC).date().isoformat()
    kept[check] = {"against": against, "on": day, "cases": cases, "otherwise": otherwise}
    FILE.write_text(json.dumps(kept, indent=1) + "\n", encoding="utf-8")


def by_name_section() -> str:
    """Return the section of the validation page."""
    rows = "\n".join(
        f"| {check} | {one['against']} | {one['on']} | {one['cases']:,} | {one['otherwise']:,} |"
        for check, one in json.loads(FILE.read_text(encoding="utf-8")).items()
    )
    return f"{HEAD}{rows}\n"
