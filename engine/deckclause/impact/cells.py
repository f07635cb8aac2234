"""Read the cells of an archive: each distinct text once, as a design file would be read."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from fractions import Fraction
from math import isnan
from typing import Any

from deckclause.designs.read_design import MAX_MEASURE
from deckclause.quantities import NUMBER, QuantityError, parse_quantity
from deckclause.rulesets.clauses import Scalar
from deckclause.rulesets.problems import suggestion
from deckclause.rulesets.vocabulary import NO, YES, QuantityDefinition, Vocabulary

IDENTITY = ("permit", "design", "name", "id")
"""Columns that may name a row; the first found does."""
UNKNOWN = ("", "?")
KEEP = 100_000
"""Distinct texts remembered for one column."""
_HEADER = re.compile(r"^\s*([A-Za-z_][\w.]*)\s*(?:\[\s*([^\]]+?)\s*\])?\s*$")
_BARE = re.compile(r"^[-+]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][-+]?[0-9]+)?$")


class CellError(ValueError):
    """A cell that cannot be read; the message says what is wrong and what would be right."""


@dataclass(slots=True)
class CellReader:
    """Reads one column: the quantity of its header, in the header's unit where it names one."""

    definition: QuantityDefinition
    unit: str = ""
    _seen: dict[Any, Scalar | CellError | None] = field(default_factory=dict)

    def read(self, cell: Any) -> Scalar | CellError | None:
        """Return a cell's value, None where it is unknown, or what is wrong with it."""
        if cell is None:
            return None
        key = (type(cell), cell)
        if key not in self._seen:
            if len(self._seen) >= KEEP:
                self._seen.clear()
            try:
                self._seen[key] = self._value(cell)
            except (CellError, QuantityError) as fault:
                self._seen[key] = CellError(f"{self.definition.name}: {fault}")
        return self._seen[key]

    def _value(self, cell: Any) -> Scalar | None:
        definition = self.definition
        if isinstance(cell, bool):
            if definition.kind != "yes_no":
                raise CellError(f"{cell} is no value of a {definition.kind}")
            return cell
        text = _text(cell)
        if text in UNKNOWN:
            return None
        if definition.dimension is not None:
            return self._measure(text)
        if definition.kind == "yes_no":
            if text in YES or text in NO:
                return text in YES
            raise CellError(f"'{text}' is neither yes nor no")
        if definition.kind == "choice" and text not in definition.choices:
            raise CellError(f"'{text}' is not a choice.{suggestion(text, definition.choices)}")
        return text

    def _measure(self, text: str) -> Fraction:
        definition = self.definition
        if self.unit and _BARE.match(text):
            text = f"{_plain(text)} {self.unit}"
        if definition.dimension == NUMBER and _BARE.match(text):
            value = Fraction(text)
        else:
            value = parse_quantity(text, definition.dimension).value
        if value < 0 and not definition.signed:
            raise CellError(f"{text} is negative; it cannot be")
        if abs(value) > MAX_MEASURE:
            raise CellError(f"{text} is more than any deck has")
        if definition.kind == "count" and value.denominator != 1:
            raise CellError(f"{text} is not a whole number")
        return value


def _text(cell: Any) -> str:
    if isinstance(cell, float):
        if isnan(cell):  # not a number: the mark many tools leave for an empty cell
            return ""
        return _plain(repr(cell))
    return str(cell).strip()


def _plain(number: str) -> str:
    """Write a number without an exponent, exactly as its digits say.

    >>> _plain("1e3"), _plain("0.019")
    ('1000', '0.019')
    """
    if "e" not in number.lower():
        return number
    value = Fraction(number)
    return str(value) if value.denominator == 1 else f"{value.numerator}/{value.denominator}"


def read_headers(
    names: list[str], vocabulary: Vocabulary
) -> tuple[int | None, dict[int, CellReader], list[str]]:
    """Return the place of the column that names rows, a reader a quantity column, and faults.

    A name with a dot must be a quantity a design may state; other columns are not read.
    """
    readers: dict[int, CellReader] = {}
    faults: list[str] = []
    identity: dict[str, int] = {}
    seen: set[str] = set()
    for place, header in enumerate(names):
        match = _HEADER.match(header)
        name, unit = (match.group(1), match.group(2) or "") if match else (header, "")
        if name in IDENTITY:
            identity.setdefault(name, place)
        if "." not in name:
            continue
        definition = vocabulary.quantities.get(name)
        if definition is None:
            near = suggestion(name, vocabulary.quantities)
            faults.append(f"column '{header}': no quantity of that name.{near}")
        elif definition.provided or definition.derived:
            faults.append(
                f"column '{header}': worked out by the rules or from others; leave it out"
            )
        elif name in seen:
            faults.append(f"column '{header}': stands twice")
        else:
            seen.add(name)
            readers[place] = CellReader(definition, unit)
    if not readers and not faults:
        faults.append("no column names a quantity, such as joists.span or ledger.size")
    first = next((identity[name] for name in IDENTITY if name in identity), None)
    return first, readers, faults
