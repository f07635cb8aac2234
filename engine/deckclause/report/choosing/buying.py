"""The cut and buy list, as rows and as CSV."""

from __future__ import annotations

import csv
from fractions import Fraction
from io import StringIO

from deckclause.choosing.choose import Solution
from deckclause.choosing.lumber import Fasteners
from deckclause.choosing.prices import fastener_item
from deckclause.quantities import length_text

BUYING = ("item", "for", "cut", "buy", "count", "board feet")


def buying_rows(solution: Solution) -> list[list[str]]:
    """Return the cut and buy list: a row an item, by the columns of BUYING."""
    taken = solution.taken
    rows = [
        [
            piece.size.rpartition("-")[2],
            piece.member,
            f"{piece.count} at {length_text(piece.cut, 'ft')}",
            length_text(piece.stock, "ft"),
            str(piece.bought),
            str(rounded(piece.board_feet)),
        ]
        for piece in taken.pieces
    ]
    if taken.fasteners is not None:
        rows += _fasteners(taken.fasteners)
    if taken.concrete:
        rows.append(["concrete", "footings", "", "", f"{float(taken.concrete):.1f} cu ft", ""])
    return rows


def _fasteners(fasteners: Fasteners) -> list[list[str]]:
    thick = "" if fasteners.diameter is None else f", {length_text(fasteners.diameter)} diameter"
    long = fasteners.least_length
    length = "length not known" if long is None else f"{length_text(long)} or longer"
    washers = fasteners.count * (2 if "bolt" in fasteners.kind else 1)
    item = f"{fastener_item(fasteners)}{thick}"
    return [
        [item, "ledger", "", length, str(fasteners.count), ""],
        ["washer", "ledger", "", "", str(washers), ""],
    ]


def buying_csv(solution: Solution) -> str:
    """Return the cut and buy list as CSV."""
    out = StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(BUYING)
    writer.writerows(buying_rows(solution))
    return out.getvalue()


def rounded(value: Fraction) -> int:
    """Round to the nearest whole number, a half up."""
    return int(value + Fraction(1, 2))
