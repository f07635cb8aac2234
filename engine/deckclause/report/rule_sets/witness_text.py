"""What was read in the book itself, as text: a few lines under standing, or all of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from textwrap import wrap

from deckclause.answers.witness.tally import Tally


def tally_line(tally: Tally) -> str:
    """Say in one sentence how much of a rule set was read in the book, and what is not settled."""
    names = ", ".join(f"{r.name} ({r.last_day})" for r in tally.readers)
    words = (
        f"{tally.ruleset}: {tally.as_shown} of {tally.all} read in the book as the rules have them, "
        f"{tally.twice} of them by two people or more; read by {names}."
    )
    if tally.otherwise:
        words += f" {len(tally.otherwise)} READ OTHERWISE, not settled."
    if tally.disagree:
        words += f" {len(tally.disagree)} on which readers disagree."
    if tally.moved:
        words += f" {len(tally.moved)} to be read again: changed here since."
    return words


def tally_lines(tallies: Sequence[Tally], width: int) -> Iterator[str]:
    """Yield the sentence of each rule set somebody read."""
    if tallies:
        yield ""
        yield "READ IN THE BOOK (clauses, exceptions and table cells)"
    for tally in tallies:
        yield from wrap(tally_line(tally), width, initial_indent="  ", subsequent_indent="    ")


def review_lines(tally: Tally, width: int) -> Iterator[str]:
    """Yield all that was found: by whom, what differs, what readers disagree on."""
    yield from wrap(tally_line(tally), width, subsequent_indent="  ")
    for reader in tally.readers:
        counts = ", ".join(f"{number} {seen}" for seen, number in reader.counts)
        yield from wrap(f"{reader.name}, {reader.printing}: {counts}", width,
                        initial_indent="  ", subsequent_indent="    ")  # fmt: skip
    heads = (
        ("READ OTHERWISE THAN THE RULES HAVE IT (mend the rules, or read again)", tally.otherwise),
        ("READERS DISAGREE", tally.disagree),
        ("NOT FOUND IN THE BOOK", tally.not_found),
        ("READ BEFORE IT WAS CHANGED HERE", tally.moved),
    )
    for head, entries in heads:
        if entries:
            yield ""
            yield head
        for entry in entries:
            yield from wrap(entry, width, initial_indent="  ", subsequent_indent="    ")
