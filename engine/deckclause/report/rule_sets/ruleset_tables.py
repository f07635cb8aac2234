"""Tables of a rule set laid out as the book prints them, the standing of each cell marked.

Species, loads and other choices stand as headings over their rows; a key is written once and not
again until it changes; the figures of a footing stand together in one cell; a table wider than the
page is continued below with its remaining columns. What is said of a cell stands in a footnote.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import product
from textwrap import wrap

from msgspec import Struct, field

from deckclause.evaluate.words import fact_text, name_text, scalar_text
from deckclause.rulesets.clauses import Axis, CellNote, Table
from deckclause.rulesets.vocabulary import MEASURES, Vocabulary

MARKS = {"confirmed": "", "derived": "d", "common practice": "p", "memory": "*"}
MARK_LEGEND = (
    "unmarked confirmed | d derived | p practice | * memory, unverified | NP not permitted | "
    "? not seen"
)
UNREADABLE = {"not permitted": "NP", "not seen": "?"}
INDENT = "  "
LONGEST_HEAD = 16
"""Longer heads of columns are broken over several lines, as a book breaks them."""
FIGURES = ".table_figure"
"""Such a quantity tells apart the figures that stand together in one cell of a book."""
AXIS_WORDS = {
    "loads.framing_table_snow": "load",
    "loads.ledger_table_snow": "ground snow",
}
KEY_WORDS = {
    "douglas_fir_larch_hem_fir_spruce_pine_fir": "Douglas fir-larch, hem-fir, spruce-pine-fir",
    "redwood_western_cedar_ponderosa_red_pine": "redwood, western cedar, ponderosa or red pine",
}


class Footnotes(Struct):
    """What is said of cells, each said once under a number."""

    numbers: dict[str, int] = field(default_factory=dict)

    def sign(self, said: str) -> str:
        """Return the sign that refers to what is said; nothing for nothing."""
        return f"[{self.numbers.setdefault(said, len(self.numbers) + 1)}]" if said else ""

    def lines(self, width: int) -> Iterator[str]:
        """Yield the notes in the order they were referred to."""
        for said, number in self.numbers.items():
            yield from wrap(f"[{number}] {said}", width, subsequent_indent="    ")


class Layout(Struct, frozen=True):
    """Where each axis of a table goes: over the rows, before them, into the cell, along them."""

    headings: tuple[int, ...]
    rows: tuple[int, ...]
    figures: int | None
    columns: int


def table_lines(
    table: Table, vocabulary: Vocabulary, width: int, *, si: bool = False
) -> Iterator[str]:
    """Yield a table as printed, no line longer than `width` where its cells allow that."""
    yield from wrap(f"{table.cites}: {table.title} [{table.name}]", width, subsequent_indent="  ")
    page = _Page(table, vocabulary, _layout(table, vocabulary), si)
    for number, panel in enumerate(page.panels(width)):
        if number:
            yield "  continued:"
        yield from page.panel_lines(panel)
    yield from page.footnotes.lines(width)


def _layout(table: Table, vocabulary: Vocabulary) -> Layout:
    """Put choices and loads over the rows, as long as one axis is left to name the rows."""
    columns = len(table.axes) - 1
    figures = next((i for i, a in enumerate(table.axes[:-1]) if a.quantity.endswith(FIGURES)), None)
    leading = [i for i in range(columns) if i != figures]
    kinds = [vocabulary.quantities[table.axes[i].quantity].kind for i in leading]
    headings = [i for i, kind in zip(leading, kinds, strict=True) if kind in ("choice", "load")]
    if len(headings) == len(leading):
        headings = headings[:-1]
    rows = tuple(i for i in leading if i not in headings)
    return Layout(tuple(headings), rows, figures, columns)


def axis_text(quantity: str) -> str:
    """Name an axis as a table's caption does: one joist, one beam.

    >>> axis_text("joists.spacing"), axis_text("beams.effective_joist_span")
    ('joist spacing', 'effective joist span')
    """
    if quantity in AXIS_WORDS:
        return AXIS_WORDS[quantity]
    group, name = quantity.split(".", 1)
    one = group.removesuffix("s")
    names_itself = group in ("site", "loads") or "joist" in name
    return name_text(name) if names_itself else f"{name_text(one)} {name_text(name)}"


class _Page:
    """One table on a page: its texts, worked out once, and its footnotes."""

    def __init__(self, table: Table, vocabulary: Vocabulary, layout: Layout, si: bool) -> None:
        self.table, self.vocabulary, self.layout, self.si = table, vocabulary, layout, si
        self.footnotes = Footnotes()
        self.unit = "" if layout.figures is None else self._figures_unit()
        self.gap = 2
        row_heads = [axis_text(table.axes[i].quantity) for i in layout.rows]
        heads = self._keys(layout.columns)
        self.blocks = [(text, list(self._rows(len(heads), at))) for text, at in self._headings()]
        rows = [row for _, block in self.blocks for row in block]
        self.row_heads, self.row_widths = _fitted(row_heads, [names for names, _ in rows])
        self.heads, self.widths = _fitted(heads, [cells for _, cells in rows])

    def panels(self, width: int) -> list[range]:
        """Split the columns so that each panel fits, all panels about alike; close up to avoid it."""
        count = len(self.heads)
        for gap, most in ((2, 1), (1, 1), (2, count)):
            self.gap = gap
            for parts in range(1, most + 1):
                size = -(-count // parts)
                panels = [range(at, min(at + size, count)) for at in range(0, count, size)]
                if all(self._panel_width(panel) <= width for panel in panels):
                    return panels
        return [range(at, at + 1) for at in range(count)]

    def _panel_width(self, columns: Sequence[int]) -> int:
        return self._names_width() + sum(self.widths[i] + self.gap for i in columns)

    def _names_width(self) -> int:
        indent = len(INDENT) if self.layout.headings else 0
        return indent + sum(self.row_widths) + self.gap * max(len(self.row_widths) - 1, 0)

    def panel_lines(self, columns: Sequence[int]) -> Iterator[str]:
        """Yield the caption, the column heads and every row of some columns."""
        widths = [*self.row_widths, *(self.widths[i] for i in columns)]
        start = self._names_width() + (self.gap if self.layout.rows else 0)
        if caption := self._caption():
            yield " " * start + caption
        heads = [*self.row_heads, *(self.heads[i] for i in columns)]
        deepest = max(map(len, heads))
        for line in zip(*([""] * (deepest - len(h)) + h for h in heads), strict=True):
            yield self._line(line, widths)
        yield self._line(["-" * w for w in widths], widths)
        for heading, rows in self.blocks:
            if heading:
                yield heading
            for before, (names, cells) in zip([None, *rows], rows, strict=False):
                shown = _unrepeated(names, before[0] if before else None)
                yield self._line([*shown, *(cells[i] for i in columns)], widths)

    def _caption(self) -> str:
        columns = self.table.axes[self.layout.columns].quantity
        if self.layout.figures is None:
            return "" if columns.endswith(FIGURES) else axis_text(columns)
        figures = "/".join(self._keys(self.layout.figures))
        return f"{axis_text(columns)}; {figures}, {self.unit}"

    def _line(self, texts: Sequence[str], widths: Sequence[int]) -> str:
        indent = INDENT if self.layout.headings else ""
        cells = (text.ljust(width) for text, width in zip(texts, widths, strict=True))
        return (indent + (" " * self.gap).join(cells)).rstrip()

    def _headings(self) -> Iterator[tuple[str, dict[int, int]]]:
        axes = [self.table.axes[i] for i in self.layout.headings]
        for keys in product(*(range(len(axis.keys)) for axis in axes)):
            words = [self._heading(axis, key) for axis, key in zip(axes, keys, strict=True)]
            yield ": ".join(words), dict(zip(self.layout.headings, keys, strict=True))

    def _heading(self, axis: Axis, key: int) -> str:
        text = self._key(axis, key)
        kind = self.vocabulary.quantities[axis.quantity].kind
        return text if kind == "choice" else f"{axis_text(axis.quantity)} {text}"

    def _rows(self, count: int, fixed: dict[int, int]) -> Iterator[tuple[list[str], list[str]]]:
        axes = [self.table.axes[i] for i in self.layout.rows]
        for keys in product(*(range(len(axis.keys)) for axis in axes)):
            indices = fixed | dict(zip(self.layout.rows, keys, strict=True))
            names = [self._key(axis, key) for axis, key in zip(axes, keys, strict=True)]
            yield names, [self._cell(indices | {self.layout.columns: c}) for c in range(count)]

    def _cell(self, indices: dict[int, int]) -> str:
        figures = self.layout.figures
        if figures is None:
            return self._figure(indices)
        keys = range(len(self.table.axes[figures].keys))
        return "/".join(self._figure(indices | {figures: k}, self.unit) for k in keys)

    def _figure(self, indices: dict[int, int], unit: str = "") -> str:
        """Write one figure with the mark of its standing and the sign of its note."""
        place = self.table.position(tuple(indices[i] for i in range(len(self.table.axes))))
        cell, note = self.table.cells[place], self.table.note(place)
        if isinstance(cell, str):
            text = UNREADABLE.get(cell, cell.replace("_", " "))
        else:
            standing = note.standing if note and note.standing else self.table.standing
            text = self._measure(cell).removesuffix(f" {unit}") + MARKS[standing]
        return text + (self.footnotes.sign(self._said(note)) if note else "")

    def _said(self, note: CellNote) -> str:
        other = "" if note.also is None else f"or {self._measure(note.also)}"
        return ": ".join(said for said in (other, note.why) if said)

    def _measure(self, value: Fraction) -> str:
        assert self.table.kind in MEASURES
        unit = "ft" if self.table.kind == "length" and self.table.in_feet else ""
        return scalar_text(value, self.table.kind, unit, si=self.si)

    def _figures_unit(self) -> str:
        some = next(cell for cell in self.table.cells if isinstance(cell, Fraction))
        return self._measure(some).rpartition(" ")[2]

    def _keys(self, axis: int) -> list[str]:
        found = self.table.axes[axis]
        return [self._key(found, key) for key in range(len(found.keys))]

    def _key(self, axis: Axis, key: int) -> str:
        value = axis.keys[key]
        if isinstance(value, str) and value in KEY_WORDS:
            return KEY_WORDS[value]
        return fact_text(value, self.vocabulary.quantities[axis.quantity], si=self.si)


def _fitted(
    heads: Sequence[str], rows: Sequence[Sequence[str]]
) -> tuple[list[list[str]], list[int]]:
    """Break each head to the width of what stands under it; return heads and column widths."""
    broken, widths = [], []
    for column, head in enumerate(heads):
        below = max((len(row[column]) for row in rows), default=0)
        room = max(below, LONGEST_HEAD)
        lines = wrap(head, room, break_long_words=False, break_on_hyphens=False)
        broken.append(lines)
        widths.append(max([below, *map(len, lines)]))
    return broken, widths


def _unrepeated(names: Sequence[str], before: Sequence[str] | None) -> list[str]:
    """Leave out the leading names that stand in the row before already; the last always shows."""
    shown = list(names)
    for place in range(len(shown) - 1):
        if before is None or before[place] != names[place]:
            break
        shown[place] = ""
    return shown
