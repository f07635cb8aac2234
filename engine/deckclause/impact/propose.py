"""Propose which column of a sheet says which fact, from its heading and from what stands below.

A proposal is for a person to read: where two facts could be meant, or a bare number has no unit
for certain, it is a question, and what stays open is not read.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from pathlib import Path

from msgspec import Struct, field

from deckclause.impact.cells import BARE_NUMBER, UNKNOWN, CellError, CellReader, Column, cell_text
from deckclause.impact.headings import NAMES_A_ROW, SAID, UNCLEAR, heading_words, likely
from deckclause.impact.read import Archive
from deckclause.impact.sheets import Form
from deckclause.rulesets.vocabulary import QuantityDefinition, Vocabulary

ROWS_LOOKED_AT = 20_000
UNDERSTOOD = 0.5
"""A heading's fact is proposed where so much of what stands below can be read as it."""
BY_VALUES = 0.8
"""Where a heading says nothing, facts are candidates that so much of the cells can be read as."""
MOST_CANDIDATES = 4
ASKED_OF_ALL: dict[str, str] = {
    "deck.attachment": "",
    "deck.use": "",
    "wall.structure": "fasteners",
    "wall.sheathing_kind": "fasteners",
    "wall.sheathing_thickness": "fasteners",
    "wall.gap_to_sheathing": "fasteners",
    "wall.drainage_washer_stack": "fasteners",
    "band_joist.kind": "fasteners",
    "band_joist.size": "fasteners",
    "band_joist.species": "fasteners",
    "joists.species": "joists",
    "joists.grade": "joists",
    "joists.cantilever": "joists",
    "guards.installed": "guards",
}
"""Facts many topics wait for and few offices write down, as all their decks are alike there; asked
where a column says something of the part."""
UNITS: dict[str, tuple[str, ...]] = {
    "length": ("in", "ft"),
    "load": ("psf",),
    "force": ("lb",),
    "area": ("sq ft",),
    "angle": ("deg",),
}
"""Units a bare number may be in, by kind of quantity."""


class Proposal(Struct, frozen=True):
    """What one column may say. `fact` is "" where that is open; then `candidates` may be it.

    `unit` is that of bare numbers: "" where there are none, "?" where it is open. `why` is a
    remark for the person who reads it. `not_understood` are cells with how often they stand.
    """

    heading: str
    fact: str = ""
    candidates: tuple[str, ...] = ()
    unit: str = ""
    why: str = ""
    not_understood: tuple[tuple[str, int], ...] = ()
    cells: int = 0


class Answers(Struct):
    """What a person answered: by heading the fact ("-": none) or unit; by heading and cell a value."""

    facts: dict[str, str] = field(default_factory=dict)
    units: dict[str, str] = field(default_factory=dict)
    words: dict[tuple[str, str], str] = field(default_factory=dict)
    every_permit: dict[str, str] = field(default_factory=dict)


NO_FACT = "-"


class ProposedMap(Struct, frozen=True):
    """A whole sheet's proposals: the row names, the columns, and those not read."""

    path: Path
    form: Form
    rows: int
    labels: tuple[str, ...]
    columns: tuple[Proposal, ...]
    not_read: tuple[str, ...]
    asked_of_all: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()


class Looked(Struct, frozen=True):
    """What was looked at of a sheet: headings, number of rows, and below each the cells, how often."""

    headings: list[str]
    rows: int
    below: list[Counter[str]]


def look_at(archive: Archive) -> Looked:
    """Read the first rows of a sheet. Raises InputError where it is unreadable."""
    headings, rows = archive.first_rows(ROWS_LOOKED_AT)
    below = [
        Counter(cell_text(row[place]) for row in rows if place < len(row))
        for place in range(len(headings))
    ]
    return Looked(headings, len(rows), below)


def propose_map(
    archive: Archive, answers: Answers | None = None, looked: Looked | None = None
) -> ProposedMap:
    """Propose a map of a sheet, with what was answered; `looked`, where it was looked at before.

    Raises InputError where it is unreadable.
    """
    answers = answers or Answers()
    looked = looked or look_at(archive)
    headings, below = looked.headings, looked.below
    vocabulary = archive.vocabulary
    labels: list[str] = []
    columns: list[Proposal] = []
    not_read: list[str] = []
    for place, heading in enumerate(headings):
        if not heading or headings.count(heading) > 1:
            if heading:
                not_read.append(heading)
        elif heading in answers.facts:
            if answers.facts[heading] != NO_FACT:
                fact = vocabulary.quantities[answers.facts[heading]]
                columns.append(_proposed_as(heading, below[place], fact, answers))
            else:
                not_read.append(heading)
        elif _names_a_row(heading):
            labels.append(heading)
        elif found := _proposal(heading, below[place], vocabulary, answers):
            columns.append(found)
        else:
            not_read.append(heading)
    columns = _one_fact_one_column(columns)
    stated = {column.fact for column in columns}
    parts = {fact.partition(".")[0] for fact in stated} | {""}
    asked = tuple(n for n, of in ASKED_OF_ALL.items() if n not in stated and of in parts)
    notes = tuple(_repeated(labels, headings, below))
    return ProposedMap(
        archive.path,
        archive.form,
        looked.rows,
        tuple(labels),
        tuple(columns),
        tuple(dict.fromkeys(not_read)),
        asked,
        notes,
    )


def _names_a_row(heading: str) -> bool:
    words, _ = heading_words(heading.replace("#", " no "))
    return any(words == heading_words(known)[0] for known in NAMES_A_ROW)


def _repeated(
    labels: Sequence[str], headings: Sequence[str], below: Sequence[Counter[str]]
) -> Iterable[str]:
    """Say of a permit number that it stands on several rows: each row is counted."""
    for label in labels[:1]:
        often = [c for c, n in below[headings.index(label)].items() if n > 1 and c]
        if often:
            yield (
                f"{label}: {len(often)} stand on more than one row ({', '.join(often[:3])}); every "
                "row is counted as a permit"
            )


def _proposal(
    heading: str, cells: Counter[str], vocabulary: Vocabulary, answers: Answers
) -> Proposal | None:
    """Propose one column's fact; None where nothing in it looks like a fact of a deck."""
    words, unit = heading_words(heading)
    said = _said(cells)
    count = sum(said.values())
    candidates = _by_heading(words, vocabulary)
    if not candidates:
        candidates = _by_values(said, vocabulary) if said else ()
        if not candidates:
            return None
        return Proposal(heading, "", candidates, unit, "by what stands below it", (), count)
    if len(candidates) > 1:
        return Proposal(
            heading, "", candidates, unit, "the heading may mean any of them", (), count
        )
    found = _proposed_as(heading, cells, vocabulary.quantities[candidates[0]], answers)
    understood = 1 - sum(n for _, n in found.not_understood) / count if count else 1
    if understood < UNDERSTOOD:
        share = f"{100 * understood:.0f} % of its cells can be read as {found.fact}"
        return Proposal(heading, "", candidates, unit, f"only {share}", (), count)
    return found


def _said(cells: Counter[str]) -> dict[str, int]:
    return {cell: n for cell, n in cells.items() if cell.lower() not in UNKNOWN}


def _proposed_as(
    heading: str, cells: Counter[str], definition: QuantityDefinition, answers: Answers
) -> Proposal:
    """Propose a column as one fact: the unit of its bare numbers, and what cannot be read."""
    said = _said(cells)
    unit, why = answers.units.get(heading) or heading_words(heading)[1], ""
    if definition.kind not in UNITS:
        unit = ""
    elif not unit:
        unit, why = _unit_of(said, definition)
    of_cells = "" if unit == "?" else unit
    words = tuple(
        (cell.lower(), value) for (of, cell), value in answers.words.items() if of == heading
    )
    reader = CellReader(Column(definition, of_cells, words, likely(definition.name)))
    lost = [(c, n) for c, n in said.items() if isinstance(reader.read(c), CellError)]
    if unit == "?":
        lost = [(c, n) for c, n in lost if not BARE_NUMBER.match(c)]
    worst = tuple(sorted(lost, key=lambda item: (-item[1], item[0])))
    return Proposal(heading, definition.name, (), unit, why, worst, sum(said.values()))


def _by_heading(words: frozenset[str], vocabulary: Vocabulary) -> tuple[str, ...]:
    """Return the facts a heading may mean: those whose words it has most of, all in full."""
    for heading, names in UNCLEAR.items():
        if heading_words(heading)[0] == words:
            return names
    best: dict[str, int] = {}
    for name, phrases in SAID.items():
        for phrase in phrases:
            wanted = heading_words(phrase)[0]
            if wanted and wanted <= words:
                best[name] = max(best.get(name, 0), len(wanted))
    for name, definition in vocabulary.quantities.items():
        wanted = heading_words(name.replace(".", " ").replace("_", " "))[0]
        if wanted == words and not (definition.provided or definition.derived):
            best[name] = len(wanted) + 1
    most = max(best.values(), default=0)
    return tuple(name for name, score in best.items() if score == most)


def _by_values(said: dict[str, int], vocabulary: Vocabulary) -> tuple[str, ...]:
    """Return the facts that have choices like what stands below a heading that says nothing."""
    count = sum(said.values())
    found: list[tuple[float, str]] = []
    for name in SAID:
        definition = vocabulary.quantities[name]
        if definition.kind != "choice":
            continue
        reader = CellReader(Column(definition))
        read = sum(n for c, n in said.items() if not isinstance(reader.read(c), CellError))
        if read >= BY_VALUES * count:
            found.append((-read, name))
    return tuple(name for _, name in sorted(found)[:MOST_CANDIDATES])


def _unit_of(said: dict[str, int], definition: QuantityDefinition) -> tuple[str, str]:
    """Return the unit of a column's bare numbers and why, "?" where two would do or none."""
    bare = {c: n for c, n in said.items() if BARE_NUMBER.match(c) and c.strip("0.") != ""}
    if not bare:
        return "", ""
    units = UNITS[definition.kind]
    bounds = likely(definition.name)
    if bounds is None:
        return "?", f"bare numbers, such as {next(iter(bare))}: in what unit?"
    fits = {
        unit: sum(
            n
            for c, n in bare.items()
            if not isinstance(CellReader(Column(definition, unit, (), bounds)).read(c), CellError)
        )
        for unit in units
    }
    most = max(fits.values())
    best = [unit for unit, n in fits.items() if n == most and n]
    example = next(iter(bare))
    if len(best) != 1:
        return "?", f"bare numbers, such as {example}: in what unit?"
    others = [unit for unit in units if unit != best[0]]
    why = f"bare numbers, such as {example}, are read as {best[0]}"
    if others:
        why += f"; as {others[0]} they would be unlikely"
    return best[0], why


def _one_fact_one_column(columns: list[Proposal]) -> list[Proposal]:
    """Leave open every column whose fact another column says too."""
    often = Counter(column.fact for column in columns if column.fact)
    return [
        Proposal(c.heading, "", (c.fact,), c.unit, "another column says that too", (), c.cells)
        if often[c.fact] > 1
        else c
        for c in columns
    ]
