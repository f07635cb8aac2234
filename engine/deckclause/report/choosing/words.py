"""Words for sizes, prices and rule sets in what `choose` prints."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from deckclause.answers.figure import Figure
from deckclause.rulesets.files import HOLDS_TOGETHER
from deckclause.rulesets.names import rule_set_title

WHY = {
    "fails": "fails",
    "no answer passes": "no answer to what is not stated is known to pass",
    "not decided": "not decided by",
}
"""How a clause keeps a size out."""
ON_CENTER = ("joists.spacing", "fasteners.spacing")


def size_text(quantity: str, figure: Figure, *, si: bool = False) -> str:
    """Write a size as a carpenter reads it."""
    words = figure.text(si=si)
    return f"{words} on center" if quantity in ON_CENTER else words


def options_text(quantity: str, options: Sequence[Figure], *, si: bool = False) -> str:
    """Write several options: a run of three measures or more by its ends, sizes one by one."""
    words = [size_text(quantity, option, si=si) for option in options]
    if len(words) >= 3 and all(isinstance(o.value, Fraction) for o in options):
        return f"{words[0]} to {words[-1]}"
    return ", ".join(words)


def money(value: Fraction) -> str:
    """Write an amount of a currency nobody names."""
    return f"{float(value):,.2f}"


def titles(names: Sequence[str]) -> str:
    """Name rule sets, or what is asked of every deck whatever the rule set."""
    return "; ".join(
        "every rule set (whether the deck holds together)"
        if n == HOLDS_TOGETHER
        else rule_set_title(n)
        for n in names
    )
