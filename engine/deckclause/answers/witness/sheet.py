"""A sheet to look up in the book: clauses and tables as the rules have them, in printed order."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import groupby

from msgspec import Struct

from deckclause.evaluate.words import ClauseWords, fact_text
from deckclause.rulesets.clauses import ALWAYS, Clause, Table
from deckclause.rulesets.problems import InputError, suggestion
from deckclause.rulesets.ruleset import LoadedRuleSet
from deckclause.rulesets.vocabulary import Vocabulary
from deckclause.rulesets.walk import clause_tables
from deckclause.rulesets.witness import Item, cell_text
from deckclause.rulesets.witnessed import cell_items, item_fingerprint

SHORT = {"not permitted": "NP", "not seen": "?"}


class ClauseLine(Struct, frozen=True):
    """A clause or one of its exceptions: where it stands, what it says and asks, in our own words."""

    item: Item
    cites: str
    says: str
    asks: str
    fingerprint: str


class SheetCell(Struct, frozen=True):
    """One cell: its exact text, and as a table prints it."""

    item: Item
    exact: str
    printed: str


class SheetRow(Struct, frozen=True):
    """One printed row: the names of its keys, and its cells."""

    names: tuple[str, ...]
    cells: tuple[SheetCell, ...]


class TableSheet(Struct, frozen=True):
    """One table, laid out as printed."""

    table: Table
    row_heads: tuple[str, ...]
    heads: tuple[str, ...]
    rows: tuple[SheetRow, ...]


class Sheet(Struct, frozen=True):
    """All a person looks up in one sitting: clauses first, then tables."""

    ruleset: str
    title: str
    part: str
    clauses: tuple[ClauseLine, ...]
    tables: tuple[TableSheet, ...]

    @property
    def items(self) -> tuple[Item, ...]:
        """Everything on the sheet, in order."""
        cells = (c.item for t in self.tables for row in t.rows for c in row.cells)
        return (*(line.item for line in self.clauses), *cells)


def make_sheet(loaded: LoadedRuleSet, vocabulary: Vocabulary, part: str = "") -> Sheet:
    """Return the sheet of a rule set as written, or of one part, topic or table of it.

    Raises InputError for a part that is none of them or on which it says nothing.
    """
    ruleset = loaded.ruleset
    known = [*vocabulary.parts, *vocabulary.topics, *(t.name for t in ruleset.tables)]
    if part and part not in known:
        raise InputError.single("--part", f"'{part}' is no part of the deck, topic or table."
                                f"{suggestion(part, known)}")  # fmt: skip
    words = ClauseWords(vocabulary)
    clauses: list[ClauseLine] = []
    tables: dict[str, Table] = {t.name: t for t in ruleset.tables if t.name == part}
    for topic in vocabulary.topics.values():
        if part and part not in (topic.name, topic.part):
            continue
        for clause in ruleset.topic_clauses(topic.name):
            clauses += _lines(loaded, clause, words)
            tables.update({t.name: t for t in clause_tables(clause)})
    if not part:
        tables.update({t.name: t for t in ruleset.tables})
    if not clauses and not tables:
        raise InputError.single("--part", f"{ruleset.name} says nothing on '{part}'")
    sheets = tuple(_table(t, vocabulary) for t in tables.values())
    return Sheet(ruleset.name, ruleset.title, part, tuple(clauses), sheets)


def _lines(loaded: LoadedRuleSet, clause: Clause, words: ClauseWords) -> Iterator[ClauseLine]:
    asks = words.requirement(clause.requirement)
    if clause.applies != ALWAYS:
        asks += f"; applies where {words.condition(clause.applies)}"
    if clause.scope != ALWAYS:
        asks += f"; covers {clause.scope_says or words.condition(clause.scope)}"
    key = clause.key
    yield ClauseLine(Item(key), clause.cites, clause.says, asks, item_fingerprint(loaded, key, 0))
    for part, exception in enumerate(clause.exceptions, 1):
        asks = f"{words.requirement(exception.requirement)} where {words.condition(exception.when)}"
        yield ClauseLine(
            Item(key, part),
            exception.cites,
            f"exception: {exception.says}",
            asks,
            item_fingerprint(loaded, key, part),
        )


def _table(table: Table, vocabulary: Vocabulary) -> TableSheet:
    from deckclause.evaluate.words import name_text

    texts = [
        [fact_text(key, vocabulary.quantities[axis.quantity]) for key in axis.keys]
        for axis in table.axes
    ]
    rows = []
    width = len(texts[-1])
    cells = list(cell_items(table, vocabulary))
    for number, group in groupby(cells, lambda entry: entry[0] // width):
        names, rest = [], number
        for axis in reversed(texts[:-1]):
            rest, at = divmod(rest, len(axis))
            names.append(axis[at])
        row = tuple(
            SheetCell(item, cell_text(table, table.cells[place]), _printed(table, place))
            for place, item in group
        )
        rows.append(SheetRow(tuple(reversed(names)), row))
    heads = tuple(name_text(axis.quantity) for axis in table.axes[:-1])
    return TableSheet(table, heads, tuple(texts[-1]), tuple(rows))


def _printed(table: Table, place: int) -> str:
    """Write a cell as such tables print it: feet and inches as 6-11."""
    cell = table.cells[place]
    if isinstance(cell, Fraction) and table.in_feet and cell.denominator == 1:
        feet, inches = divmod(int(cell), 12)
        return f"{feet}-{inches}"
    return SHORT.get(str(cell), cell_text(table, cell))
