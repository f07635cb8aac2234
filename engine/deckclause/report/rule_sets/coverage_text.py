"""Clause coverage as text and JSON."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from typing import Any

from tabulate import tabulate

from deckclause.evaluate.status import STATUS_TOLD
from deckclause.rulesets.vocabulary import Vocabulary
from deckclause.upkeep.coverage.coverage import Coverage
from deckclause.upkeep.coverage.reach import WHY
from deckclause.upkeep.lint.tables import key_words

KINDS = ("clauses", "exceptions", "both sides", "cells")


def coverage_lines(found: Sequence[Coverage], vocabulary: Vocabulary) -> Iterator[str]:
    """Yield a table of rule sets, then everything that is not exercised."""
    rows = []
    for coverage in found:
        counts = coverage.counts()
        rows.append([coverage.ruleset.name, *(_share(*counts[kind]) for kind in KINDS)])
    yield tabulate(rows, headers=["rule set", *KINDS], disable_numparse=True)
    for coverage in found:
        yield from _missing(coverage, vocabulary)
    by_clause: dict[tuple[str, str], list[str]] = {}
    for coverage in found:
        for key, why in _out_of_reach(coverage):
            by_clause.setdefault((key, why), []).append(coverage.ruleset.name)
    if by_clause:
        yield ""
        yield "One side only, shown by the clause's regions:"
    for (key, why), names in by_clause.items():
        yield f"{key}: {why} ({', '.join(names)})"


def _share(seen: int, total: int) -> str:
    return f"{seen} of {total}" if total else "none"


def _missing(coverage: Coverage, vocabulary: Vocabulary) -> Iterator[str]:
    name = coverage.ruleset.name
    for key, entry in coverage.clauses.items():
        if not entry.covered:
            yield f"{name}: {key} is exercised by no design"
            continue
        for number in entry.missing_exceptions():
            line = entry.clause.exceptions[number - 1].line
            yield f"{name}: {key}, the exception of line {line} never governs"
        for status in sorted(entry.sides_left):
            yield f"{name}: {key} is never seen to come to: {STATUS_TOLD[status]}"
    for table_name, table in coverage.tables().items():
        for place in sorted(set(range(len(table.cells))) - coverage.cells.get(table_name, set())):
            keys = key_words(vocabulary, table, place)
            yield f"{name}: table {table_name}, {keys}: the cell is read by no design"


def _out_of_reach(coverage: Coverage) -> Iterator[tuple[str, str]]:
    """Yield each clause of which a design comes to one side only, and why."""
    for key, entry in coverage.clauses.items():
        for status in sorted(entry.out_of_reach):
            yield key, WHY[status]


def coverage_json(found: Sequence[Coverage], vocabulary: Vocabulary) -> str:
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
                "not_exercised": list(_missing(coverage, vocabulary)),
                "one_side_only": [
                    key for key, e in coverage.clauses.items() if e.has_sides and not e.both_sides
                ],
                "out_of_reach": dict(_out_of_reach(coverage)),
            }
        )
    return json.dumps(data, indent=1, ensure_ascii=False)
