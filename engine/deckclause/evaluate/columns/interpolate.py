"""Interpolation along a row of a table, by the column: one straight line for each pair of keys."""

from __future__ import annotations

from fractions import Fraction
from math import lcm

from deckclause.evaluate.columns.forms import (
    Form,
    Known,
    Linear,
    compare,
    constant,
    linear,
)
from deckclause.evaluate.columns.graph import FALSE, Graph, Unsupported
from deckclause.rulesets.clauses import NOT_PERMITTED, NOT_SEEN, Scalar


def interpolated(
    graph: Graph,
    cells: tuple[Scalar, ...],
    keys: list[Scalar],
    form: Form,
    weighted: list[tuple[int, int]],
    start: int,
) -> Known:
    """Read a table between its last axis' keys; `weighted` and `start` lead to the row.

    The figure at place p lies on the line through the cells at p - 1 and p. Outside the keys
    there is none. A special cell speaks for the stretch it ends, as in runtime.interpolated.
    """
    marks = [key for key in keys if isinstance(key, Fraction)]
    if len(marks) != len(keys):
        raise Unsupported("interpolation between choices")
    column = linear(graph, form)
    steps = [compare(graph, column, ">", constant(key).form) for key in marks]
    at_key = graph.either(*(compare(graph, column, "==", constant(key).form) for key in marks))
    outside = graph.either(compare(graph, column, "<", constant(marks[0]).form), steps[-1])
    place = graph.index([*weighted, *((mask, 1) for mask in steps[:-1])], start)
    lines = [_line(cells, marks, p, column.factor) for p in range(len(cells))]
    shared = lcm(*(part.denominator for line in lines for part in line))
    starts = graph.take(place, tuple(int(line[0] * shared) for line in lines))
    slopes_table = tuple(int(line[1] * shared) for line in lines)
    reach = max(abs(int(marks[0] / column.factor)), abs(int(marks[-1] / column.factor))) + 1
    slopes = graph.take(place, slopes_table)
    bound = reach * max(map(abs, slopes_table))
    rise = graph.number(max(bound, 2**31), "times", *sorted((slopes, column.node)))
    figure = Linear(graph.total([starts, rise]), Fraction(1, shared))
    special = {
        word: graph.without(_special(graph, cells, len(marks), place, at_key, word), outside)
        for word in (NOT_PERMITTED, NOT_SEEN)
    }
    return Known(figure, beyond=outside, forbidden=special[NOT_PERMITTED], unseen=special[NOT_SEEN])


def _line(
    cells: tuple[Scalar, ...], marks: list[Fraction], place: int, factor: Fraction
) -> tuple[Fraction, Fraction]:
    """Return start and slope of the line that ends at a place, in counts of the column."""
    high = cells[place]
    along = place % len(marks)
    if not isinstance(high, Fraction):
        return Fraction(0), Fraction(0)
    low = cells[place - 1] if along else high
    if not isinstance(low, Fraction) or not along:
        return high, Fraction(0)
    slope = (high - low) / (marks[along] - marks[along - 1])
    return low - slope * marks[along - 1], slope * factor


def _special(
    graph: Graph, cells: tuple[Scalar, ...], width: int, place: int, at_key: int, word: str
) -> int:
    if word not in cells:
        return FALSE
    here = tuple(int(cell == word) for cell in cells)
    between = tuple(
        int(_speaks(cells[p - 1] if p % width else cells[p], cells[p]) == word)
        for p in range(len(cells))
    )
    on_key = graph.compare("==", graph.take(place, here), 1)
    off_key = graph.compare("==", graph.take(place, between), 1)
    return graph.either(graph.both(at_key, on_key), graph.without(off_key, at_key))


def _speaks(low: Scalar, high: Scalar) -> Scalar:
    return low if isinstance(low, str) else high
