"""What may stand in the vocabulary files: quantities, datums, topics, sources."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from deckclause.rulesets.file_models import Entry, Truth


class QuantityField(Entry):
    """One quantity of the vocabulary."""

    kind: Literal[
        "length", "area", "load", "force", "line_load", "angle", "count", "ratio",
        "choice", "yes_no", "text", "date",
    ] = Field(description="What sort of value it takes.")  # fmt: skip
    says: str = Field(description="What it is.")
    ask: str = Field(description="The question to ask when it is not known.")
    called: str = Field(
        default="",
        description="What a builder calls it, in the singular and without an article; else the "
        "group's word and the rest of its name.",
    )
    said: dict[str, str] = Field(
        default_factory=dict,
        description="For a choice, or for yes and no: the plain sentence that says so, without a "
        "capital or a full stop.",
    )
    unit: str = Field(default="", description="The unit it is printed in, where not the usual one.")
    choices: list[str] = Field(default_factory=list, description="The choices, for a choice.")
    of: str = Field(default="", description="The part of the deck that may stand several times.")
    signed: Truth = Field(default=False, description="May be negative.")
    provided: Truth = Field(default=False, description="Given by a clause or a jurisdiction.")
    derived: str = Field(default="", description="The function that computes it from others.")
    fixed_by_place: Truth = Field(
        default=False, description="A jurisdiction may fix it, in place of the design's value."
    )


class GroupField(Entry):
    """A part of the deck."""

    title: str
    many: Truth = False
    called: str | None = Field(
        default=None, description="The word before its quantities' names; else the group's name."
    )


class DatumField(Entry):
    """An edge or line."""

    axis: Literal["vertical", "along"]
    says: str


class QuantitiesFile(Entry):
    """The vocabulary of quantities and datums."""

    groups: dict[str, GroupField]
    quantities: dict[str, QuantityField]
    datums: dict[str, DatumField]


class TopicField(Entry):
    """One concordance topic."""

    title: str
    part: str
    question: str
    unit: str = ""
    answered_by: tuple[str, ...] = ()


class TopicsFile(Entry):
    """The concordance topics, grouped by part of the deck."""

    parts: dict[str, str]
    topics: dict[str, TopicField]


class SourceField(Entry):
    """One published source."""

    title: str
    publisher: str = ""
    year: str | int | None = None
    address: str | None = None
    kind: str = "other"
    seen: str = ""
    reach: Literal["direct", "mirror", "draft", "secondary"] = "secondary"


class SourcesFile(Entry):
    """Every published source, once, by a short id."""

    sources: dict[str, SourceField]
