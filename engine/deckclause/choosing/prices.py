"""The user's own price list: a CSV file of items, stock lengths and prices."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from decimal import Decimal, InvalidOperation
from fractions import Fraction
from pathlib import Path

from msgspec import Struct

from deckclause.choosing.lumber import Fasteners, Piece, TakeOff
from deckclause.quantities import LENGTH, QuantityError, parse_quantity
from deckclause.rulesets.problems import InputError, Problem

COLUMNS = ("item", "length", "price")
CONCRETE = "concrete"
Key = tuple[str, Fraction | None]
"""An item and its stock length in inches; None where the price is for any length or for one."""


class PriceList(Struct, frozen=True):
    """Prices by item and length, as the file gives them, in one currency nobody names."""

    file: str
    prices: Mapping[Key, Fraction]

    def of(self, item: str, length: Fraction | None = None) -> Fraction | None:
        """Return the price of one; None where the list has none."""
        found = self.prices.get((item, length))
        return self.prices.get((item, None)) if found is None else found

    def cost(self, taken: TakeOff) -> tuple[Fraction, tuple[str, ...]]:
        """Return what a take-off costs, and what the list has no price for."""
        total, lacking = Fraction(0), []
        for item, length, count in _bought(taken):
            price = self.of(item, length)
            if price is None:
                lacking.append(item if length is None else f"{item}, {length / 12} ft")
            else:
                total += count * price
        return total, tuple(dict.fromkeys(lacking))


def _bought(taken: TakeOff) -> list[tuple[str, Fraction | None, Fraction]]:
    bought = [(_ply(piece), piece.stock, Fraction(piece.bought)) for piece in taken.pieces]
    rest: list[tuple[str, Fraction | None, Fraction]] = []
    if taken.concrete:
        rest.append((CONCRETE, None, taken.concrete))
    if taken.fasteners is not None:
        rest.append((fastener_item(taken.fasteners), None, Fraction(taken.fasteners.count)))
    return [*bought, *rest]


def _ply(piece: Piece) -> str:
    return piece.size.rpartition("-")[2]


def fastener_item(fasteners: Fasteners) -> str:
    """Name a fastener as a price list does: `lag screw`, `through bolt`."""
    return fasteners.kind.replace("_", " ")


def read_prices(path: Path) -> PriceList:
    """Read a price list from a file. Raises InputError with every line that cannot be read."""
    try:
        text = path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as fault:
        raise InputError.single(str(path), f"cannot be read ({fault})") from None
    return prices_of(text, str(path))


def prices_of(text: str, file: str) -> PriceList:
    """Read a price list, `file` its name. Raises InputError with every line that cannot be read.

    Columns: `item` (`2x8`, `6x6`, `lag screw`, `through bolt`, `concrete` by the cubic foot),
    `length` (`12 ft`; empty where the price is the same at any length, or is for one), `price`.
    """
    rows = list(csv.DictReader(text.splitlines()))
    problems: list[Problem] = []
    prices: dict[Key, Fraction] = {}
    header = tuple((text.splitlines() or [""])[0].replace(" ", "").split(","))
    if header[:1] != ("item",) or set(COLUMNS) - set(header):
        raise InputError.single(
            file, f"its first line must name the columns {', '.join(COLUMNS)}", 1
        )
    for line, row in enumerate(rows, 2):
        try:
            item = (row["item"] or "").strip()
            length = (row["length"] or "").strip()
            key = (item, parse_quantity(length, LENGTH).value if length else None)
            price = Fraction(Decimal((row["price"] or "").strip().lstrip("$")))
            if price < 0:
                raise ValueError("a price is not negative")
            if key in prices:
                raise ValueError(f"{item} {length} stands twice")
            prices[key] = price
        except InvalidOperation:
            problems.append(Problem(file, line, f"'{row['price']}' is not a price; write 12.40"))
        except (QuantityError, ValueError) as fault:
            problems.append(Problem(file, line, str(fault)))
    if problems:
        raise InputError(problems)
    return PriceList(file, prices)
