"""What may stand in a request file, checked by pydantic and published as JSON Schema.

Only what the applicant writes stands here. What the engine works out (sections, requirements,
values, shortfalls, precedents) is worked out afresh each time, so that it can never be stale.
"""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from deckclause.rulesets.file_models import Entry
from deckclause.rulesets.relief_models import YesNo

State = Literal[
    "draft", "filed", "accepted complete", "returned", "in review", "approved",
    "approved with conditions", "denied", "appealed", "closed", "withdrawn", "expired",
]  # fmt: skip
ATTACHMENT_KINDS = (
    "plan", "drawing", "photo", "calculation", "test report", "evaluation report", "product data",
    "letter", "other",
)  # fmt: skip
Words = str | None


class Person(Entry):
    """A person or firm."""

    name: Words = Field(default=None, description="Name.")
    contact: Words = Field(default=None, description="Address, telephone, e-mail.")


class Applicant(Person):
    """Who asks."""

    role: Words = Field(
        default=None, description="Owner, agent, architect or engineer, attorney, builder."
    )


class Designer(Person):
    """Who designed it."""

    licence: Words = Field(default=None, description="Licence and number, if any.")


class Project(Entry):
    """The work."""

    new_or_existing: Words = Field(default=None, description="New work, or an existing deck.")
    description: Words = Field(default=None, description="What is built, in a few lines.")
    occupancy: Words = Field(default=None, description="Use of the building.")
    building_history: Words = Field(default=None, description="When built, earlier work, permits.")


class Equivalence(Entry):
    """Why it is at least equivalent, one answer a test."""

    quality: Words = Field(default=None, description="In quality.")
    strength: Words = Field(default=None, description="In strength.")
    effectiveness: Words = Field(default=None, description="In effectiveness.")
    fire_resistance: Words = Field(default=None, description="In fire resistance.")
    durability: Words = Field(default=None, description="In durability.")
    safety: Words = Field(default=None, description="In safety.")


class Item(Entry):
    """One provision from which relief is asked. The applicant's words; figures are computed."""

    clause: str = Field(description="The clause's key in the rule set.")
    part: Words = Field(default=None, description="The part of the deck, where there are several.")
    location_on_plan: Words = Field(default=None, description="Where on the plan it is.")
    how_code_applies: Words = Field(default=None, description="How the provision applies here.")
    why_impractical: Words = Field(
        default=None, description="Why the letter of the code is impractical here."
    )
    special_condition: Words = Field(
        default=None, description="What is special to this one case; nature and extent."
    )
    proposal: Words = Field(default=None, description="What is proposed instead.")
    intent: Words = Field(default=None, description="How the intent of the code is kept.")
    equivalence: Equivalence = Field(
        default_factory=Equivalence, description="Why it is at least equivalent."
    )
    mitigation: Words = Field(
        default=None, description="What protects health, safety and structure instead."
    )
    ground: Words = Field(default=None, description="The ground relied on, where one is needed.")
    ground_argument: Words = Field(default=None, description="The argument on that ground.")
    alternatives_considered: Words = Field(
        default=None, description="Ways to comply that were considered, and why not taken."
    )
    hardship: Words = Field(default=None, description="Costs and hardship, where they count.")
    evidence: list[str] = Field(
        default_factory=list, description="Ids of attachments that bear it out."
    )


class Attachment(Entry):
    """One paper that goes with the request."""

    id: str = Field(description="A short name, such as A1.")
    title: str = Field(description="What it is.")
    kind: Words = Field(
        default=None,
        description=f"One of: {', '.join(ATTACHMENT_KINDS)}.",
    )
    file: Words = Field(
        default=None,
        description="A picture of it (PNG or JPEG), or its PDF, to bind in, from where this file stands.",
    )
    caption: Words = Field(default=None, description="What the picture or sheet shows.")


class Sheet(Entry):
    """What the title block of the drawings says."""

    drawn_by: Words = Field(default=None, description="Who drew the sheet.")
    checked_by: Words = Field(default=None, description="Who checked it.")
    date: Words = Field(default=None, description="The date of the drawing.")
    revisions: Words = Field(default=None, description="Its revisions, with their dates.")


class Fee(Entry):
    """The fee."""

    basis: Words = Field(default=None, description="How it is worked out, by the local schedule.")
    paid: Words = Field(default=None, description="When and how it was paid.")


class Declarations(Entry):
    """What the applicant declares; signatures are given by hand on the built request."""

    owner_consent: YesNo = Field(default="no", description="The owner agrees to the request.")
    statement_of_truth: YesNo = Field(
        default="no",
        description="What is written is true to the best of the applicant's knowledge.",
    )


class RequestFile(Entry):
    """A request for relief: whose, on what, and the applicant's own words."""

    request: Literal["1"] = Field(description="The format of this file.")
    kind: str = Field(description="The kind of relief asked for.")
    form: str = Field(description="The pattern of form it follows.")
    local: Words = Field(default=None, description="The place whose settings hold.")
    under: str = Field(description="The rule set: Place@date, or an edition.")
    design: str = Field(description="The design file, from where this file stands.")
    design_digest: str = Field(description="sha256 of the design when this was written.")
    rule_set_digest: str = Field(description="sha256 of the rule set when this was written.")
    state: State = Field(default="draft", description="How far the request has come.")
    with_changes: dict[str, str] = Field(
        default_factory=dict, description="Measures set differently from the design file."
    )
    look_again: list[str] = Field(
        default_factory=list,
        description="Answers to be read again since the design or the rules changed.",
    )
    date: Words = Field(default=None, description="The date of the request.")
    why_not: dict[str, Words] = Field(
        default_factory=dict,
        description="Why each change that would avoid relief is not made, by the change.",
    )
    number: Words = Field(default=None, description="The office's number for it.")
    permit_number: Words = Field(default=None, description="The building permit's number.")
    case_type: Words = Field(default=None, description="Routine, board or appeal case.")
    decision_appealed: Words = Field(
        default=None, description="The decision appealed from, and its date."
    )
    address: Words = Field(default=None, description="Where the work is.")
    parcel: Words = Field(default=None, description="Parcel or tax number.")
    summary: Words = Field(default=None, description="What is asked for and why, in short.")
    owner: Person = Field(default_factory=Person, description="The owner.")
    applicant: Applicant = Field(default_factory=Applicant, description="Who asks.")
    designer: Designer = Field(default_factory=Designer, description="Who designed it.")
    official: Person = Field(default_factory=Person, description="The official or board.")
    project: Project = Field(default_factory=Project, description="The work.")
    drawing: Sheet = Field(
        default_factory=Sheet, description="What the title block of the drawings says."
    )
    fee: Fee = Field(default_factory=Fee, description="The fee.")
    conditions: list[str] = Field(
        default_factory=list, description="Conditions offered, one an entry."
    )
    expires: Words = Field(default=None, description="When the relief ends if it is not used.")
    office_log: Words = Field(
        default=None, description="The office's log of decisions, from where this file stands."
    )
    items: list[Item] = Field(min_length=1, description="The provisions, one an item.")
    attachments: list[Attachment] = Field(default_factory=list, description="What goes with it.")
    declarations: Declarations = Field(
        default_factory=Declarations, description="What the applicant declares."
    )
