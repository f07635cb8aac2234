"""What a value can be on a column of designs, and how two of them compare, exactly.

A number counts in the rule set's own ticks: a column of whole numbers times a fixed fraction, a
ratio of two columns, a table's cells by a column of places, or one constant for each of a few
masks that exclude one another.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from math import ceil, floor, gcd, lcm
from typing import Any

from msgspec import Struct

from deckclause.evaluate.columns.graph import FALSE, TRUE, Graph, Unsupported

Constant = Fraction | str | bool
FLIPPED = {"<=": ">=", ">=": "<=", "<": ">", ">": "<", "==": "=="}


class Pieces(Struct, frozen=True):
    """A constant for each mask; masks exclude one another, and cover where the value is real."""

    items: tuple[tuple[int, Constant], ...]


class Coded(Struct, frozen=True):
    """A column of codes and what each code means."""

    node: int
    choices: tuple[str | bool, ...]


class Cells(Struct, frozen=True):
    """A table's cells, read at a column of places; None where there is no figure."""

    place: int
    cells: tuple[Constant | None, ...]


class Linear(Struct, frozen=True):
    """A column of whole numbers, each times `factor` (positive)."""

    node: int
    factor: Fraction


class Ratio(Struct, frozen=True):
    """One column over another (positive), times `factor` (positive)."""

    node: int
    den: int
    factor: Fraction


Form = Pieces | Coded | Cells | Linear | Ratio
NOTHING = Pieces(())


class Known(Struct, frozen=True):
    """A value and where it is not one: unknown, or one of the special results."""

    form: Form
    none: int = FALSE
    beyond: int = FALSE
    forbidden: int = FALSE
    unseen: int = FALSE


UNKNOWN = Known(NOTHING, none=TRUE)


def constant(value: Constant) -> Known:
    """Return the same value on every row."""
    return Known(Pieces(((TRUE, value),)))


def unreal(graph: Graph, known: Known) -> int:
    """Return where there is no value, for whatever reason."""
    return graph.either(known.none, known.beyond, known.forbidden, known.unseen)


# --- choices -------------------------------------------------------------------------------------


def among(graph: Graph, form: Form, options: Iterable[str | bool]) -> int:
    """Return where a choice is one of `options`; false where it is unknown."""
    wanted = set(options)
    if isinstance(form, Pieces):
        return graph.either(*(mask for mask, value in form.items if _in(value, wanted)))
    if isinstance(form, Coded):
        return graph.either(
            *(graph.equal_code(form.node, i) for i, c in enumerate(form.choices) if _in(c, wanted))
        )
    if isinstance(form, Cells):
        flags = tuple(int(_in(cell, wanted)) for cell in form.cells)
        return graph.compare("==", graph.take(form.place, flags), 1)
    raise Unsupported("a measure held against choices")


def _in(value: Constant | None, wanted: set[str | bool]) -> bool:
    """Keep yes apart from 1 and from words."""
    return any(type(value) is type(option) and value == option for option in wanted)


# --- numbers -------------------------------------------------------------------------------------


def compare(graph: Graph, one: Form, operation: str, two: Form) -> int:
    """Return where `one operation two` holds, among rows where both are real."""
    if isinstance(one, Pieces):
        return graph.either(
            *(
                graph.both(mask, _against(graph, two, FLIPPED[operation], value))
                for mask, value in one.items
            )
        )
    if isinstance(two, Pieces):
        return compare(graph, two, FLIPPED[operation], one)
    if isinstance(one, Cells):
        return _compare_cells(graph, two, FLIPPED[operation], one)
    if isinstance(two, Cells):
        return _compare_cells(graph, one, operation, two)
    first, first_den, first_factor = _column(one)
    second, second_den, second_factor = _column(two)
    share = first_factor / second_factor
    left, right = graph.scale(first, share.numerator), graph.scale(second, share.denominator)
    if second_den is not None:
        left = graph.times(left, second_den)
    if first_den is not None:
        right = graph.times(right, first_den)
    return graph.compare_columns(operation, left, right)


def _column(form: Form) -> tuple[int, int | None, Fraction]:
    if isinstance(form, Linear):
        return form.node, None, form.factor
    if isinstance(form, Ratio):
        return form.node, form.den, form.factor
    raise Unsupported("a choice held against a measure")


def _against(graph: Graph, form: Form, operation: str, value: Constant) -> int:
    """Compare any form with one constant."""
    if isinstance(value, str | bool):
        if operation != "==":
            raise Unsupported("choices have no order")
        return among(graph, form, [value])
    if isinstance(form, Pieces):
        return graph.either(*(m for m, v in form.items if _holds(v, operation, value)))
    if isinstance(form, Cells):
        flags = tuple(int(c is not None and _holds(c, operation, value)) for c in form.cells)
        return graph.compare("==", graph.take(form.place, flags), 1)
    if isinstance(form, Ratio):
        share = value / form.factor
        left = graph.scale(form.node, share.denominator)
        right = graph.scale(form.den, share.numerator)
        return graph.compare_columns(operation, left, right)
    if isinstance(form, Linear):
        return _compare_whole(graph, form.node, operation, value / form.factor)
    raise Unsupported("a choice held against a measure")


def _compare_whole(graph: Graph, node: int, operation: str, value: Fraction) -> int:
    """Compare a column of whole numbers with a fraction, by the whole number that decides."""
    if operation == "==":
        whole = value.denominator == 1
        return graph.compare("==", node, value.numerator) if whole else FALSE
    if operation in ("<=", "<"):
        return graph.compare("<=", node, floor(value) if operation == "<=" else ceil(value) - 1)
    return graph.compare(">=", node, ceil(value) if operation == ">=" else floor(value) + 1)


def _holds(one: Constant, operation: str, two: Constant) -> bool:
    if isinstance(one, str | bool) or isinstance(two, str | bool):
        return operation == "==" and type(one) is type(two) and one == two
    return bool(
        {"<=": one <= two, ">=": one >= two, "<": one < two, ">": one > two, "==": one == two}[
            operation
        ]
    )


def _compare_cells(graph: Graph, form: Form, operation: str, cells: Cells) -> int:
    """Compare a column with a table's cells, rounded the way that keeps the answer."""
    if not isinstance(form, Linear) or operation == "==":
        return compare(graph, form, operation, linear(graph, cells))
    limits = []
    for cell in cells.cells:
        assert not isinstance(cell, str | bool)
        value = (cell or Fraction(0)) / form.factor
        if operation in ("<=", "<"):
            limits.append(floor(value) if operation == "<=" else ceil(value) - 1)
        else:
            limits.append(ceil(value) if operation == ">=" else floor(value) + 1)
    read = graph.take(cells.place, tuple(limits))
    return graph.compare_columns("<=" if operation in ("<=", "<") else ">=", form.node, read)


def linear(graph: Graph, form: Form) -> Linear:
    """Bring a number into a column of whole numbers times one fraction."""
    if isinstance(form, Linear):
        return form
    if isinstance(form, Pieces):
        numbers = _numbers(value for _, value in form.items)
        unit = _unit(numbers)
        pieces = tuple((m, _whole(v, unit)) for (m, _), v in zip(form.items, numbers, strict=True))
        return Linear(graph.choose(pieces), unit)
    if isinstance(form, Cells):
        numbers = _numbers(Fraction(0) if cell is None else cell for cell in form.cells)
        unit = _unit(numbers)
        return Linear(graph.take(form.place, tuple(_whole(v, unit) for v in numbers)), unit)
    raise Unsupported("a ratio or a choice in arithmetic")


def _numbers(values: Iterable[Any]) -> list[Fraction]:
    found = list(values)
    if any(isinstance(value, str | bool) for value in found):
        raise Unsupported("a choice in arithmetic")
    return found


def _unit(values: Sequence[Fraction]) -> Fraction:
    """Return the largest fraction all values are whole multiples of (1 where there are none)."""
    shared = lcm(*(v.denominator for v in values))
    common = gcd(*(_whole(v, Fraction(1, shared)) for v in values))
    return Fraction(common or 1, shared)


def _whole(value: Fraction, unit: Fraction) -> int:
    scaled = value / unit
    assert scaled.denominator == 1
    return scaled.numerator


def same_unit(graph: Graph, forms: Sequence[Form]) -> tuple[list[int], Fraction]:
    """Bring several numbers into columns that count in one unit."""
    columns = [linear(graph, form) for form in forms]
    unit = _unit([column.factor for column in columns])
    return [graph.scale(c.node, _whole(c.factor, unit)) for c in columns], unit


MOST_PIECES = 16


def select(graph: Graph, items: Sequence[tuple[int, Known]], beyond: int = FALSE) -> Known:
    """Return the value of whichever mask is true; masks exclude one another."""
    masks = {
        name: graph.either(*(graph.both(m, getattr(known, name)) for m, known in items))
        for name in ("none", "beyond", "forbidden", "unseen")
    }
    masks["beyond"] = graph.either(masks["beyond"], beyond)
    return Known(_selected(graph, [(m, k.form) for m, k in items if m != FALSE]), **masks)


def _selected(graph: Graph, items: Sequence[tuple[int, Form]]) -> Form:
    kept = [(m, form) for m, form in items if form != NOTHING]
    if len(kept) == 1 and (kept[0][0] == TRUE or not isinstance(kept[0][1], Pieces)):
        return kept[0][1]
    split = [(m, _pieces(graph, form)) for m, form in kept]
    total = sum(len(pieces.items) if pieces else MOST_PIECES for _, pieces in split)
    if all(pieces is not None for _, pieces in split) and total <= 4 * MOST_PIECES:
        return Pieces(
            tuple(
                (both, value)
                for m, pieces in split
                if pieces is not None
                for mask, value in pieces.items
                if (both := graph.both(m, mask)) != FALSE
            )
        )
    nodes, unit = same_unit(graph, [form for _, form in kept])
    chosen = nodes[-1]
    for (mask, _), node in reversed(list(zip(kept, nodes, strict=True))[:-1]):
        chosen = graph.where(mask, node, chosen)
    return Linear(chosen, unit)


def _pieces(graph: Graph, form: Form) -> Pieces | None:
    if isinstance(form, Pieces):
        return form
    if isinstance(form, Coded):
        return Pieces(
            tuple((graph.equal_code(form.node, i), c) for i, c in enumerate(form.choices))
        )
    return None
