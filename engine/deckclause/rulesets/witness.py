"""Witness files: what people read in books of their own, kept beside the rules.

`rules/witness/EDITION/NAME.yaml` holds one person's readings of one book. Later lines about one
clause or cell take the place of earlier ones.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable
from fractions import Fraction
from pathlib import Path

from msgspec import Struct

from deckclause.quantities import Quantity, QuantityError, parse_quantity, quantity_text
from deckclause.rulesets.check import check_shape
from deckclause.rulesets.clauses import NOT_PERMITTED, NOT_SEEN, Table
from deckclause.rulesets.files import RuleFiles
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.vocabulary import MEASURES, READ_IN_BOOK, Source
from deckclause.rulesets.yaml_tree import Tree, parse_tree

AS_SHOWN, OTHERWISE, NOT_FOUND = "as shown", "otherwise", "not found"
HINT = "# yaml-language-server: $schema=../../schema/1/witness.json"


class Item(Struct, frozen=True):
    """What can be looked up: a clause (`part` 0), its exception (`part` from 1), or a table's cell."""

    clause: str = ""
    part: int = 0
    table: str = ""
    at: tuple[str, ...] = ()

    def __str__(self) -> str:
        if self.table:
            return f"{self.table} at {', '.join(self.at)}"
        return f"{self.clause}, exception {self.part}" if self.part else self.clause


class BookReading(Struct, frozen=True):
    """What was seen of one item, and when."""

    item: Item
    seen: str
    day: str
    figure: str = ""
    what: str = ""
    where: str = ""
    fingerprint: str = ""

    @property
    def instead(self) -> str:
        """What the book says instead, as far as the reader told it."""
        words = self.figure or self.what
        return f"{words} ({self.where})" if self.where else words


class WitnessRecord(Struct, frozen=True):
    """One person's readings of one book: the last of each item, in the order first read."""

    witness: str
    ruleset: str
    printing: str
    readings: tuple[BookReading, ...]

    @property
    def source(self) -> str:
        """The id its figures name as their source."""
        return source_id(self.witness, self.ruleset)

    def of(self, item: Item) -> BookReading | None:
        """Return what was seen of an item, or None."""
        return next((r for r in self.readings if r.item == item), None)


def slug(name: str) -> str:
    """Return a file's name for a person's.

    >>> slug("Ada M. Reader")
    'ada-m-reader'
    """
    return re.sub(r"[^a-z0-9]+", "-", name.casefold()).strip("-") or "reader"


def source_id(witness: str, ruleset: str) -> str:
    """Return the id of the source that a person's reading of a book is."""
    return f"read-by-{slug(witness)}-{ruleset}"


def witness_path(files: RuleFiles, ruleset: str, witness: str) -> Path:
    """Return where a person's readings of a book are kept."""
    return files.root / "witness" / ruleset / f"{slug(witness)}.yaml"


def read_records(files: RuleFiles, ruleset: str) -> tuple[WitnessRecord, ...]:
    """Read every witness file of a book. Raises InputError with the first faulty file's faults."""
    return tuple(
        read_record(files.content(path), files.name(path), ruleset, path.stem)
        for path in files.witness_paths(ruleset)
    )


def read_record(content: bytes, file: str, ruleset: str = "", stem: str = "") -> WitnessRecord:
    """Read one witness file; `ruleset` and `stem` are what its place says it holds.

    Raises InputError with every fault.
    """
    from deckclause.rulesets.witness_models import WitnessFile

    tree = parse_tree(content, file)
    check_shape(tree, WitnessFile)
    data = tree.data
    if ruleset and data["ruleset"] != ruleset:
        words = f"ruleset: '{data['ruleset']}' stands in the folder of {ruleset}; move the file"
        raise InputError.single(file, words, tree.line(("ruleset",)))
    if stem and slug(data["witness"]) != stem:
        words = (
            f"witness: the readings of '{data['witness']}' belong in {slug(data['witness'])}.yaml"
        )
        raise InputError.single(file, words, tree.line(("witness",)))
    readings = _latest(_reading(line) for line in data["readings"])
    return WitnessRecord(data["witness"], data["ruleset"], data["printing"], readings)


def _latest(readings: Iterable[BookReading]) -> tuple[BookReading, ...]:
    """Keep the last reading of each item, where its first stood."""
    last: dict[Item, BookReading] = {}
    for reading in readings:
        last[reading.item] = reading
    return tuple(last.values())


def _reading(line: dict[str, object]) -> BookReading:
    def text(key: str) -> str:
        return str(line.get(key) or "")

    at = line.get("at") or []
    assert isinstance(at, list)
    item = Item(text("clause"), int(text("exception") or 0), text("table"), tuple(map(str, at)))
    return BookReading(
        item, text("seen"), text("on"), text("figure"), text("what"), text("where"),
        text("fingerprint"),
    )  # fmt: skip


def with_reading(record: WitnessRecord, *new: BookReading) -> WitnessRecord:
    """Return a record with readings added, each in the place of an earlier one of its item."""
    readings = _latest((*record.readings, *new))
    return WitnessRecord(record.witness, record.ruleset, record.printing, readings)


def record_text(record: WitnessRecord) -> str:
    """Write a record as the file it is kept in.

    >>> item = Item(table="spans", at=("2x8", "6 ft"))
    >>> one = BookReading(item, AS_SHOWN, "2024-05-01", "9 ft 2 in")
    >>> text = record_text(WitnessRecord("Ada Reader", "code-2018", "first", (one,)))
    >>> read_record(text.encode(), "a.yaml").readings == (one,)
    True
    """
    lines = [
        HINT,
        "# Figures read in the book itself; no sentence of it. Kept by `deckclause rules witness`.",
        f"witness: {_quoted(record.witness)}",
        f"ruleset: {record.ruleset}",
        f"printing: {_quoted(record.printing)}",
        "readings:" if record.readings else "readings: []",
    ]
    return "\n".join([*lines, *map(_line, record.readings)]) + "\n"


def _line(reading: BookReading) -> str:
    item = reading.item
    entries: list[tuple[str, str | tuple[str, ...]]] = [
        ("table", item.table), ("clause", item.clause), ("exception", str(item.part or "")),
        ("at", item.at), ("seen", reading.seen), ("figure", reading.figure),
        ("what", reading.what), ("where", reading.where), ("fingerprint", reading.fingerprint),
        ("on", reading.day),
    ]  # fmt: skip
    shown = ", ".join(f"{key}: {_quoted(value)}" for key, value in entries if value)
    return f"  - {{{shown}}}"


def _quoted(value: str | tuple[str, ...]) -> str:
    return json.dumps(list(value) if isinstance(value, tuple) else value, ensure_ascii=False)


def witness_source(record: WitnessRecord) -> Source:
    """Return a record as the source its figures name."""
    days = sorted({r.day for r in record.readings}) or [""]
    when = days[0] if days[0] == days[-1] else f"{days[0]} to {days[-1]}"
    return Source(
        name=record.source,
        title=f"{record.ruleset} read in the book by {record.witness}, {when} ({record.printing})",
        publisher="",
        year=days[-1][:4],
        address="",
        kind=READ_IN_BOOK,
        seen=f"{len(record.readings)} clauses, exceptions and table cells looked up.",
        reach="direct",
    )


# --- figures ------------------------------------------------------------------------------------

_FEET_INCHES = re.compile(r"^(\d+)-(\d+)$")
_NOT_PERMITTED = frozenset({"np", NOT_PERMITTED})


def exact_text(value: Fraction | str, kind: str, *, feet: bool = False) -> str:
    """Write a figure or a key so that it reads back as exactly what it is.

    >>> exact_text(Fraction(83), "length", feet=True)
    '6 ft 11 in'
    """
    if isinstance(value, str):
        return value
    dimension = MEASURES[kind]
    unit = "ft" if feet and kind == "length" else None
    text = quantity_text(Quantity(value, dimension), unit)
    try:
        if parse_quantity(text, dimension).value == value:
            return text
    except QuantityError:
        pass
    return f"{value} in" if kind == "length" else str(value)


def cell_text(table: Table, cell: Fraction | str) -> str:
    """Write a cell of a table exactly."""
    return exact_text(cell, table.kind, feet=table.in_feet)


def typed_figure(table: Table, text: str) -> Fraction | str:
    """Read a figure as a person types it from a printed table: units may be left out.

    In a table of feet, `6-11` is 6 ft 11 in as such tables print it. Raises QuantityError.
    """
    plain = text.strip()
    if plain.casefold() in _NOT_PERMITTED:
        return NOT_PERMITTED
    if plain.casefold() == NOT_SEEN:
        raise QuantityError("type the figure the book has, or ? where it is not found")
    dimension = MEASURES[table.kind]
    printed = _FEET_INCHES.match(plain)
    if table.in_feet and printed:
        plain = f"{printed[1]} ft {printed[2]} in"
    elif not re.search(r"[A-Za-z'\"]", plain):
        unit = exact_text(Fraction(12), table.kind, feet=table.in_feet).split(" ", 1)
        plain = f"{plain} {unit[1]}" if len(unit) > 1 else plain
    return parse_quantity(plain, dimension).value


def tree_of(file: str) -> Tree:
    """Return an empty tree to note faults against, for data that stands in no file."""
    return Tree(file, {}, {})
