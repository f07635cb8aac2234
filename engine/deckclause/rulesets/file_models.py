"""What may stand in a rule file, checked by pydantic and published as JSON Schema.

Descriptions are written for a code official: editors show them while a person types.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Discriminator,
    Field,
    Tag,
    model_validator,
)

Standing = Literal["confirmed", "derived", "memory", "common practice"]
Between = Literal["exact", "next_larger", "next_smaller", "interpolate"]
DateText = Annotated[
    str, Field(pattern=r"^\d{4}-\d{2}-\d{2}$", description="A date, as 2024-05-01.")
]
AdoptedText = Annotated[
    str,
    Field(
        pattern=r"^(\d{4}-\d{2}-\d{2}|draft|on a day not seen)$",
        description="The day it was adopted, as 2024-05-01; `draft` until then; `on a day not seen` "
        "where it is in force and the day is not known.",
    ),
]
Key = Annotated[
    str, Field(pattern=r"^[a-z][a-z0-9_]*(\.[a-z0-9_]+)*$", description="A stable name.")
]
ConditionField = Annotated[
    dict[str, Any],
    Field(
        json_schema_extra={"x-deckclause": "condition"},
        description="Quantities and what each must be: a value, a list of values, or bounds "
        "(at_least, more_than, at_most, less_than). Joined by all, any, not.",
    ),
]


def _true_or_false(value: Any) -> Any:
    if isinstance(value, str) and value not in ("true", "false"):
        raise ValueError(f"'{value}' is neither true nor false; write one of them")
    return value


Truth = Annotated[bool, BeforeValidator(_true_or_false)]
"""A yes or no of a file's own, as it is read: any other spelling would be taken for false."""


class Entry(BaseModel):
    """Shared settings: a misspelt key is an error."""

    model_config = ConfigDict(extra="forbid", frozen=True)


def _value_tag(value: Any) -> str:
    if isinstance(value, dict):
        for key in ("by", "table", "cases", "share_of", "reads"):
            if key in value:
                return key
        return "arithmetic"
    return "text"


class ByField(Entry):
    """A figure that depends on a choice, such as the ledger's size."""

    by: str = Field(description="The choice the figure depends on.")
    values: dict[str, ValueField] = Field(description="The figure for each choice.")


class CaseField(Entry):
    """One case of several: when it holds, and its figure."""

    when: ConditionField
    value: ValueField


class CasesField(Entry):
    """The figure of the first case that holds."""

    cases: list[CaseField] = Field(description="Cases in order; the first that holds counts.")


class TableField(Entry):
    """A figure read from a table of this rule set."""

    table: str = Field(description="The table's name under `tables`.")
    fixed: dict[str, str] = Field(
        default_factory=dict,
        description="Axes read at a fixed key instead of the design's value.",
    )


class ShareField(Entry):
    """A share of a quantity: one quarter of the joist span."""

    share_of: str = Field(description="The quantity.")
    share: str = Field(description="The share, as 1/4.")


class ReadsField(Entry):
    """The value of a quantity itself."""

    reads: str = Field(description="The quantity.")


class ArithmeticField(Entry):
    """A figure computed from others."""

    sum: list[ValueField] | None = None
    product: list[ValueField] | None = None
    least: list[ValueField] | None = None
    greatest: list[ValueField] | None = None
    minus: list[ValueField] | None = None

    @model_validator(mode="after")
    def _one(self) -> ArithmeticField:
        forms = (self.sum, self.product, self.least, self.greatest, self.minus)
        given = [v for v in forms if v is not None]
        if len(given) != 1 or not given[0]:
            raise ValueError(
                "one of sum, minus, product, least, greatest, with its parts, is needed"
            )
        if self.minus is not None and len(self.minus) < 2:
            raise ValueError("minus needs a figure and what is taken from it")
        return self


ValueField = Annotated[
    Annotated[str, Tag("text")]
    | Annotated[ByField, Tag("by")]
    | Annotated[TableField, Tag("table")]
    | Annotated[CasesField, Tag("cases")]
    | Annotated[ShareField, Tag("share_of")]
    | Annotated[ReadsField, Tag("reads")]
    | Annotated[ArithmeticField, Tag("arithmetic")],
    Discriminator(_value_tag),
]


class CellField(Entry):
    """What is to be said of one cell of a table."""

    at: list[str] = Field(description="The cell: one key for each axis, in the table's order.")
    standing: Standing | None = Field(default=None, description="The cell's own standing.")
    sources: list[str] = Field(default_factory=list, description="Where the cell was seen.")
    also: str | None = Field(
        default=None,
        description="Another figure that has been given for the cell; the stricter is in the table.",
    )
    why: str = Field(default="", description="Why the two differ, or what to know of the cell.")


class TableDefinition(Entry):
    """A printed table, laid out as the book prints it."""

    title: str = Field(description="What the table gives, in our own words.")
    cites: str = Field(description="The table's number in the code.")
    by: list[str] = Field(
        min_length=1,
        description="The quantities that lead into the table; the last runs along the columns.",
    )
    between: dict[str, Between] = Field(
        default_factory=dict,
        description="For a measured axis: what happens between its keys (exact, next_larger, "
        "next_smaller, interpolate). Beyond the last key: engineering.",
    )
    columns: list[str] = Field(min_length=1, description="The keys of the last axis.")
    cells: Any = Field(
        description="Rows as printed: nested by key, each ending in a list of one figure a column. "
        "`not permitted` and `not seen` may stand for a figure."
    )
    standing: Standing = Field(description="The standing of the cells not named below.")
    sources: list[str] = Field(description="Where the table's figures were seen.")
    notes: list[CellField] = Field(
        default_factory=list, description="Cells with their own standing."
    )


class DistanceField(Entry):
    """A distance between two edges or lines."""

    start: str = Field(alias="from", description="The datum measured from.")
    end: str = Field(alias="to", description="The datum measured to (downward, or along).")


class RequirementFields(Entry):
    """What a clause asks: exactly one form."""

    limit: str | None = Field(default=None, description="The quantity the limit is set on.")
    distance: DistanceField | None = Field(default=None, description="Or the distance.")
    at_least: ValueField | None = Field(default=None, description="The least that complies.")
    at_most: ValueField | None = Field(default=None, description="The most that complies.")
    exactly: ValueField | None = Field(default=None, description="The only value that complies.")
    one_of: list[str] | None = Field(default=None, description="The choices that comply.")
    must_be: ConditionField | None = Field(default=None, description="What must hold.")
    not_permitted: ConditionField | None = Field(default=None, description="What must not hold.")
    provides: str | None = Field(
        default=None, description="The quantity this clause gives a value to, for others to read."
    )
    value: ValueField | None = Field(default=None, description="The value provided.")
    engineering: str | None = Field(
        default=None, description="Always outside what the code prescribes; the reason."
    )
    unmodelled: str | None = Field(
        default=None,
        description="The clause could not be expressed; the reason, and where to read.",
    )
    informs: str | None = Field(
        default=None,
        description="Information only, such as where relief is asked for; asks nothing of a design.",
    )

    @model_validator(mode="after")
    def _one_form(self) -> RequirementFields:
        bounds = [self.at_least, self.at_most, self.exactly, self.one_of]
        has_bound = any(b is not None for b in bounds)
        forms = {
            "limit": self.limit is not None or self.distance is not None,
            "must_be": self.must_be is not None,
            "not_permitted": self.not_permitted is not None,
            "provides": self.provides is not None,
            "engineering": self.engineering is not None,
            "unmodelled": self.unmodelled is not None,
            "informs": self.informs is not None,
        }
        given = [name for name, present in forms.items() if present]
        if len(given) > 1:
            raise ValueError(f"only one of {', '.join(given)} may stand in one clause")
        if self.limit is not None and self.distance is not None:
            raise ValueError("limit and distance may not stand together")
        if forms["limit"] and not has_bound:
            raise ValueError("a limit needs at_least, at_most, exactly or one_of")
        if self.provides is not None and self.value is None:
            raise ValueError("provides needs a value")
        return self


class ExceptionField(RequirementFields):
    """An exception: when it fires, what it asks instead."""

    when: ConditionField = Field(description="When the exception fires.")
    waived: Truth = Field(default=False, description="The requirement is lifted altogether.")
    cites: str = Field(default="", description="The exception's own place in the code.")
    says: str = Field(default="", description="The exception in our own words.")
    standing: Standing | None = Field(
        default=None,
        description="Its own standing; memory where none is stated, whatever the clause's is.",
    )
    sources: list[str] = Field(default_factory=list, description="Where it was seen.")


def _exception_tag(value: Any) -> str:
    return "a name" if isinstance(value, str) else "an exception"


ExceptionEntry = Annotated[
    Annotated[Key, Tag("a name")] | Annotated[ExceptionField, Tag("an exception")],
    Discriminator(_exception_tag),
]


class ReadingField(RequirementFields):
    """Another way the clause has been read; the stricter governs, both are shown."""

    says: str = Field(description="The other reading in our own words.")
    standing: Standing = Field(description="The standing of the other reading.")
    sources: list[str] = Field(default_factory=list, description="Who reads it so.")


class ClauseBody(RequirementFields):
    """A clause without its key: what an amendment may replace."""

    topic: str | None = Field(default=None, description="The concordance topic.")
    cites: str | None = Field(default=None, description="Section, table, note or figure numbers.")
    says: str | None = Field(default=None, description="The clause in one line of our own words.")
    applies: ConditionField | None = Field(default=None, description="When the clause applies.")
    scope: ConditionField | None = Field(
        default=None, description="Where the prescribed figures hold; outside: engineering."
    )
    scope_says: str | None = Field(default=None, description="The scope in our own words.")
    unless: list[ExceptionEntry] | None = Field(
        default=None,
        description="Exceptions: each written out, or the name of one under the file's `exceptions`.",
    )
    readings: list[ReadingField] | None = Field(default=None, description="Other readings.")
    standing: Standing | None = Field(
        default=None,
        description="confirmed: seen in a named published source. derived: computed, rule named. "
        "memory: unverified. common practice: a trade fact.",
    )
    sources: list[str] | None = Field(default=None, description="Source ids of rules/sources.yaml.")
    note: str | None = Field(default=None, description="What a reader should know of the clause.")
    never_relax: str | None = Field(
        default=None, description="Why relief from this clause is never to be proposed."
    )
    assumes: dict[str, str] | None = Field(
        default=None, description="Values of other quantities the figures were made for."
    )


class ClauseField(ClauseBody):
    """One clause of a rule set."""

    key: Key = Field(description="Stable across editions where the rule is the same rule.")
    topic: str
    cites: str
    says: str
    standing: Standing
    sources: list[str] = Field(min_length=1)


class RangeField(Entry):
    """A range of sections changed at once, from one to another, what stands under the last included."""

    start: str = Field(alias="from", description="The first section of the range.")
    end: str = Field(alias="to", description="The last section of the range.")
    struck: Truth = Field(
        default=False,
        description="Whether the range is struck and nothing takes its place. Else it is replaced: "
        "what no other change of this file deals with is not settled.",
    )


OPERATIONS = (
    "replace",
    "strike",
    "add",
    "set",
    "cells",
    "drop",
    "range",
    "not_adopted",
    "renumber",
)


class ChangeField(Entry):
    """One change: one of replace, strike, add, set, cells, drop, range, not_adopted, renumber."""

    section: str = Field(default="", description="Where in the ordinance the change stands.")
    says: str = Field(default="", description="The change and its reason in our own words.")
    replace: Key | None = Field(default=None, description="The clause changed.")
    strike: Key | None = Field(default=None, description="The clause struck.")
    add: ClauseField | None = Field(default=None, description="A clause added.")
    set: dict[str, str] | None = Field(
        default=None, description="Values the place fixes, such as ground snow load."
    )
    cells: str | None = Field(default=None, description="The table whose cells are changed.")
    drop: Key | None = Field(
        default=None, description="The clause of which exceptions or choices are taken out."
    )
    exceptions: list[int] | None = Field(
        default=None, description="Of `drop`: its exceptions taken out, counted from 1."
    )
    choices: list[str] | None = Field(
        default=None, description="Of `drop`: what it allows no longer, of its `one_of`."
    )
    range: RangeField | None = Field(
        default=None, description="A range of sections struck or replaced at once."
    )
    not_adopted: list[str] | None = Field(
        default=None,
        description="Adopted except: chapters, sections, tables, items that are not adopted.",
    )
    renumber: dict[str, str] | None = Field(
        default=None, description="Sections and the numbers they have here."
    )
    standing: Standing | None = Field(
        default=None, description="Of what is struck: how well that is known, if not as the file."
    )
    sources: list[str] | None = Field(
        default=None, description="Of what is struck: where that was seen, if not as the file."
    )
    fingerprint: str | None = Field(
        default=None,
        description="Fingerprint of the clause or table as it was when this was written.",
    )
    to: ClauseBody | None = Field(default=None, description="What replaces it; the rest stays.")
    figures: list[CellChange] | None = Field(default=None, description="The cells changed.")
    cites: str | None = Field(default=None, description="The code section the place names.")
    text: str = Field(
        default="",
        description="The words the ordinance enacts here, as the place itself writes them; its "
        "papers print them. Never words of a code book.",
    )

    @model_validator(mode="after")
    def _one_change(self) -> ChangeField:
        given = [name for name in OPERATIONS if getattr(self, name) is not None]
        if len(given) != 1:
            raise ValueError(f"a change is exactly one of {', '.join(OPERATIONS)}")
        if self.drop is not None and not (self.exceptions or self.choices):
            raise ValueError("drop needs `exceptions` or `choices`: what is taken out")
        if self.replace is not None and self.to is None:
            raise ValueError("replace needs `to`: what the clause says now")
        if self.cells is not None and not self.figures:
            raise ValueError("cells needs `figures`: which cells, and what they say now")
        return self


class CellChange(Entry):
    """One cell of a table, and its new figure."""

    at: list[str] = Field(description="The cell: one key for each axis, in the table's order.")
    figure: str = Field(description="The new figure.")


class ProvisionField(Entry):
    """A provision without a figure of decks: kept as text, printed, asked of no design."""

    section: str = Field(default="", description="Where in the ordinance it stands.")
    title: str = Field(description="What it is about: fees, posting, inspections, a permit's term.")
    text: str = Field(description="What it says, in the place's own words.")


class PapersField(Entry):
    """What the ordinance as a paper says beyond its changes; what is not given is left empty."""

    body: str = Field(default="", description="Who enacts it.")
    authority: str = Field(default="", description="Under which statute it is enacted.")
    findings: list[str] = Field(
        default_factory=list, description="The findings it rests on, where the law asks for them."
    )
    effective: str = Field(default="", description="When it comes in force, in its own words.")
    transition: str = Field(default="", description="What becomes of permits under way.")
    repeals: str = Field(default="", description="What it repeals, or that it repeals nothing.")
    contact: str = Field(default="", description="Whom a builder asks; the handout prints it.")


class AmendmentFile(Entry):
    """What one jurisdiction changes in one edition."""

    amendment: Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9-]*$", description="Stable id.")]
    kind: Literal["amendment"] = "amendment"
    title: str = Field(description="Title, in full.")
    place: str = Field(description="The jurisdiction, as in rules/register.yaml.")
    edition: str = Field(description="The rule set it amends.")
    ordinance: str = Field(description="The ordinance, rule or resolution.")
    adopted: AdoptedText
    says: str = Field(default="", description="What a reader should know of it.")
    standing: Standing = Field(default="confirmed", description="The standing of its figures.")
    sources: list[str] = Field(min_length=1, description="Source ids of rules/sources.yaml.")
    tables: dict[str, TableDefinition] = Field(
        default_factory=dict, description="Tables of its own, for the clauses it adds or replaces."
    )
    changes: list[ChangeField] = Field(min_length=1, description="The changes, in order.")
    provisions: list[ProvisionField] = Field(
        default_factory=list, description="What it provides besides, kept as text."
    )
    papers: PapersField | None = Field(
        default=None, description="What its papers say beyond the changes."
    )


for _model in (
    ByField, CaseField, CasesField, ArithmeticField, RequirementFields, ExceptionField,
    ReadingField, ClauseBody, ClauseField, ChangeField, AmendmentFile,
):  # fmt: skip
    _model.model_rebuild()
