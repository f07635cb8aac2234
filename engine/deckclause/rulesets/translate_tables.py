"""Turn the printed tables of a rule file into the domain's, cell by cell."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from deckclause.rulesets.clauses import Axis, CellNote, Table
from deckclause.rulesets.problems import suggestion
from deckclause.rulesets.translate_values import Path, ValueTranslator, is_number
from deckclause.rulesets.vocabulary import QuantityDefinition


def translate_tables(translator: ValueTranslator, data: dict[str, Any], path: Path) -> None:
    """Read every table of the file into `translator.tables`, noting problems."""
    for name, entry in data.items():
        translator.tables[name] = _TableReader(translator, name, entry, (*path, name)).read()


class _TableReader:
    def __init__(self, translator: ValueTranslator, name: str, data: Any, path: Path) -> None:
        self.translator = translator
        self.name = name
        self.data = data
        self.path = path
        self.axes: list[Axis] = []
        self.figure_definition = QuantityDefinition(name, "length", "", "")
        self.in_feet = False

    def read(self) -> Table:
        by = self.data["by"]
        definitions = [self.translator.quantity(q, (*self.path, "by")) for q in by]
        self.figure_definition = self._figure_kind()
        keys: list[list[str]] = [[] for _ in by]
        cells: list[Fraction | str] = []
        self._gather(self.data["cells"], 0, keys, (*self.path, "cells"))
        keys[-1] = list(self.data["columns"])
        for definition, texts in zip(definitions, keys, strict=True):
            self.axes.append(self._axis(definition, texts))
        self._read_cells(self.data["cells"], 0, keys, cells, (*self.path, "cells"))
        notes = tuple(self._note(i, note) for i, note in enumerate(self.data.get("notes", [])))
        return Table(
            self.name,
            self.data["title"],
            tuple(self.axes),
            tuple(cells),
            tuple(note for note in notes if note is not None),
            self.data["cites"],
            self.data["standing"],
            tuple(self.data["sources"]),
            self.figure_definition.kind,
            self.in_feet,
        )

    def _figure_kind(self) -> QuantityDefinition:
        """Tell what the cells measure from the first figure in them."""
        first = self.data["cells"]
        while isinstance(first, dict | list) and first:
            values = list(first.values()) if isinstance(first, dict) else first
            first = next((v for v in values if v not in ("not permitted", "not seen")), values[0])
        kind = "length"
        if isinstance(first, str):
            self.in_feet = " ft" in first or "'" in first
            if is_number(first):
                kind = "ratio"
            for candidate in ("psf", "lb", "plf", "sq ft"):
                if first.endswith(f" {candidate}"):
                    kind = {"psf": "load", "lb": "force", "plf": "line_load", "sq ft": "area"}[
                        candidate
                    ]
        return QuantityDefinition(f"table {self.name}", kind, "", "")

    def _gather(self, data: Any, level: int, keys: list[list[str]], path: Path) -> None:
        if level == len(keys) - 1:
            return
        if not isinstance(data, dict):
            self.translator.fault(path, f"rows keyed by {self.data['by'][level]} are needed")
            return
        for key, inner in data.items():
            if key not in keys[level]:
                keys[level].append(key)
            self._gather(inner, level + 1, keys, (*path, key))

    def _axis(self, definition: QuantityDefinition, texts: list[str]) -> Axis:
        last = self.data["by"][-1] == definition.name
        where = (*self.path, "columns" if last else "cells")
        keys = [
            value if isinstance(value, str) else Fraction(value)
            for value in (self.translator.scalar(text, definition, where) for text in texts)
        ]
        between = self.data.get("between", {}).get(definition.name, "exact")
        if definition.dimension is None and between != "exact":
            self.translator.fault(where, f"{definition.name} is a choice; nothing lies between")
        numbers = [key for key in keys if isinstance(key, Fraction)]
        if numbers and (numbers != sorted(numbers) or len(set(numbers)) != len(numbers)):
            self.translator.fault(where, f"the keys of {definition.name} must rise")
        return Axis(definition.name, tuple(keys), between)

    def _read_cells(
        self, data: Any, level: int, keys: list[list[str]], cells: list[Fraction | str], path: Path
    ) -> None:
        if level < len(keys) - 1:
            rows = data if isinstance(data, dict) else {}
            for key in keys[level]:
                if key not in rows:
                    self.translator.fault(path, f"there is no row for {key}")
                    continue
                self._read_cells(rows[key], level + 1, keys, cells, (*path, key))
            return
        if not isinstance(data, list) or len(data) != len(keys[-1]):
            count = len(data) if isinstance(data, list) else 0
            self.translator.fault(
                path, f"{len(keys[-1])} figures are needed, one a column; {count} stand here"
            )
            return
        for i, text in enumerate(data):
            cells.append(self.translator.figure(text, self.figure_definition, (*path, i)))

    def _note(self, index: int, note: dict[str, Any]) -> tuple[int, CellNote] | None:
        path = (*self.path, "notes", index)
        at = note["at"]
        if len(at) != len(self.axes):
            self.translator.fault(path, f"`at` needs {len(self.axes)} keys, one an axis")
            return None
        indices = []
        for text, axis in zip(at, self.axes, strict=True):
            definition = self.translator.quantity(axis.quantity, path)
            key = self.translator.scalar(text, definition, path)
            if key not in axis.keys:
                known = suggestion(text, [str(k) for k in axis.keys if isinstance(k, str)])
                self.translator.fault(path, f"'{text}' is not a key of {axis.quantity}.{known}")
                return None
            indices.append(axis.keys.index(key if isinstance(key, str) else Fraction(key)))
        place = 0
        for axis, position in zip(self.axes, indices, strict=True):
            place = place * len(axis.keys) + position
        also = note.get("also")
        return place, CellNote(
            note.get("standing"),
            tuple(note.get("sources", [])),
            self.translator.measure(also, self.figure_definition, path) if also else None,
            note.get("why", ""),
        )
