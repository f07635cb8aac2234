"""Checks of printed tables: order along an axis, kinds, tables nobody reads."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise

from deckclause.designs.dressed_sizes import dressed_size
from deckclause.evaluate.words import fact_text, name_text
from deckclause.rulesets.clauses import NOT_PERMITTED, NOT_SEEN, Axis, Table
from deckclause.rulesets.vocabulary import Vocabulary
from deckclause.rulesets.walk import clause_tables, condition_tests, value_tables
from deckclause.upkeep.lint.context import LintContext, ReadSet
from deckclause.upkeep.lint.finding import Found

RISE, FALL = 1, -1
FEW = 10
"""Breaks are reported where at most one pair in this many breaks the table's way, or where a
line of cells turns more than once: some printed tables rise and then fall for good reasons.
"""


def key_words(context: LintContext | Vocabulary, table: Table, place: int) -> str:
    """Name a cell by its keys: `50 psf, lag screw, 8 ft`."""
    words = []
    for axis, index in zip(table.axes, indices_of(table, place), strict=True):
        words.append(fact_text(axis.keys[index], context.quantities[axis.quantity]))
    return ", ".join(words)


def indices_of(table: Table, place: int) -> tuple[int, ...]:
    """Return one index for each axis of the cell at `place`."""
    indices: list[int] = []
    for axis in reversed(table.axes):
        place, index = divmod(place, len(axis.keys))
        indices.append(index)
    return tuple(reversed(indices))


def steps_along(table: Table, number: int) -> Iterator[tuple[int, int]]:
    """Yield each pair of cells next to each other along one axis."""
    size = 1
    for axis in table.axes[number + 1 :]:
        size *= len(axis.keys)
    for place in range(len(table.cells)):
        if indices_of(table, place)[number] + 1 < len(table.axes[number].keys):
            yield place, place + size


def is_ordered(axis: Axis) -> bool:
    """Tell whether an axis has an order: measures, or nominal sizes from the least to the largest.

    >>> is_ordered(Axis("joists.size", ("2x6", "2x8", "2x10")))
    True
    >>> is_ordered(Axis("fasteners.assembly", ("lag_screw", "through_bolt")))
    False
    """
    if all(isinstance(key, Fraction) for key in axis.keys):
        return True
    sizes = [dressed_size(key) if isinstance(key, str) else None for key in axis.keys]
    known = [size for size in sizes if size is not None]
    thickness = {size[0] for size in known}
    return len(known) == len(sizes) and len(thickness) == 1 and known == sorted(known)


def out_of_order(context: LintContext) -> Found:
    """Find cells that break the direction their table has along an ordered axis."""
    for read in context.books:
        for table in read.ruleset.tables:
            for number, axis in enumerate(table.axes):
                if is_ordered(axis):
                    yield from _breaks(context, read, table, number)


def _value(cell: Fraction | str) -> Fraction | None:
    return Fraction(0) if cell == NOT_PERMITTED else cell if isinstance(cell, Fraction) else None


def _breaks(context: LintContext, read: ReadSet, table: Table, number: int) -> Found:
    ways: dict[int, list[tuple[int, int]]] = {RISE: [], FALL: []}
    for one, two in steps_along(table, number):
        a, b = _value(table.cells[one]), _value(table.cells[two])
        if a is not None and b is not None and a != b:
            ways[RISE if b > a else FALL].append((one, two))
    if not ways[RISE] or not ways[FALL]:
        return
    rare = min(ways, key=lambda way: len(ways[way]))
    few = len(ways[rare]) * FEW <= len(ways[RISE]) + len(ways[FALL])
    broken = ways[rare] if few else _zigzags(table, number, ways)
    name = name_text(table.axes[number].quantity)
    for one, two in broken:
        word = "rises" if (one, two) in ways[RISE] else "falls"
        message = (
            f"table {table.name}: the figure {word} along {name} from ({key_words(context, table, one)}) "
            f"to ({key_words(context, table, two)}); elsewhere in the table it goes the other way"
        )
        yield context.place_of(table, read.ruleset), table.name, message


def _zigzags(
    table: Table, number: int, ways: dict[int, list[tuple[int, int]]]
) -> list[tuple[int, int]]:
    """Return the last turn of each line of cells that turns more than once."""
    way_of = {pair: way for way, pairs in ways.items() for pair in pairs}
    lines: dict[tuple[int, ...], list[tuple[int, int]]] = {}
    for pair in sorted(way_of):
        place = indices_of(table, pair[0])
        lines.setdefault((*place[:number], *place[number + 1 :]), []).append(pair)
    broken = []
    for pairs in lines.values():
        turns = [two for one, two in pairwise(pairs) if way_of[one] != way_of[two]]
        if len(turns) > 1:
            broken.append(turns[-1])
    return broken


def not_seen(context: LintContext) -> Found:
    """Find cells whose figure the book has and nobody has seen: the answer is `information missing`."""
    for read in context.books:
        for table in read.ruleset.tables:
            unseen = [i for i, cell in enumerate(table.cells) if cell == NOT_SEEN]
            if unseen:
                message = (
                    f"table {table.name}: {len(unseen)} of {len(table.cells)} cells not seen, such as "
                    f"{key_words(context, table, unseen[0])}"
                )
                yield context.place_of(table, read.ruleset), table.name, message


def unread_table(context: LintContext) -> Found:
    """Find tables that no clause reads."""
    for read in context.books:
        used = {t.name for clause in read.ruleset.clauses for t in clause_tables(clause)}
        for clause in read.ruleset.clauses:
            for condition in (clause.applies, clause.scope, *(e.when for e in clause.exceptions)):
                for test in condition_tests(condition):
                    for bound in (test.low, test.high):
                        if bound is not None:
                            used |= {t.name for t in value_tables(bound)}
        for table in read.ruleset.tables:
            if table.name not in used:
                yield (
                    context.place_of(table, read.ruleset),
                    table.name,
                    f"no clause reads table {table.name}",
                )
