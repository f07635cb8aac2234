"""Read an archive of designs chunk by chunk: Parquet, CSV, or a folder of design files.

A row that cannot be read is set aside with its number and every reason; the rows around it are
read on. Row numbers count designs from 1 (a CSV's header line is not one).
"""

from __future__ import annotations

import csv
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from importlib import import_module
from itertools import count
from pathlib import Path
from typing import Any

import numpy as np

from deckclause.designs.design import Design
from deckclause.evaluate.columns.chunk import Chunk, chunk_of_designs
from deckclause.evaluate.columns.columns import Numbers, RawColumn
from deckclause.impact.cells import CellError, CellReader, read_headers
from deckclause.rulesets.clauses import Scalar
from deckclause.rulesets.files import digest
from deckclause.rulesets.problems import InputError, Problem
from deckclause.rulesets.vocabulary import Vocabulary

ROWS = 32_768
"""Designs in a chunk."""
ENDS = 1 << 20
"""Bytes at each end of an archive that tell it from another, with its size."""
ENCODING = "utf-8-sig"


@dataclass(frozen=True, slots=True)
class BadRow:
    """A row set aside: its number, its name where it has one, and why."""

    row: int
    name: str
    reason: str


@dataclass(frozen=True, slots=True)
class Read:
    """One chunk as read: the designs, each with its row number and name, and the rows set aside."""

    number: int
    chunk: Chunk
    rows: Numbers
    names: tuple[str, ...]
    bad: tuple[BadRow, ...]


class Archive:
    """An archive on disk. `kind` is `csv`, `parquet` or `folder`."""

    def __init__(self, path: Path, vocabulary: Vocabulary, rows: int = ROWS) -> None:
        self.path = path
        self.vocabulary = vocabulary
        self.size = rows
        self.kind = _kind(path)

    def fingerprint(self) -> str:
        """Tell this archive from another: sizes and ends of its files."""
        files = design_files(self.path) if self.kind == "folder" else [self.path]
        facts: list[str | bytes] = []
        for file in files:
            size = file.stat().st_size
            with open(file, "rb") as stream:
                head = stream.read(ENDS)
                stream.seek(max(0, size - ENDS))
                facts.append(f"{file.name} {size} {digest(head)} {digest(stream.read())}")
        return digest("\n".join(map(str, facts)))

    def count(self) -> int | None:
        """Return how many designs there are, where that is quickly known."""
        if self.kind == "folder":
            return len(design_files(self.path))
        if self.kind == "parquet":
            with _reading_parquet(self.path):
                return int(_parquet(self.path).metadata.num_rows)
        return None

    def chunks(self, skip: frozenset[int] = frozenset()) -> Iterator[Read | int]:
        """Yield every chunk in order; of those in `skip` only the number. Raises InputError."""
        if self.kind == "folder":
            yield from self._folder(skip)
        elif self.kind == "csv":
            yield from self._csv(skip)
        else:
            yield from self._parquet(skip)

    # -- folders ----------------------------------------------------------------------------------

    def _folder(self, skip: frozenset[int]) -> Iterator[Read | int]:
        from deckclause.designs.read_design import read_design

        files = design_files(self.path)
        for number, start in enumerate(range(0, len(files), self.size)):
            if number in skip:
                yield number
                continue
            designs: list[Design] = []
            rows: list[int] = []
            bad: list[BadRow] = []
            for row, file in enumerate(files[start : start + self.size], start + 1):
                name = file.relative_to(self.path).as_posix()
                try:
                    designs.append(read_design(file, self.vocabulary))
                    rows.append(row)
                except InputError as fault:
                    bad.append(BadRow(row, name, "; ".join(p.message for p in fault.problems)))
            names = tuple(files[row - 1].relative_to(self.path).as_posix() for row in rows)
            chunk = chunk_of_designs(designs, self.vocabulary)
            yield Read(number, chunk, np.array(rows, np.int64), names, tuple(bad))

    # -- CSV --------------------------------------------------------------------------------------

    def _csv(self, skip: frozenset[int]) -> Iterator[Read | int]:
        with open(self.path, encoding=ENCODING, newline="") as stream:
            lines = csv.reader(stream)
            try:
                header = next(lines, [])
                identity, readers = self._headers(header)
                number, first = 0, 1
                while lists := _next(lines, self.size):
                    if number in skip:
                        yield number
                    else:
                        yield self._text_rows(number, first, lists, len(header), identity, readers)
                    number, first = number + 1, first + len(lists)
            except (csv.Error, UnicodeDecodeError) as fault:
                raise InputError.single(str(self.path), f"is not readable CSV: {fault}") from None

    def _headers(self, names: list[str]) -> tuple[int | None, dict[int, CellReader]]:
        identity, readers, faults = read_headers(names, self.vocabulary)
        if faults:
            raise InputError([Problem(str(self.path), 1, fault) for fault in faults])
        return identity, readers

    def _text_rows(
        self,
        number: int,
        first: int,
        lists: list[list[str]],
        width: int,
        identity: int | None,
        readers: dict[int, CellReader],
    ) -> Read:
        reasons: dict[int, list[str]] = {}
        for place, cells in enumerate(lists):
            if len(cells) != width:
                reasons[place] = [f"has {len(cells)} cells where the header has {width}"]
                lists[place] = [""] * width
        columns = list(zip(*lists, strict=True))
        names = list(columns[identity]) if identity is not None else [""] * len(lists)
        raw: dict[str, RawColumn] = {}
        for place, reader in readers.items():
            distinct = dict.fromkeys(columns[place])
            codes = {cell: code for code, cell in enumerate(distinct)}
            places = np.array([codes[cell] for cell in columns[place]], np.int64)
            raw[reader.definition.name] = _column(reader, list(distinct), places, reasons)
        return _read(number, first, len(lists), raw, names, reasons)

    # -- Parquet ----------------------------------------------------------------------------------

    def _parquet(self, skip: frozenset[int]) -> Iterator[Read | int]:
        with _reading_parquet(self.path):
            file = _parquet(self.path)
            titles = [str(name) for name in file.schema_arrow.names]
        identity, readers = self._headers(titles)
        wanted = sorted({*readers, *([] if identity is None else [identity])})
        batches = file.iter_batches(self.size, columns=[titles[place] for place in wanted])
        first = 1
        for number in count():
            with _reading_parquet(self.path):
                batch = next(batches, None)
            if batch is None:
                return
            if number in skip:
                yield number
            else:
                with _reading_parquet(self.path, files=False):
                    named = dict(zip(wanted, batch.columns, strict=True))
                    read = self._arrow_rows(number, first, batch.num_rows, named, identity, readers)
                yield read
            first += batch.num_rows

    def _arrow_rows(
        self,
        number: int,
        first: int,
        count: int,
        columns: dict[int, Any],
        identity: int | None,
        readers: dict[int, CellReader],
    ) -> Read:
        pa: Any = import_module("pyarrow")
        reasons: dict[int, list[str]] = {}
        names = [""] * count
        if identity is not None:
            names = ["" if n is None else str(n) for n in columns[identity].to_pylist()]
        raw: dict[str, RawColumn] = {}
        for place, reader in readers.items():
            cells = columns[place]
            if not pa.types.is_dictionary(cells.type):
                cells = cells.dictionary_encode()
            distinct = [*cells.dictionary.to_pylist(), None]
            places = cells.indices.fill_null(len(distinct) - 1).to_numpy(zero_copy_only=False)
            raw[reader.definition.name] = _column(
                reader, distinct, places.astype(np.int64), reasons
            )
        return _read(number, first, count, raw, names, reasons)


def _column(
    reader: CellReader, distinct: list[Any], places: Numbers, reasons: dict[int, list[str]]
) -> RawColumn:
    """Encode a column by its distinct values; note rows whose cell cannot be read."""
    values: dict[tuple[type, Scalar], int] = {}
    codes = np.empty(len(distinct), np.int32)
    for place, cell in enumerate(distinct):
        value = reader.read(cell)
        codes[place] = -1
        if isinstance(value, CellError):
            for row in np.flatnonzero(places == place).tolist():
                reasons.setdefault(row, []).append(str(value))
        elif value is not None:
            codes[place] = values.setdefault((type(value), value), len(values))
    return RawColumn(codes[places], tuple(value for _, value in values))


def _read(
    number: int,
    first: int,
    count: int,
    raw: dict[str, RawColumn],
    names: list[str],
    reasons: dict[int, list[str]],
) -> Read:
    chunk = Chunk(count, raw)
    rows = np.arange(first, first + count)
    if not reasons:
        return Read(number, chunk, rows, tuple(names), ())
    kept = np.array([row for row in range(count) if row not in reasons], np.int64)
    bad = tuple(
        BadRow(first + row, names[row], "; ".join(why)) for row, why in sorted(reasons.items())
    )
    return Read(number, chunk.rows(kept), rows[kept], tuple(names[r] for r in kept.tolist()), bad)


def _next(lines: Iterator[list[str]], size: int) -> list[list[str]]:
    found: list[list[str]] = []
    for cells in lines:
        if cells:
            found.append(cells)
        if len(found) == size:
            break
    return found


def design_files(folder: Path) -> list[Path]:
    """Return the design files of a folder, in order of their names."""
    return sorted(p for p in folder.rglob("*") if p.suffix in (".yaml", ".yml") and p.is_file())


def _kind(path: Path) -> str:
    if path.is_dir():
        if not design_files(path):
            raise InputError.single(str(path), "holds no design files (.yaml)")
        return "folder"
    if not path.exists():
        raise InputError.single(str(path), "is not there")
    if not path.is_file():
        raise InputError.single(str(path), "is a device or a pipe; a plain file is needed")
    kinds = {".csv": "csv", ".parquet": "parquet"}
    if path.suffix.lower() not in kinds:
        raise InputError.single(str(path), "is neither .csv nor .parquet nor a folder of designs")
    return kinds[path.suffix.lower()]


def _parquet(path: Path) -> Any:
    parquet: Any = import_module("pyarrow.parquet")
    with _reading_parquet(path):
        return parquet.ParquetFile(path)


@contextmanager
def _reading_parquet(path: Path, *, files: bool = True) -> Iterator[None]:
    """Say of a damaged file that it is one: its reader tells by errors of many kinds.

    Without `files`, only what cells that were read can bring is caught.
    """
    pa: Any = import_module("pyarrow")
    kinds = (OSError, ValueError, OverflowError) if files else (UnicodeDecodeError,)
    try:
        yield
    except (pa.ArrowException, *kinds) as fault:
        words = " ".join(str(fault).split())[:200]
        raise InputError.single(
            str(path), f"is not readable Parquet, or damaged: {words}"
        ) from None
