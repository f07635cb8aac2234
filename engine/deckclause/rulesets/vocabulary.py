"""The vocabulary: quantities a clause may read, datums, topics, sources."""

from __future__ import annotations

from msgspec import Struct

from deckclause.quantities import (
    ANGLE,
    AREA,
    FORCE,
    LENGTH,
    LINE_LOAD,
    NUMBER,
    PRESSURE,
    Dimension,
)

MEASURES: dict[str, Dimension] = {
    "length": LENGTH,
    "area": AREA,
    "load": PRESSURE,
    "force": FORCE,
    "line_load": LINE_LOAD,
    "angle": ANGLE,
    "count": NUMBER,
    "ratio": NUMBER,
}
"""The kinds that are numbers, with their dimensions."""

KINDS = (*MEASURES, "choice", "yes_no", "text", "date")
YES = ("yes", "true")
NO = ("no", "false")
READ_IN_BOOK = "witness"
"""The kind of a source that is a person's own reading of the book."""


class QuantityDefinition(Struct, frozen=True):
    """One quantity: its kind, unit, choices, and the words for it."""

    name: str
    kind: str
    says: str
    ask: str
    unit: str = ""
    choices: tuple[str, ...] = ()
    of: str = ""
    signed: bool = False
    provided: bool = False
    derived: str = ""
    fixed_by_place: bool = False
    """A jurisdiction may fix it, where its value is read in place of the design's."""
    called: str = ""
    """What a builder calls it, without an article."""
    said: tuple[tuple[str, str], ...] = ()
    """For yes, no or a choice: the plain sentence that says so."""

    @property
    def dimension(self) -> Dimension | None:
        """The dimension of a number; None for choices, yes/no, text and dates."""
        return MEASURES.get(self.kind)


class Datum(Struct, frozen=True):
    """An edge or line a distance is measured to; `axis` is `vertical` or `along`."""

    name: str
    axis: str
    says: str


class Topic(Struct, frozen=True):
    """A concordance topic: it lines up clauses whose section numbers moved."""

    name: str
    title: str
    part: str
    question: str
    unit: str = ""
    answered_by: tuple[str, ...] = ()
    """Quantities whose value, where a clause provides it, answers the topic's question."""


class Source(Struct, frozen=True):
    """A published source, and what it was seen to show."""

    name: str
    title: str
    publisher: str
    year: str
    address: str
    kind: str
    seen: str
    reach: str


class Group(Struct, frozen=True):
    """A part of the deck that quantities belong to; `many` where a design may have several."""

    name: str
    title: str
    many: bool = False


class Vocabulary(Struct, frozen=True):
    """Everything rule sets and designs may name."""

    quantities: dict[str, QuantityDefinition]
    groups: dict[str, Group]
    datums: dict[str, Datum]
    parts: dict[str, str]
    topics: dict[str, Topic]
    sources: dict[str, Source]
    digest: str

    def called(self, name: str) -> str:
        """Return what a builder calls a quantity; a name that is none stays as it is."""
        definition = self.quantities.get(name)
        return definition.called if definition else name
