"""The cut and buy list, as rows and as CSV."""

from __future__ import annotations

import csv
from fractions import Fraction
from io import StringIO

from deckclause.choosing.choose import Solution
from deckclause.choosing.lumber import Fasteners
from deckclause.choosing.prices import fastener_item
from deckclause.quantities import LENGTH, Quantity, quantity_text

BUYING = ("item", "for", "cut", "buy", "count", "board feet")
BUYING_SI = (*BUYING[:-1], "m³")
BOARD_FOOT = 144
"""Cubic inches, nominal: a board 12 in by 12 in by 1 in."""
CUBIC_FOOT = 12**3
CUBIC_METRE = Fraction(5000, 127) ** 3
"""In cubic inches, 25.4 mm exactly to the inch."""


def buying_heads(*, si: bool = False) -> tuple[str, ...]:
    """Return the columns of the cut and buy list."""
    return BUYING_SI if si else BUYING


def buying_rows(solution: Solution, *, si: bool = False) -> list[list[str]]:
    """Return the cut and buy list: a row an item, by the columns of `buying_heads`.

    Sizes of lumber stay what they are called, `2x10`; measures are in SI units where asked.
    """
    taken = solution.taken
    rows = [
        [
            piece.size.rpartition("-")[2],
            piece.member,
            f"{piece.count} at {_length(piece.cut, 'ft', si=si)}",
            _length(piece.stock, "ft", si=si),
            str(piece.bought),
            wood_text(piece.board_feet, si=si),
        ]
        for piece in taken.pieces
    ]
    if taken.fasteners is not None:
        rows += _fasteners(taken.fasteners, si=si)
    if taken.concrete:
        rows.append(["concrete", "footings", "", "", concrete_text(taken.concrete, si=si), ""])
    return rows


def wood_text(board_feet: Fraction, *, si: bool = False) -> str:
    """Write an amount of lumber, nominal: whole board feet, or cubic metres."""
    if not si:
        return str(rounded(board_feet))
    return f"{float(board_feet * BOARD_FOOT / CUBIC_METRE):.2f}"


def concrete_text(cubic_feet: Fraction, *, si: bool = False) -> str:
    """Write an amount of concrete.

    >>> concrete_text(Fraction(27)), concrete_text(Fraction(27), si=True)
    ('27.0 cu ft', '0.76 m³')
    """
    if not si:
        return f"{float(cubic_feet):.1f} cu ft"
    return f"{float(cubic_feet * CUBIC_FOOT / CUBIC_METRE):.2f} m³"


def _length(value: Fraction, style: str = "in", *, si: bool = False) -> str:
    return quantity_text(Quantity(value, LENGTH), style, si=si)


def _fasteners(fasteners: Fasteners, *, si: bool = False) -> list[list[str]]:
    thick = "" if fasteners.diameter is None else f", {_length(fasteners.diameter, si=si)} diameter"
    long = fasteners.least_length
    length = "length not known" if long is None else f"{_length(long, si=si)} or longer"
    washers = fasteners.count * (2 if "bolt" in fasteners.kind else 1)
    item = f"{fastener_item(fasteners)}{thick}"
    return [
        [item, "ledger", "", length, str(fasteners.count), ""],
        ["washer", "ledger", "", "", str(washers), ""],
    ]


def buying_csv(solution: Solution, *, si: bool = False) -> str:
    """Return the cut and buy list as CSV."""
    out = StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(buying_heads(si=si))
    writer.writerows(buying_rows(solution, si=si))
    return out.getvalue()


def rounded(value: Fraction) -> int:
    """Round to the nearest whole number, a half up."""
    return int(value + Fraction(1, 2))
