"""Find a table and a cell by what a reader types: `joists`, `size=2x8`, `spacing=16 in`."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from deckclause.evaluate.tables.families import Facts
from deckclause.evaluate.words import fact_text
from deckclause.quantities import DimensionError, QuantityError, parse_quantity
from deckclause.reading.special import key_place
from deckclause.rulesets.clauses import Axis, Scalar, Table
from deckclause.rulesets.problems import InputError, suggestion
from deckclause.rulesets.ruleset import RuleSet
from deckclause.rulesets.vocabulary import QuantityDefinition

NEXT = {"interpolate": "next_larger"}
"""A cell is named by a key as printed: between two, by the larger."""


def matching_tables(ruleset: RuleSet, word: str) -> tuple[Table, ...]:
    """Return the tables a word may mean: the one of that name, or those that begin so.

    A plural finds its family: `joists` finds `joist_spans` and `joist_cantilevers`.
    """
    plain = _plain(word)
    exact = tuple(table for table in ruleset.tables if table.name == plain)
    if exact:
        return exact
    stem = plain.removesuffix("s")
    return tuple(table for table in ruleset.tables if table.name.startswith(stem))


def find_table(ruleset: RuleSet, word: str) -> Table:
    """Return the one table a word means. Raises InputError, naming those there are."""
    found = matching_tables(ruleset, word)
    if len(found) == 1:
        return found[0]
    names = [table.name for table in found or ruleset.tables]
    if found:
        message = f"'{word}' may be {' or '.join(names)}; name one"
    elif not names:
        message = f"{ruleset.name} has no tables (see `deckclause rules show {ruleset.name}`)"
    else:
        near = suggestion(_plain(word), names) or f" Its tables: {', '.join(names)}."
        message = f"{ruleset.name} has no table '{word}'.{near}"
    raise InputError.single("TABLE", message)


def read_keys(
    table: Table, given: Mapping[str, str], quantities: Mapping[str, QuantityDefinition]
) -> Facts:
    """Return the axis keys that typed keys lead to, as the table itself is read between columns.

    Not every axis need be given. Raises InputError naming what would be right.
    """
    facts: Facts = {}
    for name, text in given.items():
        axis = _axis(table, name)
        if axis.quantity in facts:
            raise InputError.single(f"{name}=", f"{axis.quantity} is given twice")
        facts[axis.quantity] = _key(axis, text, quantities[axis.quantity])
    return facts


def place_of(table: Table, facts: Facts, quantities: Mapping[str, QuantityDefinition]) -> int:
    """Return the place of the cell under these keys. Raises InputError where one is missing."""
    missing = [axis for axis in table.axes if axis.quantity not in facts]
    if missing:
        asked = "; ".join(
            f"{_short(axis)}= ({_options(axis, quantities[axis.quantity])})" for axis in missing
        )
        raise InputError.single(
            table.name, f"to find one cell, say also {asked}. Or --all for every cell."
        )
    return table.position(tuple(axis.keys.index(facts[axis.quantity]) for axis in table.axes))


def _axis(table: Table, name: str) -> Axis:
    plain = _plain(name)
    found = [axis for axis in table.axes if plain in (axis.quantity, _short(axis))]
    found = found or [axis for axis in table.axes if f"_{plain}_" in f"_{_short(axis)}_"]
    if len(found) == 1:
        return found[0]
    names = [axis.quantity if found else _short(axis) for axis in found or table.axes]
    near = suggestion(plain, names) or f" It has: {', '.join(names)}."
    if " Did you mean" in near:
        near += f" It has: {', '.join(names)}."
    raise InputError.single(f"{name}=", f"table {table.name} is not read by '{name}'.{near}")


def _key(axis: Axis, text: str, definition: QuantityDefinition) -> Scalar:
    options = _options(axis, definition)
    if isinstance(axis.keys[0], str):
        return _choice(axis, text, options)
    dimension = definition.dimension
    assert dimension is not None
    try:
        value = parse_quantity(text, dimension).value
    except (QuantityError, DimensionError) as fault:
        raise InputError.single(
            f"{_short(axis)}={text}", f"{str(fault).rstrip('.')}. Its columns: {options}."
        ) from None
    place = key_place(axis.keys, NEXT.get(axis.between, axis.between), value)
    if place < 0:
        message = f"the table has no column for it. Its columns: {options}."
        raise InputError.single(f"{_short(axis)}={text}", message)
    return axis.keys[place]


def _choice(axis: Axis, text: str, options: str) -> str:
    words = [str(key) for key in axis.keys]
    plain = _plain(text)
    if plain in words:
        return plain
    found = [word for word in words if f"_{plain}_" in f"_{word}_"]
    if len(found) != 1:
        found = [word for word in words if word.startswith(plain)]
    if len(found) == 1:
        return found[0]
    near = suggestion(plain, words).replace("_", " ")
    more = "" if "One of" in near else f" One of: {options}."
    raise InputError.single(f"{_short(axis)}={text}", f"is not a key of the table.{near}{more}")


def _options(axis: Axis, definition: QuantityDefinition) -> str:
    texts: Iterable[str] = (fact_text(key, definition) for key in axis.keys)
    return ", ".join(texts)


def _short(axis: Axis) -> str:
    return axis.quantity.rpartition(".")[2]


def _plain(word: str) -> str:
    return word.strip().lower().replace(" ", "_").replace("-", "_") if not _is_size(word) else word


def _is_size(word: str) -> bool:
    """Tell a lumber size, whose hyphen counts, from a name: `2-2x8`."""
    return word[:1].isdigit()
