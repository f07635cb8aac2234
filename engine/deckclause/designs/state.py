"""State a fact in a design file, its comments and order kept."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from deckclause.rulesets.round_trip import dump_round_trip, load_round_trip, on_one_line
from deckclause.rulesets.vocabulary import QuantityDefinition, Vocabulary

EMPTY = "design: 1\n"
"""What a design file begins as."""


def stated(text: str, quantity: str, value: str, vocabulary: Vocabulary) -> str:
    """Return the file with a quantity stated; in each part that leaves it open, where there are several.

    A part of the deck not spoken of before is begun on a line of its own. `value` is written as it is: `16 in`, `southern_pine`, `yes`. What a part states already stays.

    >>> from deckclause.rulesets.vocabulary import Group
    >>> groups = {"ledger": Group("ledger", "Ledger", False), "posts": Group("posts", "Posts", True)}
    >>> words = Vocabulary({}, groups, {}, {}, {}, {}, "")
    >>> print(stated("design: 1  # mine\\nledger: {size: 2x8}\\n", "ledger.grade", "no_2", words), end="")
    design: 1  # mine
    ledger: {size: 2x8, grade: no_2}
    """
    data = load_round_trip(text or EMPTY)
    group, _, key = quantity.partition(".")
    written: str | int = int(value) if value.isdecimal() and value.isascii() else value
    entry = data.get(group)
    if isinstance(entry, list):
        for part in entry:
            _state(part, key, written)
    elif isinstance(entry, dict):
        _state(entry, key, written)
    else:
        data[group] = on_one_line({key: written})
    return dump_round_trip(data)


def _state(entry: Any, key: str, value: str | int) -> None:
    if entry.get(key) in (None, "?"):
        entry[key] = value


def without(text: str, group: str) -> str:
    """Return the file saying that the deck has no such part: `stairs: none`."""
    data = load_round_trip(text or EMPTY)
    data[group] = "none"
    return dump_round_trip(data)


def list_parts(text: str, group: str, parts: list[dict[str, str]]) -> str:
    """Return the file with the parts of a group, a line each, as given."""
    data = load_round_trip(text or EMPTY)
    data[group] = [on_one_line(part) for part in parts]
    return dump_round_trip(data)


def alike(text: str, group: str, names: Sequence[str]) -> str:
    """Return the file with one part of the deck written out as several alike, each with its name.

    >>> print(alike("design: 1\\nbeams: {size: 2-2x10}\\n", "beams", ["outer", "inner"]), end="")
    design: 1
    beams:
      - {name: outer, size: 2-2x10}
      - {name: inner, size: 2-2x10}
    """
    entry = load_round_trip(text or EMPTY).get(group)
    stated = dict(entry) if isinstance(entry, dict) else {}
    return list_parts(text, group, [{"name": name, **stated} for name in names])


def open_parts(text: str, definition: QuantityDefinition) -> tuple[str, ...]:
    """Return the names of the parts in which a quantity is left open, where there are several."""
    data = load_round_trip(text or EMPTY)
    group, _, key = definition.name.partition(".")
    entry = data.get(group)
    if not isinstance(entry, list):
        return ()
    return tuple(str(part.get("name", "")) for part in entry if part.get(key) in (None, "?"))
