"""Read an archive of designs chunk by chunk: a table of any kind, or a folder of design files.

A row that cannot be read is set aside with its number and why; the rows around it are read on.
Row numbers count designs from 1 (headings and blank rows are none).
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from functools import cached_property
from importlib import import_module
from itertools import count
from pathlib import Path
from typing import Any

import numpy as np

from deckclause.designs.design import Design
from deckclause.evaluate.columns.chunk import chunk_of_designs
from deckclause.impact.cells import cell_text, read_headers
from deckclause.impact.column_map import SheetMap
from deckclause.impact.rows import BadRow, Columns, Read, Rows
from deckclause.impact.sheets import SHEETS, TEXTS, Form, form_of, table_rows
from deckclause.rulesets.files import digest
from deckclause.rulesets.problems import InputError, Problem
from deckclause.rulesets.vocabulary import Vocabulary

ROWS = 32_768
"""Designs in a chunk."""
ENDS = 1 << 20
"""Bytes at each end of an archive that tell it from another, with its size."""
DESIGN = "design"
"""What a row's name is called where no map says what names a row."""
TABLES = ("text", "workbook")


class Archive:
    """An archive on disk. `kind` is `text`, `workbook`, `parquet` or `folder`.

    `map` says which column is which fact; without one the headings name the facts themselves.
    """

    def __init__(
        self, path: Path, vocabulary: Vocabulary, rows: int = ROWS, map: SheetMap | None = None
    ) -> None:
        self.path = path
        self.vocabulary = vocabulary
        self.size = rows
        self.kind = _kind(path)
        self.map = map

    @cached_property
    def form(self) -> Form:
        """How the file's table is written: as the map says, else as it looks. Raises InputError."""
        told = self.map.form if self.map else Form()
        return form_of(self.path, told) if self.kind in TABLES else told

    @property
    def labels(self) -> tuple[str, ...]:
        """What the parts of a row's name are called."""
        return (self.map.labels if self.map else ()) or (DESIGN,)

    def fingerprint(self) -> str:
        """Tell this archive from another: sizes and ends of its files, and how they are read."""
        files = design_files(self.path) if self.kind == "folder" else [self.path]
        facts: list[str] = []
        for file in files:
            size = file.stat().st_size
            with open(file, "rb") as stream:
                head = stream.read(ENDS)
                stream.seek(max(0, size - ENDS))
                facts.append(f"{file.name} {size} {digest(head)} {digest(stream.read())}")
        if self.map is not None:
            facts.append(self.map.digest)
        return digest("\n".join(facts))

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
        elif self.kind in TABLES:
            yield from self._table(skip)
        else:
            yield from self._parquet(skip)

    def first_rows(self, most: int) -> tuple[list[str], list[list[str]]]:
        """Return the headings of a table and its first rows, as text; a blank row is none.

        Raises InputError where it cannot be read, or is a folder of designs.
        """
        if self.kind == "folder":
            raise InputError.single(str(self.path), "is a folder of designs; it needs no map")
        if self.kind == "parquet":
            with _reading_parquet(self.path):
                batch = next(_parquet(self.path).iter_batches(most), None)
                titles = _parquet(self.path).schema_arrow.names
                cells = [] if batch is None else [column.to_pylist() for column in batch.columns]
            rows = [
                ["" if c is None else cell_text(c) for c in row] for row in zip(*cells, strict=True)
            ]
            return [str(title) for title in titles], [row for row in rows if any(row)]
        with table_rows(self.path, self.form) as lines:
            headings = [cell_text(cell) for cell in next(lines, [])]
            return headings, _next(lines, most)

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

    # -- tables of text -------------------------------------------------------------------------

    def _table(self, skip: frozenset[int]) -> Iterator[Read | int]:
        with table_rows(self.path, self.form) as lines:
            header = [cell_text(cell) for cell in next(lines, [])]
            columns = self._columns(header)
            number, first = 0, 1
            while lists := _next(lines, self.size):
                if number in skip:
                    yield number
                else:
                    if self.kind == "workbook":  # its rows end with their last cell that has text
                        lists = [cells + [""] * (len(header) - len(cells)) for cells in lists]
                    yield _text_rows(number, first, lists, len(header), columns)
                number, first = number + 1, first + len(lists)

    def _columns(self, names: list[str]) -> Columns:
        if self.map is not None:
            return self.map.columns_of(names, self.path)
        identity, readers, faults = read_headers(names, self.vocabulary)
        if faults:
            raise InputError([Problem(str(self.path), self.form.header_row, f) for f in faults])
        return Columns(() if identity is None else (identity,), readers, names, {})

    # -- Parquet ----------------------------------------------------------------------------------

    def _parquet(self, skip: frozenset[int]) -> Iterator[Read | int]:
        with _reading_parquet(self.path):
            file = _parquet(self.path)
            titles = [str(name) for name in file.schema_arrow.names]
        columns = self._columns(titles)
        wanted = sorted({*columns.readers, *columns.labels})
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
                    read = _arrow_rows(number, first, batch.num_rows, named, columns)
                yield read
            first += batch.num_rows


def _text_rows(
    number: int, first: int, lists: list[list[str]], width: int, columns: Columns
) -> Read:
    rows = Rows(number, first, len(lists), columns)
    for place, cells in enumerate(lists):
        if len(cells) != width:
            if any(cells[width:]) or len(cells) < width:
                rows.refuse(place, f"has {len(cells)} cells where the header has {width}")
                lists[place] = [""] * width
            else:
                lists[place] = cells[:width]
    texts = list(zip(*lists, strict=True))
    rows.name([[" ".join(cell.split()) for cell in texts[place]] for place in columns.labels])
    for place in columns.readers:
        distinct = dict.fromkeys(texts[place])
        codes = {cell: code for code, cell in enumerate(distinct)}
        places = np.array([codes[cell] for cell in texts[place]], np.int64)
        rows.take(place, list(distinct), places)
    return rows.read()


def _arrow_rows(
    number: int, first: int, count: int, cells_of: dict[int, Any], columns: Columns
) -> Read:
    pa: Any = import_module("pyarrow")
    rows = Rows(number, first, count, columns)
    rows.name([[cell_text(c) if c is not None else "" for c in cells_of[place].to_pylist()]
               for place in columns.labels])  # fmt: skip
    for place in columns.readers:
        cells = cells_of[place]
        if not pa.types.is_dictionary(cells.type):
            cells = cells.dictionary_encode()
        distinct = [*cells.dictionary.to_pylist(), None]
        places = cells.indices.fill_null(len(distinct) - 1).to_numpy(zero_copy_only=False)
        rows.take(place, distinct, places.astype(np.int64))
    return rows.read(told_blank=False)


def _next(lines: Iterator[list[str]], size: int) -> list[list[str]]:
    """Take so many rows; a blank one is none."""
    found: list[list[str]] = []
    for cells in lines:
        if any(cell.strip() for cell in cells):
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
    ending = path.suffix.lower()
    kinds = (
        {".parquet": "parquet"} | dict.fromkeys(TEXTS, "text") | dict.fromkeys(SHEETS, "workbook")
    )
    if ending not in kinds:
        known = ", ".join(kinds)
        raise InputError.single(
            str(path),
            f"is neither a table ({known}) nor a folder of designs; save it as .csv or .xlsx",
        )
    return kinds[ending]


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
