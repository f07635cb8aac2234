"""Print proofs and conflicts as sums a carpenter can check with a pencil."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from deckclause.placement.answers import Conflict, Extreme, Link
from deckclause.placement.constraints import exact_length_text


def conflict_text(conflict: Conflict) -> str:
    """Print a conflict: what is asked for, less what there is, leaves the shortfall.

    >>> from fractions import Fraction
    >>> from deckclause.placement.constraints import Distance, fixed
    >>> need = Distance("a", "b", Fraction(15, 2), None, "lower row", "Table X note d")
    >>> have = fixed("a", "b", Fraction(29, 4), "a 2x8's depth")
    >>> conflict_text(Conflict((Link(need, "least"), Link(have, "most")), Fraction(1, 4)))
    "7-1/2 in (lower row, Table X note d) - 7-1/4 in (a 2x8's depth) = 1/4 in too much"
    """
    terms, note = _terms([(link, -link.length) for link in reversed(conflict.links)])
    return f"{terms} = {exact_length_text(conflict.shortfall)} too much{note}"


def extreme_text(extreme: Extreme) -> str:
    """Print an extreme as the sum of its chain, or say that nothing bounds it.

    >>> from fractions import Fraction
    >>> from deckclause.placement.answers import Ask
    >>> from deckclause.placement.constraints import Distance
    >>> edge = Distance("a", "b", Fraction(2), None, "top edge", "Table X")
    >>> extreme_text(Extreme(Ask("a", "b", "least"), Fraction(2), (Link(edge, "least"),)))
    '2 in (top edge, Table X) = 2 in'
    """
    if extreme.value is None:
        ask = extreme.ask
        word = "great" if ask.sense == "greatest" else "small"
        return f"nothing bounds how {word} {ask.start} to {ask.end} may be"
    sign = 1 if extreme.ask.sense == "greatest" else -1
    terms, note = _terms([(link, sign * link.length) for link in extreme.chain])
    return f"{terms} = {exact_length_text(extreme.value)}{note}"


def _terms(parts: Sequence[tuple[Link, Fraction]]) -> tuple[str, str]:
    """Join signed terms, the added ones first; name apart the boards that add nothing."""
    weighty = [p for p in parts if p[1] or p[0].distance.kind == "clause"]
    text = ""
    for link, value in sorted(weighty, key=lambda part: part[1] < 0):
        plus, minus = (" + ", " - ") if text else ("", "-")
        joint = minus if value < 0 else plus
        text += f"{joint}{exact_length_text(abs(value))} ({_reason(link)})"
    level = dict.fromkeys(_reason(link) for link, value in parts if (link, value) not in weighty)
    note = f" (adding 0 in: {'; '.join(level)})" if level else ""
    return text or "0 in", note


def _reason(link: Link) -> str:
    item = link.distance
    return f"{item.label}, {item.cites}" if item.cites else item.label
