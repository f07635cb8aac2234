"""The tick sheet: what is to be looked up, on paper, tables laid out as the book has them."""

from __future__ import annotations

from deckclause.answers.witness.sheet import Sheet, TableSheet
from deckclause.report.document import Block, Cell, Document, Grid, Heading, Paragraph, Signature

BOX = "\u2610"
HOW = (
    f"Look each up in the book. Tick {BOX} where it is so; where it is not, strike the figure and "
    "write the book's beside it, with the section where that is another; write 'nf' where it is "
    "not found. Figures only: copy no sentence of the book. Type it in afterwards with "
    "deckclause rules witness."
)
MOST_COLUMNS = 7
"""Columns of figures on an upright page."""


def sheet_document(sheet: Sheet) -> Document:
    """Return the tick sheet as a document."""
    blocks: list[Block] = [
        Paragraph(HOW, "note"),
        Signature("Read by", ("Name", "Date", "Printing")),
    ]
    if sheet.clauses:
        rows = tuple(
            (Cell(line.cites), Cell(f"{line.says} {line.asks}"), Cell(BOX), Cell(""))
            for line in sheet.clauses
        )
        heads = ("Section", "What the rules have, in our own words", "So", "Otherwise")
        blocks.append(Heading(1, "Clauses", "clauses"))
        blocks.append(Grid("Clauses", heads, rows, shares=(18, 52, 6, 24)))
    for number, table in enumerate(sheet.tables, 1):
        blocks.append(Heading(1, f"{table.table.cites}: {table.table.title}", f"table-{number}",
                              wide=_wide(table)))  # fmt: skip
        blocks.append(_grid(table))
    part = f", {sheet.part.replace('_', ' ')}" if sheet.part else ""
    return Document(
        f"Tick sheet: {sheet.title}{part}",
        "To be read beside the book itself",
        tuple(blocks),
        "A reader's own record of figures seen in print. Not the code, and no copy of its text.",
        contents=False,
        contents_on_paper=False,
    )


def _wide(table: TableSheet) -> bool:
    return len(table.heads) > MOST_COLUMNS


def _grid(table: TableSheet) -> Grid:
    """Lay a table out as printed: the keys of a row in front, a box beside each figure."""
    names = " / ".join(table.row_heads)
    rows = tuple(
        (
            Cell(" / ".join(row.names)),
            *(
                Cell(f"{cell.printed} {BOX}" if cell.printed != "?" else "____")
                for cell in row.cells
            ),
        )
        for row in table.rows
    )
    return Grid(table.table.title, (names, *table.heads), rows, wide=_wide(table))
