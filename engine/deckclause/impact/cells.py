"""Read the cells of an archive: each distinct text once, as offices write it.

A spelling is taken up only where it has one reading, as in a design file. What cannot be read is
no fact: the cell is told, and the fact stays unknown, which is never a pass.
"""

from __future__ import annotations

import re
from fractions import Fraction
from math import isnan
from typing import Any

from msgspec import Struct, field

from deckclause.designs.read_design import MAX_MEASURE
from deckclause.designs.spellings import as_meant
from deckclause.quantities import NUMBER, QuantityError, parse_quantity
from deckclause.rulesets.clauses import Scalar
from deckclause.rulesets.problems import suggestion
from deckclause.rulesets.vocabulary import NO, YES, QuantityDefinition, Vocabulary

IDENTITY = ("permit", "design", "name", "id")
"""Columns that may name a row; the first found does."""
UNKNOWN = frozenset(
    (
        *(
            "",
            "?",
            "??",
            "-",
            "--",
            "---",
            "\u2013",
            "\u2014",
            "n/a",
            "na",
            "n.a.",
            "n/k",
            "tbd",
            "tba",
        ),
        *(
            "unknown",
            "unk",
            "unk.",
            "not known",
            "not given",
            "not stated",
            "not shown",
            "not listed",
        ),
        *("not available", "not applicable", "see plan", "see plans", "see notes", "per plan"),
        "per plans",
    )
)
"""What offices write where they have no answer; unknown, whatever was meant."""
KEEP = 100_000
"""Distinct texts remembered for one column."""
_HEADER = re.compile(r"^\s*([A-Za-z_][\w.]*)\s*(?:\[\s*([^\]]+?)\s*\])?\s*$")
_QUANTITY = re.compile(r"^[a-z]\w*\.\w+$")
_DECIMAL = r"(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][-+]?[0-9]+)?"
_FRACTION = r"(?:[0-9]+(?:\s+|\s*-\s*))?[0-9]+\s*/\s*[0-9]+"
_VULGAR = r"[0-9]*\s*[¼½¾⅛⅜⅝⅞]"
BARE_NUMBER = re.compile(rf"^[-+]?(?:{_DECIMAL}|{_FRACTION}|{_VULGAR})$")
_PLAIN_DECIMAL = re.compile(rf"^[-+]?{_DECIMAL}$")
_FEET_THEN = re.compile(
    rf"^([0-9]+\s*(?:ft\.?|feet|foot|['′’]))\s*-?\s*({_FRACTION}|{_VULGAR}|[0-9]+(?:\.[0-9]+)?)$",
    re.IGNORECASE,
)
_DATE = re.compile(r"^[0-9]{4}-[0-9]{2}-[0-9]{2}(?![0-9])")
_SIZE = re.compile(
    r"\(?[0-9¼½¾⅛⅜⅝⅞][0-9\s./¼½¾⅛⅜⅝⅞-]*\)?\s*(?:[\"″”]|(?:inch(?:es)?|in)\b\.?)?\s*"
    r"(?:dia(?:meter|m)?\b\.?|x(?=\s*[0-9]))?",
    re.IGNORECASE,
)
"""A measure in words on a fastener, such as `1/2" x 4"` or `5/8 in. dia.`"""
_NOMINAL = re.compile(r"^([0-9]\s*[xX×]\s*[0-9]{1,2})\s+(.+)$")
_ABOUT_WOOD = frozenset(
    [
        "pt",
        "p.t.",
        "treated",
        "pressure",
        "syp",
        "sp",
        "spf",
        "hf",
        "df",
        "dfl",
        "cedar",
        "pine",
        "southern",
        "yellow",
        "kd",
        "#1",
        "#2",
        "no.1",
        "no.2",
    ]
)
"""Words after a board's size that are other facts, and leave the size as it is."""


class CellError(ValueError):
    """A cell that cannot be read; the message says what is wrong and what would be right."""


class Column(Struct, frozen=True):
    """What a column says: a quantity, the unit of its bare numbers, and words of the office's own.

    A bare number outside `plausible` (least and most, in the quantity's own unit) is not read: it
    was most likely written in another unit. `words` are in small letters; "" is unknown.
    """

    definition: QuantityDefinition
    unit: str = ""
    words: tuple[tuple[str, str], ...] = ()
    plausible: tuple[Fraction, Fraction] | None = None


class CellReader(Struct):
    """Reads one column, each distinct cell once."""

    column: Column
    _seen: dict[Any, Scalar | CellError | None] = field(default_factory=dict)

    @property
    def definition(self) -> QuantityDefinition:
        """The quantity the column says."""
        return self.column.definition

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
        text = cell_text(cell)
        text = dict(self.column.words).get(text.lower(), text)
        if text.lower() in UNKNOWN:
            return None
        if definition.dimension is not None:
            return self._measure(_full(text, definition))
        text = _choice(text, definition)
        if definition.kind == "yes_no":
            if text in YES or text in NO:
                return text in YES
            raise CellError(f"'{text}' is neither yes nor no")
        if definition.kind == "choice" and text not in definition.choices:
            raise CellError(f"'{text}' is not a choice.{suggestion(text, definition.choices)}")
        return text

    def _measure(self, text: str) -> Fraction:
        definition = self.definition
        bare = BARE_NUMBER.match(text) is not None
        if _DATE.match(text):
            raise CellError(f"{text} is a date; a spreadsheet may have made one of a fraction")
        if bare and self.column.unit:
            text = f"{_plain(text)} {self.column.unit}"
        if definition.dimension == NUMBER and bare:
            value = Fraction(text) if _PLAIN_DECIMAL.match(text) else parse_quantity(text).value
        else:
            value = parse_quantity(text, definition.dimension).value
        if value < 0 and not definition.signed:
            raise CellError(f"{text} is negative; it cannot be")
        if abs(value) > MAX_MEASURE:
            raise CellError(f"{text} is more than any deck has")
        if definition.kind == "count" and value.denominator != 1:
            raise CellError(f"{text} is not a whole number")
        self._check_plausible(text, value, bare)
        return value

    def _check_plausible(self, text: str, value: Fraction, bare: bool) -> None:
        bounds = self.column.plausible
        if bare and bounds and not (bounds[0] <= value <= bounds[1] or value == 0):
            raise CellError(
                f"{text} is unlikely, so the unit may be another; write the unit in the cell"
            )


def _full(text: str, definition: QuantityDefinition) -> str:
    """Write a measure out: `11ft6` has inches after its feet, `24 o.c.` a distance on center.

    >>> _full("11ft6", QuantityDefinition("joists.span", "length", "", ""))
    '11ft 6 in'
    """
    text = as_meant(text, definition)
    if definition.kind == "length" and (match := _FEET_THEN.match(text)):
        return f"{match[1]} {match[2]} in"
    return text


def _choice(text: str, definition: QuantityDefinition) -> str:
    """Return the choice meant, leaving out what is another fact's: `1/2" lag`, `2x10 PT`.

    >>> kind = QuantityDefinition("fasteners.kind", "choice", "", "", choices=("lag_screw",))
    >>> _choice('1/2" x 4" lag', kind)
    'lag_screw'
    >>> size = QuantityDefinition("ledger.size", "choice", "", "", choices=("2x10",))
    >>> _choice("2 x 10 PT", size), _choice("2x10 doubled", size)
    ('2x10', '2x10 doubled')
    """
    meant = as_meant(text, definition)
    if definition.kind != "choice" or meant in definition.choices:
        return meant
    board = _NOMINAL.match(text)
    if board and set(board[2].lower().split()) <= _ABOUT_WOOD:
        bare = as_meant(board[1], definition)
    else:
        bare = as_meant(_SIZE.sub(" ", text), definition)
    return bare if bare in definition.choices else meant


def cell_text(cell: Any) -> str:
    """Return a cell as text on one line; nothing for the mark of an empty cell."""
    if isinstance(cell, float):
        if isnan(cell):  # not a number: the mark many tools leave for an empty cell
            return ""
        return _plain(repr(cell))
    return " ".join(str(cell).split())


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
        if not _QUANTITY.match(name):
            continue
        definition = vocabulary.quantities.get(name)
        if definition is None:
            near = _near(name, vocabulary)
            faults.append(f"column '{header}': no quantity of that name.{near}")
        elif definition.provided or definition.derived:
            faults.append(
                f"column '{header}': worked out by the rules or from others; leave it out"
            )
        elif name in seen:
            faults.append(f"column '{header}': stands twice")
        else:
            seen.add(name)
            readers[place] = CellReader(Column(definition, unit))
    if not readers and not faults:
        faults.append(
            "no column names a quantity, such as joists.span or ledger.size; for a sheet with an "
            "office's own headings, run `deckclause impact map` on it first"
        )
    first = next((identity[name] for name in IDENTITY if name in identity), None)
    return first, readers, faults


def _near(name: str, vocabulary: Vocabulary) -> str:
    """Suggest a quantity that may be stated: of the same part of the deck, where there is one."""
    stated = [n for n, d in vocabulary.quantities.items() if not (d.provided or d.derived)]
    part, _, word = name.partition(".")
    words = {n.partition(".")[2]: n for n in stated if n.startswith(f"{part}.")}
    inside = [w for w in words if w in word or word in w]
    if inside:
        return f" Did you mean {words[max(inside, key=len)]}?"
    return suggestion(name, stated)
