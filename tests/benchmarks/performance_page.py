"""The page docs/performance.md, from what a run of the benchmarks measured."""

from __future__ import annotations

import os
import platform
import sys
from collections.abc import Mapping
from dataclasses import dataclass

from tabulate import tabulate

EXPECTED: dict[str, str] = {
    "columns against numpy": "Sixteen ledger clauses in columns, one thread, against the same written by hand in numpy",
    "a million designs": "10^6 designs under seven editions, every clause, counts only, Parquet read included",
    "memory of a million": "Most memory of that run",
    "one design against Python": "Full findings of sixteen ledger clauses, against the same written by hand in Python",
    "one design": "Full findings of one whole deck under one edition, facts ready",
    "cold read": "Seven editions read from YAML and compiled, nothing kept",
    "warm read": "One edition from what was kept, the slowest of seven",
    "drivers": "Drivers of one outcome where sixteen clauses differ and only all of them together count",
    "warm compare": "`deckclause compare` of a whole deck under seven editions, warm, against starting Python",
    "warm compare again": "The same comparison and report once more in a running process, as on the local page",
    "tomorrow": "A town's question for tomorrow among 3,000 towns, once asked for today",
    "lint one": "`rules lint` of one place among 3,000 towns of two adoptions each, its amendment edited",
    "lint again": "The same once more, nothing changed",
    "lint growth": "`rules lint` of everything: what each adoption adds",
    "lint shipped": "`rules lint` of the shipped rules, whole, nothing kept",
    "lint shipped again": "The same once more, kept by content",
    "relief": "`relief` of the step down of 3 in under IRC 2012, warm",
    "impact": "`impact` of an archive under two editions, counts and drivers",
}
"""What is measured, by the name of its row."""


@dataclass(frozen=True)
class Measured:
    """What was measured, what was aimed for, and whether it is met."""

    found: str
    aim: str
    met: bool


HEAD = """# Performance

Written by runs of the benchmarks (`pytest tests/benchmarks -n0 --benchmark-enable`), never by hand;
a run of some of them renews their rows. Times are of the processor, the best of several; ratios compare two things in one run, so they
hold on other machines better than the times do.

"""

NOTES = """
## What the figures mean

- **Columns.** The hand-written numpy (tests/benchmarks/hand_written_numpy.py) works chunk by chunk
  in the cache, on bytes and 32-bit numbers, reads the table without a binary search, shares masks
  between clauses and allocates nothing while it runs. Both give the same statuses, checked on every
  row. The generated program wins where it leaves out what cannot happen in the columns at hand.
- **A million designs** are invented permits (`deckclause new archive`) with about 125 facts each, read
  from Parquet in chunks of 32,768.
- **One design.** The hand-written Python (tests/benchmarks/hand_written_python.py) gives the same rows:
  status, value, limits, branch, missing facts.
- **Warm compare.** Starting Python is nearly nothing beside importing the modules a comparison needs;
  no rule file is parsed, and neither pydantic, jsonschema, numpy nor ruamel.yaml is imported. Half of
  the command's time is imports, and near half of those is Python making the frozen record classes,
  which it does anew in every process. In a running process that is not paid again.
- **A generated state** (tests/support/generated_state.py) has 3,000 towns in 150 counties, each with two
  adoptions and an amendment for each. Lint of one place is timed after an edit of its amendment, with
  what earlier runs surveyed kept; what nobody edited is answered from what was found before.
- **Impact** reads clauses in columns; whether a deck holds together has no columns and is asked permit
  by permit, which is nearly all of the time. `--workers` shares it out.
- The proof that columns and single designs agree on 100,000 random designs is
  tests/benchmarks/test_columnar_proof.py.
"""


def page(rows: Mapping[str, Measured], before: str) -> str:
    """Return the page: what was measured now, and the rows of the page before that were not.

    A row that nobody measured yet is left out.
    """
    earlier = {cells[0]: cells for cells in map(_cells, before.splitlines()) if len(cells) == 4}
    table = tabulate(
        [
            [label, rows[name].found, rows[name].aim, "yes" if rows[name].met else "**no**"]
            if name in rows
            else earlier[label]
            for name, label in EXPECTED.items()
            if name in rows or label in earlier
        ],
        headers=("What", "Measured", "Aim", "Met"),
        tablefmt="github",
    )
    machine = (
        f"Python {sys.version.split()[0]} on {platform.machine()}, {os.cpu_count()} processors."
    )
    return f"{HEAD}{machine}\n\n{table}\n{NOTES}"


def _cells(line: str) -> list[str]:
    return [cell.strip() for cell in line.strip("|").split("|")] if line.startswith("|") else []
