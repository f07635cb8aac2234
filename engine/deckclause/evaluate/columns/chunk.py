"""A chunk of an archive: designs as raw columns, and those that do not fit a row."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import numpy as np
from msgspec import Struct, field

from deckclause.designs.design import Design, Facts, Part
from deckclause.evaluate.columns.columns import Mask, Numbers, RawColumn, Taken
from deckclause.rulesets.clauses import Scalar
from deckclause.rulesets.vocabulary import Vocabulary


class Chunk(Struct, frozen=True):
    """Designs by row. A quantity of a repeated part is a column too: one part in a row.

    `whole` holds the designs that do not fit a row (several like parts, a part stated to be
    none, parts that name one another); the scalar evaluator takes those.
    """

    count: int
    columns: Mapping[str, RawColumn]
    whole: Mapping[int, Design] = field(default_factory=dict)

    def facts(self, row: int) -> Facts:
        """Return every fact a row states."""
        found: Facts = {}
        for name, column in self.columns.items():
            value = column.value(row)
            if value is not None:
                found[name] = value
        return found

    def design(self, row: int, vocabulary: Vocabulary) -> Design:
        """Return the design of a row, for the scalar evaluator."""
        if row in self.whole:
            return self.whole[row]
        return design_of_facts(self.facts(row), vocabulary)

    def left_whole(self) -> Mask:
        """Return a mask of the rows that hold a design that does not fit a row."""
        mask = np.zeros(self.count, bool)
        mask[list(self.whole)] = True
        return mask

    def part(self, start: int, stop: int) -> Chunk:
        """Return rows `start` to `stop` as views."""
        stop = min(stop, self.count)
        columns = {n: RawColumn(c.codes[start:stop], c.values) for n, c in self.columns.items()}
        whole = {r - start: d for r, d in self.whole.items() if start <= r < stop}
        return Chunk(stop - start, columns, whole)

    def rows(self, places: Numbers) -> Chunk:
        """Return the rows at `places`; a column is taken when it is first read."""
        columns = Taken(self.columns, lambda c: RawColumn(c.codes[places], c.values))
        whole = {
            new: self.whole[old] for new, old in enumerate(places.tolist()) if old in self.whole
        }
        return Chunk(len(places), columns, whole)


def design_of_facts(facts: Facts, vocabulary: Vocabulary, name: str = "") -> Design:
    """Sort facts into those of the whole and those of one part a group."""
    once: Facts = {}
    parts: dict[str, Facts] = {}
    for quantity, value in facts.items():
        group = quantity.partition(".")[0]
        definition = vocabulary.groups.get(group)
        if definition is not None and definition.many:
            parts.setdefault(group, {})[quantity] = value
        else:
            once[quantity] = value
    groups: dict[str, tuple[Part, ...]] = {g: (Part("", found),) for g, found in parts.items()}
    return Design(name, "", once, groups, "", "")


def fits_a_row(design: Design, vocabulary: Vocabulary) -> bool:
    """Tell whether a design is one part a group, with no part that names another."""
    if any(len(parts) != 1 or not parts[0].facts for parts in design.parts.values()):
        return False
    stated = [*design.facts, *(q for parts in design.parts.values() for q in parts[0].facts)]
    return not any(vocabulary.quantities[q].kind in ("text", "date") for q in stated)


def chunk_of_designs(designs: Sequence[Design], vocabulary: Vocabulary) -> Chunk:
    """Put designs into columns; those that do not fit a row are kept whole."""
    whole = {i: d for i, d in enumerate(designs) if not fits_a_row(d, vocabulary)}
    rows = [{} if i in whole else _flat(design) for i, design in enumerate(designs)]
    return Chunk(len(rows), _columns(rows), whole)


def _flat(design: Design) -> Facts:
    facts = dict(design.facts)
    for parts in design.parts.values():
        facts.update(parts[0].facts)
    return facts


def _columns(rows: Sequence[Mapping[str, Scalar]]) -> dict[str, RawColumn]:
    names = dict.fromkeys(name for row in rows for name in row)
    return {name: raw_column(row.get(name) for row in rows) for name in names}


def raw_column(cells: Iterable[Scalar | None]) -> RawColumn:
    """Encode values by their place in a list of distinct ones."""
    places: dict[tuple[type, Scalar], int] = {}
    codes = [
        -1 if cell is None else places.setdefault((type(cell), cell), len(places)) for cell in cells
    ]
    return RawColumn(np.array(codes, np.int32), tuple(value for _, value in places))
