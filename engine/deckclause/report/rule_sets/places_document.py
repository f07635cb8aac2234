"""Print what each place asks on a topic: in the terminal, as CSV, or as a page to pass on."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from textwrap import wrap

from deckclause.answers.places_sheet import PlaceAsks, PlacesSheet
from deckclause.report.cautions import CAUTIONS
from deckclause.report.document import Block, Bullets, Cell, Document, Grid, Heading, Paragraph
from deckclause.report.spreadsheet import plain_cell

MOST_NAMED = 12
COLUMNS = (
    *("place", "within", "invented", "edition", "asks", "values set there", "where it stands"),
    *("ordinance", "from memory, unverified"),
)


def sheet_lines(sheet: PlacesSheet, width: int) -> Iterator[str]:
    """Yield the sheet for the terminal: each way to ask once, with the places, the odd ones first."""
    yield from wrap(_head(sheet), width)
    for group in sheet.ways:
        yield ""
        yield from wrap(f"{_count(group)}: {_named(group)}", width, subsequent_indent="    ")
        yield from wrap(_told(group), width, initial_indent="  ", subsequent_indent="    ")
    yield ""
    for words in _tail(sheet):
        yield from wrap(words, width)


def sheet_csv(sheet: PlacesSheet) -> str:
    """Return the sheet as CSV, a line a place."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    for row in sheet.rows:
        writer.writerow([plain_cell(text) for text in _cells(row)])
    return out.getvalue()


def sheet_document(sheet: PlacesSheet) -> Document:
    """Return the sheet as a document: the ways to ask, then a line a place."""
    return Document(
        f"{sheet.topic.title}: what each place asks",
        f"On {sheet.day}. {sheet.topic.question}",
        tuple(_blocks(sheet)),
        CAUTIONS[0],
        contents=False,
    )


def _blocks(sheet: PlacesSheet) -> Iterator[Block]:
    yield Paragraph(_head(sheet))
    yield Heading(1, "The ways it is asked, the odd ones first", "ways")
    yield Bullets(tuple(f"{_count(g)}: {_named(g)}. {_told(g)}" for g in sheet.ways))
    yield Heading(1, "Place by place", "places")
    heads = ("Place", "Within", "Edition", "Asks", "Values set there", "Where", "Ordinance")
    rows = []
    for row in sheet.rows:
        star = "*" if row.unverified else ""
        name = f"{row.place} (invented)" if row.invented else row.place
        texts = (name, row.within, row.edition, row.asks, row.values, row.cites + star)
        rows.append(tuple(Cell(text) for text in (*texts, row.ordinance)))
    yield Grid(f"{sheet.topic.title} on {sheet.day}", heads, tuple(rows), wide=True)
    yield Heading(1, "What must be known of it", "cautions")
    yield Bullets(tuple(_tail(sheet)))


def _head(sheet: PlacesSheet) -> str:
    count, ways = len(sheet.rows), len(sheet.ways)
    places = "1 place asks" if count == 1 else f"{count} places ask"
    return (
        f"{sheet.topic.title} on {sheet.day}: {places} it in {ways} way{'s' if ways != 1 else ''}."
    )


def _count(group: tuple[PlaceAsks, ...]) -> str:
    return "alone" if len(group) == 1 else f"{len(group)} alike"


def _named(group: tuple[PlaceAsks, ...]) -> str:
    named = ", ".join(row.place for row in group[:MOST_NAMED])
    return named + (f" and {len(group) - MOST_NAMED} more" if len(group) > MOST_NAMED else "")


def _told(group: tuple[PlaceAsks, ...]) -> str:
    """Say what places ask alike: where it stands in any of them, starred where one has it unread."""
    one = group[0]
    star = "*" if any(row.unverified for row in group) else ""
    values = f" There: {one.values}." if one.values else ""
    cites = "; ".join(dict.fromkeys(row.cites for row in group if row.cites))
    where = f" ({cites}{star})" if cites else ""
    return f"{one.edition}: {one.asks}{where}{values}"


def _tail(sheet: PlacesSheet) -> Iterator[str]:
    if sheet.without:
        named = ", ".join(sheet.without[:MOST_NAMED])
        count = len(sheet.without) - MOST_NAMED
        more = f" and {count} more" if count > 0 else ""
        yield f"Nothing is known in force that day in {named}{more}."
    yield from CAUTIONS


def _cells(row: PlaceAsks) -> tuple[str, ...]:
    yes = {True: "yes", False: "no"}
    return (
        *(row.place, row.within, yes[row.invented], row.edition, row.asks, row.values, row.cites),
        *(row.ordinance, yes[row.unverified]),
    )
