"""What may stand in relief.yaml and in a request file; published as JSON Schema."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BeforeValidator, Field

from deckclause.rulesets.file_models import Entry, Standing

KindName = Literal["modification", "alternative_method", "appeal", "state_variance"]
WHOLE = r"^\d+$"


def _yes_no(value: object) -> object:
    words = {"true": "yes", "yes": "yes", "false": "no", "no": "no"}
    return words.get(value.lower(), value) if isinstance(value, str) else value


YesNo = Annotated[Literal["yes", "no"], BeforeValidator(_yes_no)]


class TestField(Entry):
    """One legal test, or one ground of several."""

    key: str = Field(description="A stable name.")
    asks: str = Field(description="The test as a question, in our own words.")
    field: str = Field(description="The field of the request that answers it.")
    hardship: YesNo = Field(default="no", description="Whether the ground is hardship or cost.")


class KindField(Entry):
    """One kind of relief: who decides, and on what tests."""

    title: str = Field(description="What it is called.")
    topic: str = Field(default="", description="The topic of the rule set's clause on it.")
    decided_by: str = Field(description="Who decides.")
    needs: Literal["every test", "one ground"] = Field(description="All tests, or one of them.")
    cannot_waive: YesNo = Field(
        default="no", description="Whether the deciding body has no power to waive a requirement."
    )
    tests: list[TestField] = Field(min_length=1, description="Its tests or grounds.")
    also_needs: list[str] = Field(default_factory=list, description="Further fields it needs.")
    standing: Standing = Field(description="How well the tests are known.")
    sources: list[str] = Field(min_length=1, description="Where they were seen.")
    note: str = Field(default="", description="What a reader should know of it.")


class OtherProcess(Entry):
    """A process of another law, named and refused."""

    title: str = Field(description="What it is called.")
    words: list[str] = Field(description="Words that tell a request belongs there.")
    says: str = Field(description="Where it belongs instead.")


class FormPart(Entry):
    """One part, statement or item of a published pattern of form."""

    key: str = Field(description="A stable name.")
    title: str = Field(description="Its title, in our own words.")
    asks: str = Field(description="What it asks for, in our own words.")
    holds: list[str] = Field(
        default_factory=list, description="Fields the applicant writes that belong here."
    )
    computed: list[str] = Field(
        default_factory=list, description="What the engine puts here (item_table, drawings, ...)."
    )


class FormField(Entry):
    """A pattern of form: which parts, and what each holds."""

    title: str = Field(description="What it is called here.")
    published_as: str = Field(description="The published rule or form it follows.")
    kinds: list[KindName] = Field(description="Kinds of relief it serves.")
    parts: list[FormPart] = Field(min_length=1, description="Its parts in order.")
    standing: Standing = Field(description="How well its items are known.")
    sources: list[str] = Field(min_length=1, description="Where they were seen.")


class ClockField(Entry):
    """One time limit of a place."""

    event: str = Field(description="What must happen in time.")
    days: str = Field(pattern=WHOLE, description="How many days.")
    counted_in: Literal["calendar days", "business days"] = Field(description="Which days count.")


class LocalField(Entry):
    """What one place asks of a request."""

    form: str = Field(description="The pattern of form it uses.")
    kinds: list[KindName] = Field(description="Kinds of relief it takes.")
    hardship_accepted: Annotated[Literal["yes", "no", "not stated"], BeforeValidator(_yes_no)] = (
        Field(description="Whether hardship or cost counts as a reason.")
    )
    clocks: list[ClockField] = Field(default_factory=list, description="Its time limits.")
    fees: str = Field(default="", description="Its fees, in our own words.")
    says: str = Field(default="", description="What a reader should know of it.")
    invented: YesNo = Field(default="no", description="Yes for a demonstration place.")
    standing: Standing = Field(description="How well this is known.")
    sources: list[str] = Field(min_length=1, description="Where it was seen.")


class ChangeMove(Entry):
    """One quantity a builder can change, in which sizes or steps, and how much work it is."""

    quantity: str = Field(description="The quantity.")
    work: Literal["measure", "size", "fasteners", "rebuild"] = Field(
        description="What a builder does: set a measure, take another size, other fasteners, rebuild."
    )
    effort: str = Field(pattern=WHOLE, description="How much work: 1 least, 12 most.")
    step: str | None = Field(default=None, description="The step a measure is set to.")
    sizes: list[str] = Field(default_factory=list, description="The sizes or choices to be had.")
    says: str = Field(description="The change in a line.")
    brings: list[str] = Field(
        default_factory=list, description="Parts and work that come with it, in words."
    )
    asks: list[str] = Field(
        default_factory=list, description="Quantities it makes a matter of, to be stated with it."
    )


class ReliefFile(Entry):
    """Asking for relief: kinds, forms, local settings, what is never relaxed, changes first."""

    kinds: dict[KindName, KindField] = Field(description="Kinds of relief.")
    other_processes: dict[str, OtherProcess] = Field(description="Processes of another law.")
    forms: dict[str, FormField] = Field(description="Published patterns of form.")
    local: dict[str, LocalField] = Field(description="What single places ask.")
    life_safety: dict[str, str] = Field(
        description="Topics on which relief is never proposed, each with its reason."
    )
    changes: list[ChangeMove] = Field(description="What a builder can change, least first.")
