"""Find rows whose values cannot stand together, as reading a design file would.

The checks are those of designs/consistency/parts.py, followed over the columns. A row found here is
doubtful only: the check itself is then run on that row for what is wrong and what would be right.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

import numpy as np

from deckclause.designs.consistency.parts import (
    PARTS_MORE_THAN_NOTHING,
    Fault,
    consistency_faults,
    part_faults,
    pieces_faults,
    whole_faults,
)
from deckclause.designs.design import Design, Part
from deckclause.evaluate.columns.chunk import Chunk
from deckclause.evaluate.columns.columns import Column, Mask
from deckclause.evaluate.columns.derive import FactTable
from deckclause.evaluate.columns.follow import Follower, Rule, Sources
from deckclause.evaluate.columns.trace import TracedFacts, TracedParts, Trail, Untraceable
from deckclause.rulesets.vocabulary import Vocabulary

PIECES = ("ledger_pieces", "band_joist_pieces")


def inconsistent_rows(chunk: Chunk, table: FactTable, vocabulary: Vocabulary) -> dict[int, str]:
    """Return the rows whose values cannot stand together, with every reason."""
    found: dict[int, str] = {}
    doubtful = _doubtful(table, vocabulary) | table.left
    for row in np.flatnonzero(doubtful).tolist():
        faults = consistency_faults(chunk.design(row, vocabulary))
        if faults:
            found[row] = "; ".join(fault.message for fault in faults)
    return found


def _doubtful(table: FactTable, vocabulary: Vocabulary) -> Mask:
    groups = [g.name for g in vocabulary.groups.values() if g.many]
    once = {q: c for (group, q), c in table.columns.items() if not group}
    own: dict[str, dict[str, Column]] = {group: {} for group in groups}
    for (group, quantity), column in table.columns.items():
        if group:
            own[group][quantity] = column
    stated = {group: _stated(own[group], table.count) for group in groups}
    follower = Follower(table.count, stated)
    doubtful = np.zeros(table.count, bool)
    sources: dict[str, Mapping[str, Column]] = {"whole": once, **own}
    rules: list[tuple[Rule, Sources]] = [
        (_whole_rule(once), sources),
        (_pieces_rule(sources), sources),
    ]
    for group in PARTS_MORE_THAN_NOTHING:
        merged = {**once, **own.get(group, {})}
        rules.append((_part_rule(group, merged), {"here": merged}))
    for rule, seen in rules:
        given = follower.follow(rule, np.arange(table.count), seen).get("fault")
        for rows, _ in given.choices if given else ():
            doubtful[rows] = True
    return doubtful | follower.left


def _stated(columns: Mapping[str, Column], count: int) -> Mask:
    mask = np.zeros(count, bool)
    for column in columns.values():
        mask |= column.known_rows()
    return mask


def _found(faults: Iterable[Fault]) -> Mapping[str, Any]:
    """Tell whether there is a fault; one whose words cannot be written for a column is one too."""
    try:
        return {"fault": True} if any(True for _ in faults) else {}
    except Untraceable:
        return {"fault": True}


def _whole_rule(once: Mapping[str, Column]) -> Rule:
    def rule(row: int, trail: Trail) -> Mapping[str, Any]:
        return _found(whole_faults(TracedFacts("whole", once, row, trail)))

    return rule


def _part_rule(group: str, merged: Mapping[str, Column]) -> Rule:
    def rule(row: int, trail: Trail) -> Mapping[str, Any]:
        return _found(part_faults(group, 0, TracedFacts("here", merged, row, trail)))

    return rule


def _pieces_rule(sources: Mapping[str, Mapping[str, Column]]) -> Rule:
    def rule(row: int, trail: Trail) -> Mapping[str, Any]:
        facts = TracedFacts("whole", sources["whole"], row, trail)
        parts = {
            group: (Part("", TracedFacts(group, sources[group], row, trail)),)
            for group in PIECES
            if any(column.value(row) is not None for column in sources.get(group, {}).values())
        }
        return _found(pieces_faults(Design("", "", facts, TracedParts(parts, trail), "", "")))

    return rule
