"""Write a proposed map as the YAML kept beside the sheet, and list what it leaves open."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator

from deckclause.impact.column_map import FORMAT, OPEN, SEPARATOR_WORDS
from deckclause.impact.propose import Answers, Proposal, ProposedMap
from deckclause.rulesets.vocabulary import QuantityDefinition, Vocabulary

MOST_WORDS = 12
"""Cells not understood that are written out, of a column; the run lists every one."""
_PLAIN = re.compile(r"[A-Za-z][\w.()/-]*(?: [\w.()/-]+)*")
HEAD = """\
# Which column of {name} says which fact of a deck. Proposed from its headings and cells: read it,
# and put an answer in the place of each "?". What stays "?" is not read, and is never a pass.
# `unit` is the unit of bare numbers alone; a cell that names its unit is read as it says.
"""
OF_ALL = """\
# What holds of every permit of this file, where you can say so of all of them; else leave "?".
"""


def map_text(proposed: ProposedMap, answers: Answers, vocabulary: Vocabulary) -> str:
    """Return the map as YAML, with a remark where something is open or was concluded."""
    return "\n".join(_lines(proposed, answers, vocabulary)) + "\n"


def open_questions(proposed: ProposedMap, vocabulary: Vocabulary) -> Iterator[str]:
    """Yield, in words, what only the office can answer."""
    for column in proposed.columns:
        if not column.fact:
            yield f"{column.heading}: which fact? {_candidates(column)} ({column.why})"
        elif column.unit == OPEN:
            yield f"{column.heading}, {column.fact}: {column.why}"
        if column.fact and column.not_understood:
            words = ", ".join(f"'{c}' ({n})" for c, n in column.not_understood[:4])
            count = len(column.not_understood)
            more = f" and {count - 4} more" if count > 4 else ""
            yield f"{column.heading}, {column.fact}: not understood: {words}{more}"
    for name in proposed.asked_of_all:
        yield f"Of every permit: {vocabulary.quantities[name].ask}"


def _lines(proposed: ProposedMap, answers: Answers, vocabulary: Vocabulary) -> Iterator[str]:
    form = proposed.form
    yield HEAD.format(name=proposed.path.name).rstrip()
    yield f'format: "{FORMAT}"'
    yield f"columns_of: {quoted(proposed.path.name)}"
    yield "file:"
    if form.sheet:
        yield f"  sheet: {quoted(form.sheet)}"
    if form.separator:
        word = next(w for w, sign in SEPARATOR_WORDS.items() if sign == form.separator)
        yield f"  encoding: {form.encoding}"
        yield f"  separator: {word}"
    yield f"  header_row: {max(form.header_row, 1)}"
    yield f"rows_named_by: {_list(proposed.labels)}"
    of_all = dict.fromkeys((*proposed.asked_of_all, *answers.every_permit))
    if of_all:
        yield ""
        yield OF_ALL.rstrip()
        yield "every_permit:"
        for name in of_all:
            value = answers.every_permit.get(name, OPEN)
            yield f"  {name}: {quoted(value)}  # {_may_be(vocabulary.quantities[name])}"
    yield ""
    yield "columns:"
    for column in proposed.columns:
        yield from _column(column, answers, vocabulary)
    yield ""
    yield f"not_read: {_list(proposed.not_read)}"


def _column(column: Proposal, answers: Answers, vocabulary: Vocabulary) -> Iterator[str]:
    yield f"  {quoted(column.heading)}:"
    if not column.fact:
        yield f"    fact: {quoted(OPEN)}  # {_candidates(column)}: {column.why}"
        if column.unit and column.unit != OPEN:
            yield f"    unit: {quoted(column.unit)}"
        return
    yield f"    fact: {column.fact}"
    if column.unit:
        remark = f"  # {column.why}" if column.why else ""
        yield f"    unit: {quoted(column.unit)}{remark}"
    words = {cell: value for (of, cell), value in answers.words.items() if of == column.heading}
    left = [cell for cell, _ in column.not_understood if cell not in words]
    if words or left:
        yield f"    words:  # each is: {_may_be(vocabulary.quantities[column.fact])}"
        for cell, value in words.items():
            yield f"      {quoted(cell)}: {quoted(value)}"
        for cell in left[:MOST_WORDS]:
            yield f"      {quoted(cell)}: {quoted(OPEN)}"
        if len(left) > MOST_WORDS:
            yield f"      # and {len(left) - MOST_WORDS} more that are not understood"


def _may_be(definition: QuantityDefinition) -> str:
    """Say what a word may be given as its meaning."""
    if definition.kind == "yes_no":
        return "yes, no"
    if definition.kind == "choice":
        return ", ".join(definition.choices)
    return "with its unit, such as 12 ft 6 in" if definition.kind == "length" else "its value"


def _candidates(column: Proposal) -> str:
    return " or ".join(column.candidates)


def _list(texts: Iterable[str]) -> str:
    return "[" + ", ".join(quoted(text) for text in texts) + "]"


def quoted(text: str) -> str:
    """Write a text as YAML, in quotation marks where it needs them.

    >>> quoted("Permit No."), quoted("?"), quoted('1/2" lag')
    ('Permit No.', '"?"', '"1/2\\\\" lag"')
    """
    return text if _PLAIN.fullmatch(text) else json.dumps(text, ensure_ascii=False)
