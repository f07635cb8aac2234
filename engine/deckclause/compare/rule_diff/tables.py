"""Cells of a table that differ between two rule sets, by the keys that lead to them."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import product

from msgspec import Struct
from msgspec.structs import replace

from deckclause.evaluate.words import called, fact_text, name_text, scalar_text
from deckclause.rulesets.clauses import (
    NOT_PERMITTED,
    NOT_SEEN,
    CellNote,
    Clause,
    Limit,
    Provides,
    Scalar,
    Table,
)
from deckclause.rulesets.vocabulary import Vocabulary
from deckclause.rulesets.walk import clause_lookups, clause_tables

ABSENT = "no figure"


class CellDiff(Struct, frozen=True):
    """One cell, before and after, in words."""

    keys: tuple[str, ...]
    before: str
    after: str
    memory: tuple[bool, bool] = (False, False)
    """Whether the figure before, and after, is from memory."""


class TableDiff(Struct, frozen=True):
    """What differs between the tables a clause reads under two rule sets."""

    before: str
    after: str
    """Where the table stands in each, or nothing where there is none."""
    axes: tuple[str, ...]
    cells: tuple[CellDiff, ...]
    note: str = ""
    smaller: int = 0
    """How many figures that both have are smaller now; a use no longer permitted is one."""
    larger: int = 0
    unseen: int = 0
    """Figures left out of `cells`, as nobody has seen them on one side or both."""
    came: tuple[str, ...] = ()
    """The keys the table has now and had not, in words: for an axis, or by an axis of its own."""
    went: tuple[str, ...] = ()
    """The keys it had and has not."""


def table_diffs(
    one: Clause, two: Clause, vocabulary: Vocabulary, *, si: bool = False
) -> tuple[TableDiff, ...]:
    """Compare the tables two versions of a clause read, paired by the names they have."""
    first = {t.name: t for t in clause_tables(one)}
    second = {t.name: t for t in clause_tables(two)}
    if len(first) == 1 and len(second) == 1:
        pairs = [(next(iter(first.values())), next(iter(second.values())))]
    else:
        pairs = [(first[n], second[n]) for n in first if n in second]
    kind, unit = _measured(two, vocabulary)
    found = []
    for whole_a, whole_b in pairs:
        fixed = _fixed_alike(one, whole_a, two, whole_b)
        a, b = (_at_keys(table, fixed) for table in (whole_a, whole_b))
        if (a.axes, a.cells) != (b.axes, b.cells):
            found.append(_diff(a, b, vocabulary, kind, unit, si=si))
    return tuple(found)


def _fixed_alike(one: Clause, a: Table, two: Clause, b: Table) -> dict[str, Fraction | str]:
    """Return the keys both clauses always read their table at, if each reads it in one way only."""
    ways = [
        {lookup.fixed for lookup in clause_lookups(clause) if lookup.table is table}
        for clause, table in ((one, a), (two, b))
    ]
    if any(len(way) != 1 for way in ways):
        return {}
    first, second = (dict(next(iter(way))) for way in ways)
    return {q: key for q, key in first.items() if second.get(q) == key}


def _at_keys(table: Table, fixed: dict[str, Fraction | str]) -> Table:
    """Return the part of a table read at some keys, without the axes they stand on."""
    kept = [axis for axis in table.axes if axis.quantity not in fixed]
    if len(kept) == len(table.axes) or any(
        axis.quantity in fixed and fixed[axis.quantity] not in axis.keys for axis in table.axes
    ):
        return table
    cells: list[Fraction | str] = []
    notes: list[tuple[int, CellNote]] = []
    for indices in product(*(range(len(axis.keys)) for axis in kept)):
        at = dict(zip((axis.quantity for axis in kept), indices, strict=True))
        place = tuple(
            at[axis.quantity] if axis.quantity in at else axis.keys.index(fixed[axis.quantity])
            for axis in table.axes
        )
        cells.append(table.cells[table.position(place)])
        note = table.note(table.position(place))
        if note is not None:
            notes.append((len(cells) - 1, note))
    return replace(table, axes=tuple(kept), cells=tuple(cells), notes=tuple(notes))


def _measured(clause: Clause, vocabulary: Vocabulary) -> tuple[str, str]:
    requirement = clause.requirement
    name = ""
    if isinstance(requirement, Limit):
        name = str(requirement.subject)
    elif isinstance(requirement, Provides):
        name = requirement.quantity
    definition = vocabulary.quantities.get(name)
    return (definition.kind, definition.unit) if definition else ("length", "in")


def _diff(
    a: Table, b: Table, vocabulary: Vocabulary, kind: str, unit: str, *, si: bool
) -> TableDiff:
    """Compare cell by cell, like with like.

    Where only one table is led into by a fact of the design, the other's figure holds for any value
    of it. Where it is a value the rule set itself gives (a row chosen by the load), the other
    speaks for its first key alone.
    """
    names = [axis.quantity for axis in b.axes]
    before = [axis.quantity for axis in a.axes]
    only = [q for q in (*names, *before) if (q in names) != (q in before)]
    quantities = [*only, *(q for q in names if q in before)]
    given = frozenset(q for q in only if vocabulary.quantities[q].provided)
    cells: list[CellDiff] = []
    smaller = larger = unseen = 0
    for keys, i, j in _pairs(a, b, quantities, given):
        x, y = (None if p is None else t.cells[p] for t, p in ((a, i), (b, j)))
        if x == y or NOT_SEEN in (x, y):
            unseen += NOT_SEEN in (x, y) and x != y
            continue
        smaller, larger = smaller + _less(y, x), larger + _less(x, y)
        cells.append(
            CellDiff(
                tuple(fact_text(k, vocabulary.quantities[q], si=si) for q, k in keys.items()),
                _text(x, kind, unit, si=si),
                _text(y, kind, unit, si=si),
                (i is not None and from_memory(a, i), j is not None and from_memory(b, j)),
            )
        )
    note = "; ".join([*_layout_notes(a, b, only, given, vocabulary), *_between_notes(a, b)])
    axes = tuple(called(q, vocabulary) for q in quantities)
    came, went = (
        tuple(_own_rows(mine, other, given, vocabulary, si=si)) for mine, other in ((b, a), (a, b))
    )
    return TableDiff(
        a.cites, b.cites, axes, tuple(cells), note, smaller, larger, unseen, came, went
    )


def _own_rows(
    table: Table, other: Table, given: frozenset[str], vocabulary: Vocabulary, *, si: bool
) -> Iterator[str]:
    """Say which keys a table has that the other has not."""
    for axis in table.axes:
        known = _keys(other, axis.quantity)
        if not known and axis.quantity in given:
            known = axis.keys[:1]  # the other table speaks for the first key
        if not known:
            yield f"by {called(axis.quantity, vocabulary)}"
            continue
        definition = vocabulary.quantities[axis.quantity]
        own = [fact_text(key, definition, si=si) for key in axis.keys if key not in known]
        if own:
            yield f"for {called(axis.quantity, vocabulary)} {', '.join(own)}"


def _layout_notes(
    a: Table, b: Table, only: list[str], given: frozenset[str], vocabulary: Vocabulary
) -> Iterator[str]:
    """Say how tables led into otherwise are set side by side."""
    for table, which in ((a, "before"), (b, "now")):
        here = {axis.quantity for axis in table.axes}
        any_value = [called(q, vocabulary) for q in only if q not in here and q not in given]
        if any_value:
            yield f"{which} the same figure for any {' and '.join(any_value)}"
        for q in only:
            if q not in here and q in given:
                first = fact_text(_keys(b if table is a else a, q)[0], vocabulary.quantities[q])
                yield f"{which} not led into by {called(q, vocabulary)}, set beside {first}"


def _between_notes(a: Table, b: Table) -> Iterator[str]:
    between = [
        f"{name_text(axis.quantity)}: {axis.between.replace('_', ' ')}"
        for axis in b.axes
        for other in a.axes
        if axis.quantity == other.quantity and axis.between != other.between
    ]
    if between:
        yield f"between keys, now {', '.join(between)}"


def _less(one: object, two: object) -> bool:
    """Tell whether a cell is less than another; what is not permitted is less than any figure."""
    if isinstance(one, Fraction) and isinstance(two, Fraction):
        return one < two
    return one == NOT_PERMITTED and isinstance(two, Fraction)


def from_memory(table: Table, place: int) -> bool:
    """Tell whether a cell is from memory: by its own standing where it has one, or the table's."""
    note = table.note(place)
    return ((note.standing if note is not None else None) or table.standing) == "memory"


def _pairs(
    a: Table, b: Table, quantities: list[str], given: frozenset[str]
) -> Iterator[tuple[dict[str, Scalar], int | None, int | None]]:
    keys = [_union(_keys(a, q), _keys(b, q)) for q in quantities]
    firsts = {q: k[0] for q, k in zip(quantities, keys, strict=True) if q in given}
    for chosen in product(*keys):
        at: dict[str, Scalar] = dict(zip(quantities, chosen, strict=True))
        yield at, _place(a, at, firsts), _place(b, at, firsts)


def _keys(table: Table, quantity: str) -> tuple[Fraction | str, ...]:
    return next((axis.keys for axis in table.axes if axis.quantity == quantity), ())


def _union(
    one: tuple[Fraction | str, ...], two: tuple[Fraction | str, ...]
) -> list[Fraction | str]:
    keys = list(dict.fromkeys([*one, *two]))
    numbers = [key for key in keys if isinstance(key, Fraction)]
    return [*sorted(numbers)] if len(numbers) == len(keys) else keys


def _place(table: Table, at: dict[str, Scalar], firsts: dict[str, Fraction | str]) -> int | None:
    """Return the place of a cell; None where the table has no such key."""
    axes = {axis.quantity: axis for axis in table.axes}
    if any(q not in axes and at[q] != first for q, first in firsts.items()):
        return None
    indices = []
    for name, axis in axes.items():
        key = at[name]
        if isinstance(key, bool) or key not in axis.keys:
            return None
        indices.append(axis.keys.index(key))
    return table.position(tuple(indices))


def _text(cell: object, kind: str, unit: str, *, si: bool) -> str:
    if cell is None:
        return ABSENT
    if isinstance(cell, Fraction):
        return scalar_text(cell, kind, unit, si=si)
    return str(cell)
