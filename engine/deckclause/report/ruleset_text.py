"""A rule set as text: clauses in our own words, tables laid out as the book prints them."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product
from textwrap import wrap

from tabulate import tabulate

from deckclause.evaluate.words import ClauseWords, fact_text, name_text, scalar_text
from deckclause.rulesets.clauses import ALWAYS, Clause, Table
from deckclause.rulesets.ruleset import RuleSet
from deckclause.rulesets.vocabulary import MEASURES, Vocabulary
from deckclause.rulesets.walk import clause_tables

MARKS = {"confirmed": "", "derived": "d", "common practice": "p", "memory": "*"}
MARK_LEGEND = (
    "unmarked confirmed | d derived | * from memory, unverified | NP not permitted | ? not seen"
)


def ruleset_lines(
    ruleset: RuleSet, vocabulary: Vocabulary, wanted: str, width: int, *, si: bool = False
) -> Iterator[str]:
    """Yield a rule set, or the topic, part or table `wanted`, line by line."""
    yield f"{ruleset.name}: {ruleset.title} ({ruleset.published})"
    if ruleset.says and not wanted:
        yield from wrap(ruleset.says, width)
    words = ClauseWords(vocabulary, si=si)
    tables: dict[str, Table] = {t.name: t for t in ruleset.tables if t.name == wanted}
    part = ""
    for topic in vocabulary.topics.values():
        clauses = ruleset.topic_clauses(topic.name)
        if not clauses or (wanted and wanted not in (topic.name, topic.part)):
            continue
        if topic.part != part:
            part = topic.part
            yield ""
            yield vocabulary.parts[part].upper()
        yield topic.title
        for clause in clauses:
            yield from _clause(clause, words, width)
            tables.update({t.name: t for t in clause_tables(clause)})
    if not wanted:
        yield from _settings(ruleset, vocabulary, si=si)
    for table in tables.values():
        yield ""
        yield from table_lines(table, vocabulary, si=si)


def _clause(clause: Clause, words: ClauseWords, width: int) -> Iterator[str]:
    mark = MARKS[clause.standing]
    head = f"{clause.cites}{f' {mark}' if mark else ''}: {clause.says} [{clause.key}]"
    yield from wrap(head, width, initial_indent="  ", subsequent_indent="    ")
    lines = [words.requirement(clause.requirement)]
    if clause.applies != ALWAYS:
        lines.append(f"applies where {words.condition(clause.applies)}")
    if clause.scope != ALWAYS:
        lines.append(f"covers {clause.scope_says or words.condition(clause.scope)}")
    for exception in clause.exceptions:
        lines.append(
            f"unless {words.condition(exception.when)}: {words.requirement(exception.requirement)} "
            f"({exception.cites})"
        )
    lines += [f"also read as: {reading.says}" for reading in clause.readings]
    if clause.origin.ordinance:
        origin = clause.origin
        lines.append(f"from {origin.place}, {origin.ordinance} {origin.section} ({origin.adopted})")
    lines.append(f"{clause.standing}; sources: {', '.join(clause.sources)}")
    if clause.note:
        lines.append(f"note: {clause.note}")
    for line in lines:
        yield from wrap(line, width, initial_indent="      ", subsequent_indent="        ")


def _settings(ruleset: RuleSet, vocabulary: Vocabulary, *, si: bool) -> Iterator[str]:
    if ruleset.settings:
        yield ""
        yield "VALUES THE PLACE SETS"
    for setting in ruleset.settings:
        value = fact_text(setting.value, vocabulary.quantities[setting.quantity], si=si)
        origin = setting.origin
        yield f"  {name_text(setting.quantity)}: {value} ({origin.ordinance} {origin.section})"
    for struck in ruleset.struck:
        yield f"  struck: {struck.key} ({struck.origin.ordinance} {struck.origin.section})"


def table_lines(table: Table, vocabulary: Vocabulary, *, si: bool = False) -> Iterator[str]:
    """Yield a table as printed: a row for each key of the leading axes, a column for each last."""
    yield f"{table.cites}: {table.title} [{table.name}]"
    quantities = vocabulary.quantities
    leading, last = table.axes[:-1], table.axes[-1]
    headers = [name_text(axis.quantity) for axis in leading]
    headers += [fact_text(key, quantities[last.quantity], si=si) for key in last.keys]
    width = len(last.keys)
    rows = []
    for index, keys in enumerate(product(*(axis.keys for axis in leading))):
        row = [
            fact_text(key, quantities[axis.quantity], si=si)
            for key, axis in zip(keys, leading, strict=True)
        ]
        row += [cell_text(table, index * width + i, si=si) for i in range(width)]
        rows.append(row)
    yield tabulate(rows, headers, disable_numparse=True)
    notes = [f"{fact}" for fact in dict.fromkeys(n.why for _, n in table.notes if n.why)]
    for note in notes:
        yield f"  {note}"
    yield f"  columns: {name_text(last.quantity)}. {MARK_LEGEND}"


def cell_text(table: Table, place: int, *, si: bool = False) -> str:
    """Write one cell with the mark of its standing, and another figure given for it."""
    cell = table.cells[place]
    if isinstance(cell, str):
        return {"not permitted": "NP", "not seen": "?"}.get(cell, cell.replace("_", " "))
    note = table.note(place)
    standing = note.standing if note and note.standing else table.standing
    unit = "ft" if table.kind == "length" and cell >= 36 and table.in_feet else ""
    assert table.kind in MEASURES
    text = scalar_text(cell, table.kind, unit, si=si) + MARKS[standing]
    if note and note.also is not None:
        text += f" (or {scalar_text(note.also, table.kind, unit, si=si)})"
    return text
