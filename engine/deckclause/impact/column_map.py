"""Which column of an office's sheet says which fact: a small YAML file kept beside the sheet."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from msgspec import Struct

from deckclause.impact.cells import CellError, CellReader, Column, cell_text
from deckclause.impact.headings import likely
from deckclause.impact.rows import Columns
from deckclause.impact.sheets import Form
from deckclause.quantities import QuantityError, parse_quantity
from deckclause.rulesets.clauses import Scalar
from deckclause.rulesets.files import digest
from deckclause.rulesets.problems import InputError, Problem, suggestion
from deckclause.rulesets.read_file import read_bytes
from deckclause.rulesets.vocabulary import QuantityDefinition, Vocabulary
from deckclause.rulesets.yaml_tree import Tree, parse_tree

ENDING = ".columns.yaml"
FORMAT = "1"
HEAD = ("columns_of", "format", "file", "rows_named_by", "every_permit", "columns", "not_read")
OF_FILE = ("encoding", "separator", "sheet", "header_row")
OF_COLUMN = ("fact", "unit", "words")
OPEN = "?"
SEPARATOR_WORDS = {"comma": ",", "semicolon": ";", "tab": "\t", "bar": "|"}


def map_beside(path: Path) -> Path:
    """Return where the map of a sheet is kept: beside it.

    >>> map_beside(Path("papers/permits.csv")).name
    'permits.csv.columns.yaml'
    """
    return path.with_name(path.name + ENDING)


class MappedColumn(Struct, frozen=True):
    """One heading of the sheet: the quantity it says, None while that is open, and its line."""

    heading: str
    column: Column | None
    line: int


class SheetMap(Struct, frozen=True):
    """A map as read: how the file is written, what names a row, and what each column says."""

    path: Path
    form: Form
    labels: tuple[str, ...]
    columns: tuple[MappedColumn, ...]
    every_permit: Mapping[str, Scalar]
    not_read: tuple[str, ...]
    digest: str

    @property
    def open(self) -> tuple[str, ...]:
        """The headings whose fact nobody has named yet."""
        return tuple(column.heading for column in self.columns if column.column is None)

    def columns_of(self, headings: list[str], sheet: Path) -> Columns:
        """Find the map's columns in a sheet. Raises InputError for each that is not there."""
        faults = []
        for heading, line in [(name, 0) for name in self.labels] + [
            (column.heading, column.line) for column in self.columns
        ]:
            if headings.count(heading) != 1:
                why = "stands twice in" if heading in headings else "is no heading of"
                near = suggestion(heading, headings) if heading not in headings else ""
                faults.append(
                    Problem(str(self.path), line, f"'{heading}' {why} {sheet.name}.{near}")
                )
        if faults:
            raise InputError(faults)
        readers = {
            headings.index(c.heading): CellReader(c.column)
            for c in self.columns
            if c.column is not None
        }
        labels = tuple(headings.index(name) for name in self.labels)
        return Columns(labels, readers, headings, self.every_permit)


def fact_fault(name: str, vocabulary: Vocabulary) -> str:
    """Say why no column can say a fact of this name; nothing where one can."""
    stated = [n for n, d in vocabulary.quantities.items() if not (d.provided or d.derived)]
    if name not in stated:
        return f"'{name}' is no fact a design states.{suggestion(name, stated)}"
    if vocabulary.quantities[name].kind in ("text", "date"):
        return f"{name} names a part of one deck; a column cannot say it"
    return ""


def read_map(path: Path, vocabulary: Vocabulary) -> SheetMap:
    """Read a map. Raises InputError with every fault."""
    content = read_bytes(path)
    tree = parse_tree(content, str(path))
    if not isinstance(tree.data, dict):
        raise InputError.single(str(path), "is no map of columns; `columns: ...` is needed")
    reader = _MapReader(tree, vocabulary)
    found = reader.read(path, digest(content))
    if reader.faults:
        raise InputError(reader.faults)
    return found


class _MapReader:
    def __init__(self, tree: Tree, vocabulary: Vocabulary) -> None:
        self.tree, self.vocabulary = tree, vocabulary
        self.faults: list[Problem] = []

    def fault(self, path: tuple[str | int, ...], message: str) -> None:
        self.faults.append(Problem(self.tree.file, self.tree.line(path), message))

    def read(self, path: Path, content: str) -> SheetMap:
        data = self.tree.data
        self.known(data, HEAD, ())
        if data.get("format") != FORMAT:
            self.fault(("format",), f"`format: {FORMAT}` is needed: the format of this file")
        columns = tuple(
            self.column(str(heading), entry) for heading, entry in self.mapping("columns").items()
        )
        every = self.every_permit()
        stated = [c.column.definition.name for c in columns if c.column is not None]
        for name in {n for n in stated if stated.count(n) > 1}:
            self.fault(("columns",), f"{name} is said by two columns; one fact, one column")
        for name in sorted(set(stated) & set(every)):
            self.fault(("every_permit", name), f"{name} is said by a column too; strike one")
        if not (stated or self.faults):
            self.fault(("columns",), "no column has a fact yet; answer the open ones")
        return SheetMap(
            path,
            self.form(),
            self.texts("rows_named_by"),
            columns,
            every,
            self.texts("not_read"),
            content,
        )

    def known(self, entry: Any, keys: Iterable[str], path: tuple[str | int, ...]) -> None:
        for key in entry:
            if key not in keys:
                self.fault((*path, key), f"'{key}' is not a known key.{suggestion(key, keys)}")

    def mapping(self, key: str) -> dict[str, Any]:
        entry = self.tree.data.get(key)
        if entry is None:
            return {}
        if not isinstance(entry, dict):
            self.fault((key,), "lines `name: value` are needed here")
            return {}
        return entry

    def text(self, entry: Any, path: tuple[str | int, ...]) -> str:
        """Return one word or value; "" for none, and for a list or mapping, which is a fault."""
        if entry is None or isinstance(entry, str):
            return entry or ""
        self.fault(path, "one word or value is needed here, not a list or mapping")
        return ""

    def texts(self, key: str) -> tuple[str, ...]:
        entry = self.tree.data.get(key)
        if entry is None:
            return ()
        if isinstance(entry, str):
            return (cell_text(entry),)
        if not isinstance(entry, list) or not all(isinstance(item, str) for item in entry):
            self.fault((key,), "a list of headings is needed here")
            return ()
        return tuple(cell_text(item) for item in entry)

    def form(self) -> Form:
        entry = self.mapping("file")
        self.known(entry, OF_FILE, ("file",))
        row = entry.get("header_row") or "0"
        if not (isinstance(row, str) and row.isascii() and row.isdigit() and int(row) < 10_000):
            self.fault(
                ("file", "header_row"), "the number of the row of headings, from 1, is needed"
            )
            row = "0"
        encoding, separator, sheet = (
            self.text(entry.get(key), ("file", key)) for key in ("encoding", "separator", "sheet")
        )
        separator = SEPARATOR_WORDS.get(separator, separator)
        if separator and separator not in SEPARATOR_WORDS.values():
            near = suggestion(separator, SEPARATOR_WORDS)
            self.fault(("file", "separator"), f"'{separator}' is no separator known here.{near}")
            separator = ""
        if encoding and not _is_encoding(encoding):
            self.fault(("file", "encoding"), f"'{encoding}' is not an encoding known here")
            encoding = ""
        return Form(encoding, separator, sheet, int(row))

    def column(self, heading: str, entry: Any) -> MappedColumn:
        path = ("columns", heading)
        line = self.tree.line(path)
        heading = cell_text(heading)
        if isinstance(entry, str):
            entry = {"fact": entry}
        if not isinstance(entry, dict):
            self.fault(path, "a fact is needed here, such as `fact: joists.span`, or `?`")
            return MappedColumn(heading, None, line)
        self.known(entry, OF_COLUMN, path)
        fact = entry.get("fact") or OPEN
        if fact == OPEN:
            return MappedColumn(heading, None, line)
        definition = self.definition(fact, (*path, "fact"))
        if definition is None:
            return MappedColumn(heading, None, line)
        unit = self.text(entry.get("unit"), (*path, "unit"))
        unit = "" if unit == OPEN else unit
        if unit:
            self.check_unit(unit, definition, (*path, "unit"))
        words = self.words(entry.get("words"), definition, (*path, "words"))
        return MappedColumn(heading, Column(definition, unit, words, likely(definition.name)), line)

    def definition(self, name: Any, path: tuple[str | int, ...]) -> QuantityDefinition | None:
        if wrong := fact_fault(str(name), self.vocabulary):
            self.fault(path, wrong)
            return None
        return self.vocabulary.quantities[str(name)]

    def check_unit(
        self, unit: str, definition: QuantityDefinition, path: tuple[str | int, ...]
    ) -> None:
        try:
            if definition.dimension is None:
                raise QuantityError(f"{definition.name} is no measure; it has no unit")
            parse_quantity(f"1 {unit}", definition.dimension)
        except QuantityError as fault:
            self.fault(path, str(fault))

    def words(
        self, entry: Any, definition: QuantityDefinition, path: tuple[str | int, ...]
    ) -> tuple[tuple[str, str], ...]:
        if entry is None:
            return ()
        if not isinstance(entry, dict):
            self.fault(path, "lines `office's word: value` are needed here")
            return ()
        found = []
        for word, meant in entry.items():
            value = self.text(meant, (*path, word))
            value = "" if value == OPEN else value
            read = CellReader(Column(definition)).read(value)
            if isinstance(read, CellError):
                self.fault((*path, word), str(read))
            elif value:
                found.append((cell_text(word).lower(), value))
        return tuple(found)

    def every_permit(self) -> dict[str, Scalar]:
        found: dict[str, Scalar] = {}
        for name, entry in self.mapping("every_permit").items():
            path = ("every_permit", name)
            definition, text = self.definition(name, path), self.text(entry, path)
            if definition is None or text in ("", OPEN):
                continue
            value = CellReader(Column(definition)).read(text)
            if isinstance(value, CellError):
                self.fault(path, str(value))
            elif value is not None:
                found[name] = value
        return found


def _is_encoding(name: str) -> bool:
    import codecs

    try:
        return codecs.lookup(name)._is_text_encoding
    except LookupError:
        return False
