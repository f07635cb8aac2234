"""Which rule sets a deck comes out alike under, so that one may stand for many."""

from __future__ import annotations

from deckclause.compare.comparison import Comparison


def alike(comparison: Comparison) -> list[tuple[int, ...]]:
    """Return the columns in groups of the same outcome on every row, the smallest group first.

    Alike are rule sets on one edition whose statuses, figures, missing facts and bounds left are the
    same on every topic, at the load the design states too, and that leave out the same.
    """
    groups: dict[tuple[object, ...], list[int]] = {}
    for column, evaluator in enumerate(comparison.evaluators):
        ruleset = evaluator.ruleset
        key = (
            ruleset.edition,
            bool(ruleset.left_out),
            ruleset.warns,
            tuple((row.outcomes[column].status, row.compared[column]) for row in comparison.rows),
            tuple(comparison.lowered(row, column) for row in comparison.rows),
        )
        groups.setdefault(key, []).append(column)
    return [tuple(group) for group in sorted(groups.values(), key=lambda g: (len(g), g[0]))]
