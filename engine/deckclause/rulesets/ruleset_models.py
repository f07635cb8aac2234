"""What the files of an edition or guide may hold: written clauses, groups, and what is carried."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Discriminator, Field, Tag

from deckclause.rulesets.file_models import (
    CellField,
    ClauseField,
    ConditionField,
    Entry,
    ExceptionField,
    Key,
    Standing,
    TableDefinition,
)

Fingerprint = Annotated[
    str,
    Field(
        pattern=r"^[0-9a-f]{12}$",
        description="Fingerprint of what is carried, as it was when this line was written.",
    ),
]
RuleSetId = Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9-]*$")]
Carried = Annotated[
    RuleSetId, Field(description="The rule set before, whose rule this one repeats unchanged.")
]


class CarriedException(Entry):
    """What is said anew of one exception of a carried clause: its place and its standing here."""

    cites: str = Field(default="", description="The exception's own place in this edition.")
    standing: Standing | None = Field(
        default=None, description="Its standing, if not the clause's."
    )
    sources: list[str] = Field(default_factory=list, description="Where it was seen.")


class CarriedReading(Entry):
    """What is said anew of another reading of a carried clause."""

    standing: Standing = Field(description="The standing of the other reading here.")
    sources: list[str] = Field(default_factory=list, description="Who reads it so.")


class CarriedClause(Entry):
    """A clause that is the same rule as in the rule set before: cited and witnessed anew."""

    key: Key = Field(description="The clause, by the key it has in the rule set before.")
    carried: Carried
    cites: str = Field(description="Section, table, note or figure numbers in this edition.")
    standing: Standing = Field(description="How well it is known that this edition says the same.")
    sources: list[str] = Field(min_length=1, description="Where that was seen; never inherited.")
    fingerprint: Fingerprint | None = None
    says: str | None = Field(default=None, description="The clause in words of this edition's own.")
    unless: list[CarriedException] | None = Field(
        default=None, description="Its exceptions' own places and standings, one each, in order."
    )
    readings: list[CarriedReading] | None = Field(
        default=None, description="Its other readings' standings, one each, in order."
    )
    note: str | None = Field(default=None, description="What a reader should know of the clause.")


class CarriedTable(Entry):
    """A table that has the figures of the one in the rule set before."""

    carried: Carried
    cites: str = Field(description="The table's number in this edition.")
    standing: Standing = Field(description="The standing of the cells not named below.")
    sources: list[str] = Field(min_length=1, description="Where that was seen; never inherited.")
    fingerprint: Fingerprint | None = None
    title: str | None = Field(default=None, description="Its title, where another than before.")
    notes: list[CellField] = Field(
        default_factory=list, description="Cells with their own standing."
    )


def _clause_tag(value: Any) -> str:
    """Tell what an entry is; the tags have spaces so that none is taken for a key of the file."""
    if isinstance(value, dict) and "carried" in value:
        return "a carried line"
    return "a group" if isinstance(value, dict) and "group" in value else "a clause"


def _table_tag(value: Any) -> str:
    return "a carried line" if isinstance(value, dict) and "carried" in value else "a table"


ClauseLine = Annotated[
    Annotated[ClauseField, Tag("a clause")] | Annotated[CarriedClause, Tag("a carried line")],
    Discriminator(_clause_tag),
]
TableEntry = Annotated[
    Annotated[TableDefinition, Tag("a table")] | Annotated[CarriedTable, Tag("a carried line")],
    Discriminator(_table_tag),
]


class ClauseGroup(Entry):
    """Clauses that apply under one condition, said once."""

    group: str = Field(description="What the clauses have in common, as a heading.")
    applies: ConditionField = Field(
        description="When every clause of the group applies; what a clause says itself is added."
    )
    clauses: list[ClauseLine] = Field(min_length=1, description="The clauses, in order.")


ClauseEntry = Annotated[
    Annotated[ClauseField, Tag("a clause")]
    | Annotated[CarriedClause, Tag("a carried line")]
    | Annotated[ClauseGroup, Tag("a group")],
    Discriminator(_clause_tag),
]


class InForce(Entry):
    """When an edition or guide was published."""

    published: int = Field(ge=1900, le=2200, description="Year of publication.")


class RuleSetContent(Entry):
    """What every file of a rule set may hold."""

    tables: dict[str, TableEntry] = Field(default_factory=dict, description="Its tables.")
    exceptions: dict[Key, ExceptionField] = Field(
        default_factory=dict,
        description="Exceptions several clauses of this file have, by a name their `unless` gives.",
    )
    clauses: list[ClauseEntry] = Field(
        default_factory=list,
        description="Its clauses in the book's order: written out, carried, or in groups.",
    )


class RuleSetFile(RuleSetContent):
    """An edition (a published code of a year) or a guide (published, with its own figures)."""

    ruleset: Annotated[RuleSetId, Field(description="Stable id.")]
    kind: Literal["edition", "guide", "report", "coherence"] = Field(
        description="A code edition, a published guide or the evaluation report of a product; `coherence` asks whether a deck's parts "
        "carry each other, whatever book is read."
    )
    title: str = Field(description="Title, in full.")
    publisher: str = Field(default="", description="Who publishes it.")
    in_force: InForce = Field(description="When it was published.")
    says: str = Field(default="", description="What a reader should know of this rule set.")
    warns: str = Field(
        default="",
        description="How far it has been read in print, where that is not far: told in the first "
        "lines of every report that rests on it.",
    )
    practice: dict[str, str] = Field(
        default_factory=dict,
        description="By topic: what was customary where the rule set is silent; no requirement.",
    )


class RuleSetPart(RuleSetContent):
    """A further file of a rule set kept in a folder: more tables and clauses of one topic group."""

    part_of: str = Field(description="The rule set this file belongs to.")
    says: str = Field(default="", description="What this file holds.")


for _model in (ClauseGroup, RuleSetContent, RuleSetFile, RuleSetPart):
    _model.model_rebuild()
