"""What all who read one book found: how much is read, by how many, and where they part."""

from __future__ import annotations

from collections import Counter

from msgspec import Struct

from deckclause.answers.witness.sheet import make_sheet
from deckclause.rulesets.files import RuleFiles
from deckclause.rulesets.library import RuleLibrary
from deckclause.rulesets.ruleset import LoadedRuleSet
from deckclause.rulesets.vocabulary import Vocabulary
from deckclause.rulesets.witness import (
    AS_SHOWN,
    NOT_FOUND,
    OTHERWISE,
    BookReading,
    Item,
    WitnessRecord,
    read_records,
)


class Reader(Struct, frozen=True):
    """One person's share of the reading."""

    name: str
    printing: str
    counts: tuple[tuple[str, int], ...]
    last_day: str


class Tally(Struct, frozen=True):
    """What was read of one rule set: clauses, exceptions and cells, each counted once."""

    ruleset: str
    readers: tuple[Reader, ...]
    all: int
    """What there is to look up."""
    as_shown: int
    """Read by somebody as the rules have it, and by nobody otherwise."""
    twice: int
    """Of those, read so by two people or more."""
    otherwise: tuple[str, ...]
    """What somebody read otherwise, and the rules still have as they had it, a sentence each."""
    disagree: tuple[str, ...]
    """What two readers answered differently, a sentence each."""
    not_found: tuple[str, ...]
    moved: tuple[str, ...]
    """Clauses read before their words here were changed: to be read again."""


def tally_of(library: RuleLibrary, ruleset: str) -> Tally | None:
    """Return what was read of an edition or guide, or None where nobody read it."""
    files: RuleFiles = library.files
    records = read_records(files, ruleset)
    if not records:
        return None
    return tally(library.as_written(ruleset), library.vocabulary, records)


def tally(
    loaded: LoadedRuleSet, vocabulary: Vocabulary, records: tuple[WitnessRecord, ...]
) -> Tally:
    """Return what was read of a rule set as written."""
    sheet = make_sheet(loaded, vocabulary)
    shown = {line.item: line.fingerprint for line in sheet.clauses}
    exact = {c.item: c.exact for t in sheet.tables for row in t.rows for c in row.cells}
    cites = {line.item: line.cites for line in sheet.clauses}
    cites |= {c.item: t.table.cites for t in sheet.tables for row in t.rows for c in row.cells}
    agreed = twice = 0
    otherwise, disagree, not_found, moved = [], [], [], []
    for item in (*shown, *exact):
        told = [(r, found) for r in records if (found := r.of(item)) is not None]
        if not told:
            continue
        verdicts = [_verdict(reading, shown, exact) for _, reading in told]
        words = f"{cites[item]} [{item}]: " + "; ".join(
            f"{record.witness} {_answer(reading, verdict)} ({reading.day})"
            for (record, reading), verdict in zip(told, verdicts, strict=True)
        )
        if len({_alike(r, v) for (_, r), v in zip(told, verdicts, strict=True)}) > 1:
            disagree.append(words)
        if OTHERWISE in verdicts:
            otherwise.append(words)
        elif AS_SHOWN in verdicts:
            agreed += 1
            twice += verdicts.count(AS_SHOWN) > 1
        if NOT_FOUND in verdicts:
            not_found.append(words)
        if MOVED in verdicts:
            moved.append(words)
    return Tally(
        sheet.ruleset, tuple(map(_reader, records)), len(shown) + len(exact), agreed, twice,
        tuple(otherwise), tuple(disagree), tuple(not_found), tuple(moved),
    )  # fmt: skip


MOVED = "moved"


def _verdict(reading: BookReading, shown: dict[Item, str], exact: dict[Item, str]) -> str:
    """Tell how a reading stands to what the rules have now."""
    if reading.seen == NOT_FOUND:
        return NOT_FOUND
    if reading.item in exact:
        return AS_SHOWN if reading.figure == exact[reading.item] else OTHERWISE
    if reading.seen == AS_SHOWN:
        return AS_SHOWN if reading.fingerprint == shown[reading.item] else MOVED
    return OTHERWISE


def _alike(reading: BookReading, verdict: str) -> tuple[str, str]:
    return verdict, reading.figure or reading.what if verdict == OTHERWISE else ""


def _answer(reading: BookReading, verdict: str) -> str:
    if verdict == OTHERWISE:
        return f"read {reading.instead}"
    if verdict == MOVED:
        return "read it before it was changed here; it is to be read again"
    return "did not find it" if verdict == NOT_FOUND else "read it as shown"


def _reader(record: WitnessRecord) -> Reader:
    counts = Counter(reading.seen for reading in record.readings)
    last = max((reading.day for reading in record.readings), default="")
    order = ((seen, counts[seen]) for seen in (AS_SHOWN, OTHERWISE, NOT_FOUND))
    return Reader(record.witness, record.printing, tuple(order), last)
