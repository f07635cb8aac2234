"""Propose which column of an office's sheet says which fact; ask what is unclear; keep the answers.

The map is a small YAML file beside the sheet, and `deckclause impact` on the sheet reads it there.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path
from textwrap import wrap
from typing import TYPE_CHECKING

from msgspec import Struct

from deckclause.cli.ask import STOP, typed_line
from deckclause.cli.progress import needing_extra
from deckclause.cli.shared import open_catalogue, terminal_width
from deckclause.impact.cells import CellError, CellReader, Column
from deckclause.quantities import QuantityError, parse_quantity
from deckclause.rulesets.vocabulary import Vocabulary

if TYPE_CHECKING:
    from deckclause.impact.propose import Answers, Proposal, ProposedMap
    from deckclause.impact.read import Archive

HELP = (
    "Answer with a number or the name; Enter: leave it open; -: no fact of a deck; q: ask no more"
)
ASKED_WORDS = 5
"""Cells not understood that are asked of each column; the rest stand in the map as `?`."""
Ask = Callable[[str], str | None]


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument(
        "sheet", metavar="FILE", type=Path, help="the sheet: .csv, .txt, .tsv, .xlsx or .parquet"
    )
    parser.add_argument(
        "-o", "--output", type=Path, metavar="MAP", help="where the map goes (FILE.columns.yaml)"
    )


def run(options: argparse.Namespace) -> int:
    """Run the command; 0 when nothing is open, 3 while something is."""
    vocabulary = open_catalogue(options).vocabulary
    with needing_extra("archive"):
        from deckclause.impact.column_map import map_beside
        from deckclause.impact.propose import Answers, propose_map
        from deckclause.impact.read import Archive
        from deckclause.impact.write_map import map_text, open_questions
        from deckclause.rulesets.write_file import refuse_existing, write_new

        path = options.output or map_beside(options.sheet)
        refuse_existing(path)
        archive = Archive(options.sheet, vocabulary)
        answers = Answers()
        if sys.stdin.isatty():
            print(HELP)
            proposed = ask_through(archive, answers, vocabulary, typed_line)
        else:
            proposed = propose_map(archive, answers)
        write_new(path, map_text(proposed, answers, vocabulary))
    width = terminal_width()
    print("\n".join(_said(proposed, width)))
    questions = list(open_questions(proposed, vocabulary))
    for question in questions:
        print("\n".join(wrap(f"? {question}", width, subsequent_indent="    ")))
    print(
        f"written: {path}" + ("; put an answer in the place of each ? in it" if questions else "")
    )
    return 3 if questions else 0


def _said(proposed: ProposedMap, width: int) -> list[str]:
    """Say what was found: rows, what names them, and each column's fact."""
    lines = [f"{proposed.path.name}: {proposed.rows} rows looked at"]
    names = ", ".join(proposed.labels) or "nothing; the lists will give row numbers alone"
    lines += wrap(f"rows named by: {names}", width, subsequent_indent="    ")
    for column in proposed.columns:
        if column.fact:
            unit = f" [{column.unit}]" if column.unit not in ("", "?") else ""
            text = f"{column.heading} -> {column.fact}{unit}, {column.cells} cells"
            text += f"; {column.why}" if column.why else ""
            lines += wrap(f"  {text}", width, subsequent_indent="      ")
    if proposed.not_read:
        text = f"not read: {', '.join(proposed.not_read)}"
        lines += wrap(text, width, subsequent_indent="    ")
    for note in proposed.notes:
        lines += wrap(f"note: {note}", width, subsequent_indent="    ")
    return lines


class _Question(Struct, frozen=True):
    """What is open: what tells it from others, its words, the answers known, and their taker."""

    key: tuple[str, str]
    words: str
    options: tuple[str, ...]
    take: Callable[[str], None]
    check: Callable[[str], str]
    """Says what is wrong with an answer; nothing where it will do."""

    @property
    def prompt(self) -> str:
        """The question as it is asked, with numbered answers where it has any."""
        numbered = "".join(f"\n   {n}: {option}" for n, option in enumerate(self.options, 1))
        return f"{self.words}{numbered}\n> "


def ask_through(
    archive: Archive, answers: Answers, vocabulary: Vocabulary, ask: Ask
) -> ProposedMap:
    """Ask, one at a time, what the sheet leaves unclear; return what is proposed in the end.

    What is left open is passed. The sheet is read once, however much is asked.
    """
    from deckclause.impact.propose import look_at, propose_map

    looked = look_at(archive)
    passed: set[tuple[str, str]] = set()
    while True:
        proposed = propose_map(archive, answers, looked)
        waiting = (q for q in _questions(proposed, answers, vocabulary) if q.key not in passed)
        question = next(waiting, None)
        if question is None:
            return proposed
        typed = ask(question.prompt)
        if typed is None or typed.strip() == STOP:
            return proposed
        said = typed.strip()
        if said.isascii() and said.isdigit() and 0 < int(said) <= len(question.options):
            said = question.options[int(said) - 1]
        wrong = question.check(said) if said else ""
        if wrong:
            print(f"   {wrong}")
        elif said:
            question.take(said)
        else:
            passed.add(question.key)


def _questions(
    proposed: ProposedMap, answers: Answers, vocabulary: Vocabulary
) -> Iterator[_Question]:
    for column in proposed.columns:
        if not column.fact:
            yield _fact_question(column, answers, vocabulary)
        elif column.unit == "?":
            yield _unit_question(column, answers, vocabulary)
        if column.fact:
            yield from _word_questions(column, answers, vocabulary)
    for name in proposed.asked_of_all:
        if name not in answers.every_permit:
            definition = vocabulary.quantities[name]
            yield _Question(
                ("", name),
                f"Of every permit in this file: {definition.ask}",
                definition.choices,
                partial(answers.every_permit.__setitem__, name),
                partial(_value_fault, Column(definition)),
            )


def _fact_question(column: Proposal, answers: Answers, vocabulary: Vocabulary) -> _Question:
    from deckclause.impact.column_map import fact_fault
    from deckclause.impact.propose import NO_FACT

    def wrong(said: str) -> str:
        return "" if said == NO_FACT else fact_fault(said, vocabulary)

    words = f"{column.heading}: which fact does this column say? ({column.why})"
    take = partial(answers.facts.__setitem__, column.heading)
    return _Question((column.heading, "fact"), words, column.candidates, take, wrong)


def _unit_question(column: Proposal, answers: Answers, vocabulary: Vocabulary) -> _Question:
    from deckclause.impact.propose import UNITS

    definition = vocabulary.quantities[column.fact]

    def wrong(said: str) -> str:
        try:
            parse_quantity(f"1 {said}", definition.dimension)
        except QuantityError as fault:
            return str(fault)
        return ""

    words = f"{column.heading}, {column.fact}: {column.why}"
    take = partial(answers.units.__setitem__, column.heading)
    return _Question((column.heading, "unit"), words, UNITS[definition.kind], take, wrong)


def _word_questions(
    column: Proposal, answers: Answers, vocabulary: Vocabulary
) -> Iterator[_Question]:
    definition = vocabulary.quantities[column.fact]
    for cell, count in column.not_understood[:ASKED_WORDS]:
        yield _Question(
            (column.heading, cell),
            f"{column.heading}, {column.fact}: what does '{cell}' say? ({count} cells)",
            definition.choices,
            partial(answers.words.__setitem__, (column.heading, cell)),
            partial(_value_fault, Column(definition)),
        )


def _value_fault(column: Column, said: str) -> str:
    read = CellReader(column).read(said)
    return str(read) if isinstance(read, CellError) else ""
