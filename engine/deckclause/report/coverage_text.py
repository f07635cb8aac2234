"""Clause coverage as text and JSON."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from typing import Any

from tabulate import tabulate

from deckclause.compare.coverage.coverage import Coverage

KINDS = ("clauses", "exceptions", "both sides", "cells")


def coverage_lines(found: Sequence[Coverage]) -> Iterator[str]:
    """Yield a table of rule sets, then everything that is not exercised."""
    rows = []
    for coverage in found:
        counts = coverage.counts()
        rows.append([coverage.ruleset.name, *(_share(*counts[kind]) for kind in KINDS)])
    yield tabulate(rows, headers=["rule set", *KINDS], disable_numparse=True)
    for coverage in found:
        yield from _missing(coverage)


def _share(seen: int, total: int) -> str:
    return f"{seen} of {total}" if total else "none"


def _missing(coverage: Coverage) -> Iterator[str]:
    name = coverage.ruleset.name
    for key, entry in coverage.clauses.items():
        if not entry.covered:
            yield f"{name}: {key} is exercised by no design"
            continue
        for number in entry.missing_exceptions():
            line = entry.clause.exceptions[number - 1].line
            yield f"{name}: {key}, the exception of line {line} never governs"


def coverage_json(found: Sequence[Coverage]) -> str:
    """Write coverage as JSON."""
    data: dict[str, Any] = {"coverage": 1, "rule_sets": []}
    for coverage in found:
        counts = coverage.counts()
        data["rule_sets"].append(
            {
                "name": coverage.ruleset.name,
                **{
                    kind.replace(" ", "_"): {"seen": counts[kind][0], "all": counts[kind][1]}
                    for kind in KINDS
                },
                "complete": coverage.complete,
                "not_exercised": list(_missing(coverage)),
                "one_side_only": [
                    key for key, e in coverage.clauses.items() if e.has_sides and not e.both_sides
                ],
            }
        )
    return json.dumps(data, indent=1, ensure_ascii=False)
