"""Read cells of the rule sets' tables by the words of a rule file."""

from __future__ import annotations

from fractions import Fraction
from functools import cache

from deckclause.quantities import parse_quantity
from deckclause.rulesets.clauses import CellNote, Table
from deckclause.rulesets.library import RuleLibrary

SQUARE_FOOT = 144


@cache
def library() -> RuleLibrary:
    return RuleLibrary.open()


def table(ruleset: str, name: str) -> Table:
    found = [t for t in library().ruleset(ruleset).tables if t.name == name]
    assert len(found) == 1, f"{ruleset} has no one table {name}"
    return found[0]


def key(text: str) -> Fraction | str:
    """Turn a key such as `12 in`, `8 ft`, `40 psf` or `southern_pine` into an axis key."""
    return parse_quantity(text).value if text[0].isdigit() and " " in text else text


def place(ruleset: str, name: str, *keys: str) -> int:
    found = table(ruleset, name)
    return found.position(
        tuple(axis.keys.index(key(k)) for axis, k in zip(found.axes, keys, strict=True))
    )


def cell(ruleset: str, name: str, *keys: str) -> Fraction | str:
    return table(ruleset, name).cells[place(ruleset, name, *keys)]


def note(ruleset: str, name: str, *keys: str) -> CellNote | None:
    return table(ruleset, name).note(place(ruleset, name, *keys))


def inches(printed: str) -> Fraction:
    """Turn a printed span such as 12-10 (feet-inches) into inches."""
    feet, _, rest = printed.partition("-")
    return Fraction(int(feet) * 12 + int(rest))


def row(printed: str) -> list[Fraction]:
    return [inches(word) for word in printed.split()]
