"""Where the ledger's two rows may stand so that several rule sets' limits hold all at once."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from msgspec import Struct

from deckclause.compare.comparison import Comparison
from deckclause.evaluate.status import COMPLIES, DOES_NOT_COMPLY
from deckclause.placement.answers import Ask
from deckclause.placement.boards import BAND_TOP, LEDGER_TOP, LOWER_ROW, UPPER_ROW
from deckclause.placement.constraints import Distance
from deckclause.placement.from_design import DesignBoards, boards_of
from deckclause.placement.from_rules import PlacementRules, RuleLimit
from deckclause.placement.solve import solve
from deckclause.placement.verdict import Verdict, verdict
from deckclause.rulesets.vocabulary import Vocabulary

Span = tuple[Fraction, Fraction]
"""Least and greatest of a distance, inches."""


class RowsTogether(Struct, frozen=True):
    """The rows below the ledger's top and their distance, each from least to greatest, inches.

    `drop` is the ledger's drop the figures hold at: the design's, or the range of drops at which
    there is a place at all, where `at_stated_drop` is false.
    """

    at_stated_drop: bool
    drop: Span
    upper: Span
    lower: Span
    between: Span


def rows_together(comparison: Comparison, vocabulary: Vocabulary) -> RowsTogether | None:
    """Solve every rule set's limits on the rows together, at the design's drop or else at any.

    None where there is no ledger or no limit, where something is not known or needs engineering,
    and where no place keeps them all. Raises InputError where a clause's exceptions conflict.
    """
    design = comparison.design
    boards = boards_of(design)
    if design.facts().get("deck.attachment") != "ledger":
        return None
    limits = [
        limit
        for evaluator in comparison.evaluators
        for limit in PlacementRules(evaluator, vocabulary).limits(design)
        if not limit.is_at_door
    ]
    if not limits:
        return None
    if boards.drop is not None:
        found = verdict(boards.distances(open_rows=True), limits, boards.missing)
        if found.status != DOES_NOT_COMPLY:
            return _ranges(found, at_stated_drop=True)
    return _ranges(_at_any_drop(boards, limits), at_stated_drop=False)


def _at_any_drop(boards: DesignBoards, limits: Sequence[RuleLimit]) -> Verdict:
    return verdict(boards.distances(open_drop=True, open_rows=True), limits, boards.missing)


def _ranges(found: Verdict, *, at_stated_drop: bool) -> RowsTogether | None:
    if found.status != COMPLIES or not found.is_feasible:
        return None
    pairs = ((BAND_TOP, LEDGER_TOP), (LEDGER_TOP, UPPER_ROW), (LEDGER_TOP, LOWER_ROW),
             (UPPER_ROW, LOWER_ROW))  # fmt: skip
    spans = [_span(found.distances, *pair) for pair in pairs]
    drop, upper, lower, between = spans
    if drop is None or upper is None or lower is None or between is None:
        return None
    return RowsTogether(at_stated_drop, drop, upper, lower, between)


def _span(distances: Sequence[Distance], start: str, end: str) -> Span | None:
    known = {datum for d in distances for datum in (d.start, d.end)}
    if not {start, end} <= known:
        return None
    least, most = solve(distances, [Ask(start, end, "least"), Ask(start, end)]).extremes
    return None if least.value is None or most.value is None else (least.value, most.value)
