"""The shape of a comparison written as JSON; published as rules/schema/1/result.json."""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

Status = Literal[
    "complies",
    "not applicable",
    "information missing",
    "engineering required",
    "does not comply",
    "not regulated",
]
Standing = Literal["confirmed", "derived", "memory", "common practice"]


class Part(BaseModel):
    """Shared settings: nothing beyond what is named here."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class Measure(Part):
    """A measure, exactly and in words."""

    exact: str = Field(
        pattern=r"^-?\d+(/\d+)?$", description="A rational in inch, pound, degree units."
    )
    text: str = Field(description="As a carpenter reads it.")
    si: str = Field(description="In SI units.")


Value = Measure | str | bool | None


class Missing(Part):
    """What is not known, and the question to ask."""

    quantity: str = Field(description="The quantity's name.")
    question: str = Field(description="The question to ask.")


class FindingOrigin(Part):
    """Where a clause stands in the rule files."""

    rule_set: str = Field(description="The rule set or amendment it came from.")
    file: str = Field(description="The rule file.")
    line: int = Field(ge=0, description="The line it stands on.")
    ordinance: str | None = Field(description="The ordinance, where a place changed it.")
    section: str | None = Field(description="The ordinance's section.")
    adopted: str | None = Field(description="The day the ordinance was adopted.")


class NeighbourCount(Part):
    """The figures of one kind that the method behind an expectation was compared with."""

    of: str | None = Field(description="The kind of figure.")
    printed: int = Field(ge=0, description="Figures seen in a named source.")
    printed_met: int = Field(ge=0, description="Of them, those the method meets.")
    memory: int = Field(ge=0, description="Figures from memory, not seen in print.")
    memory_met: int = Field(ge=0, description="Of them, those the method meets.")
    snow: int = Field(ge=0, description="Of all, those for a ground snow load.")
    snow_met: int = Field(ge=0, description="Of them, those the method meets.")
    unsafe_by_in: int = Field(
        ge=0, description="By how many inches the method errs most on the unsafe side."
    )


class ExpectedResult(Part):
    """What a published method gives where print was not seen: a question, never a pass."""

    part: str | None = Field(description="The part it is for, where there are several.")
    clause: str = Field(description="The clause that would read the figure.")
    called: str | None = Field(description="What the clause limits.")
    bound: Literal["at most", "at least"] = Field(description="Which way the limit goes.")
    figure: Value = Field(description="The figure calculated; null without one.")
    permits_nothing: bool = Field(description="Whether the method permits nothing here.")
    method: str | None = Field(description="The method, in words.")
    neighbours: NeighbourCount = Field(description="The figures of its kind it meets.")
    no_expectation: str | None = Field(description="Why nothing is expected; null where it is.")
    says: str = Field(description="How far the method may be leaned on, in words.")


class FindingResult(Part):
    """One clause applied to the design."""

    clause: str = Field(description="The clause's stable key.")
    cites: str = Field(description="Where the governing words stand in the code.")
    says: str = Field(description="The governing words in our own words.")
    part: str | None = Field(description="The part it was read for, where there are several.")
    status: Status = Field(description="What became of it.")
    value: Value = Field(description="The value read, or provided.")
    least: Value = Field(description="The least that complies.")
    most: Value = Field(description="The most that complies.")
    margin: Value = Field(description="How far inside the limit; negative: how far outside.")
    values_read: dict[str, str] = Field(description="Known values the clause may read.")
    steps: list[str] = Field(description="From what was read to the status, a line each.")
    missing: list[Missing] = Field(description="What is not known.")
    expected: list[ExpectedResult] = Field(
        description="What a method gives where print was not seen; it decides nothing."
    )
    standing: Standing = Field(description="How well the figure is known.")
    sources: list[str] = Field(description="Ids of the published sources.")
    note: str | None = Field(description="What a reader should know of the clause.")
    origin: FindingOrigin = Field(description="Where the clause stands.")


class StruckClause(Part):
    """A clause a place struck."""

    clause: str = Field(description="The clause's key.")
    ordinance: str = Field(description="The ordinance that struck it.")
    place: str = Field(description="The place.")


class OutcomeResult(Part):
    """What one rule set makes of one topic."""

    rule_set: str = Field(description="The rule set's name.")
    status: Status = Field(description="The worst status of its findings.")
    governing: str | None = Field(description="The clause that decides it.")
    least: Value = Field(description="The governing clause's least.")
    most: Value = Field(description="The governing clause's most.")
    findings: list[FindingResult] = Field(description="Every clause on the topic.")
    struck: list[StruckClause] = Field(description="Clauses a place struck.")
    common_practice: str | None = Field(description="What was customary; never a requirement.")
    at_stated_load: str | None = Field(
        description="The outcome at a load the design states higher than the place; null where alike."
    )


class ShareResult(Part):
    """How much of a numeric difference one clause accounts for."""

    clause: str = Field(description="The clause's key.")
    amount: Value = Field(description="Its share.")


class ChangeResult(Part):
    """Where the outcome changes from one rule set to another, and what drives it."""

    start: str = Field(alias="from", description="The first rule set.")
    end: str = Field(alias="to", description="The second rule set.")
    drivers: list[list[str]] = Field(description="Smallest exchanges of clauses, each evaluated.")
    because: list[str] = Field(description="The drivers in words.")
    shares: list[ShareResult] = Field(description="Shares of a numeric difference.")
    considered: list[str] = Field(description="The clauses that differ and could matter.")
    complete: bool = Field(description="Whether every exchange was tried.")


class TopicResult(Part):
    """One topic under every rule set."""

    topic: str = Field(description="The topic's stable name.")
    title: str = Field(description="Its title.")
    part: str = Field(description="The part of the deck.")
    question: str = Field(description="What a reviewer would ask.")
    differs: bool = Field(description="Whether any two rule sets part.")
    outcomes: list[OutcomeResult] = Field(description="One a rule set, in order.")
    changes: list[ChangeResult] = Field(description="Where outcomes part, and why.")


class KnownResult(Part):
    """How much is known of what changed for this deck from one rule set to another."""

    start: str = Field(alias="from", description="The first rule set.")
    end: str = Field(alias="to", description="The second rule set.")
    counts: dict[str, int] = Field(description="How many topics are in each state of knowledge.")
    changed_and_read: list[str] = Field(
        description="The topics that changed and were read on both sides."
    )
    topics: dict[str, str] = Field(
        description="The state of each topic either rule set speaks on: changed, same, same as "
        "far as known, cannot be told, moved only, not decided."
    )
    words: str = Field(description="The counts in words.")


class TogetherTopic(Part):
    """One thing asked of every deck, whatever book is read."""

    topic: str = Field(description="The topic's stable name.")
    title: str = Field(description="Its title.")
    question: str = Field(description="What a reviewer would ask.")
    basis: str = Field(
        description="What its checks rest on: statics and fit, common practice, practice from "
        "memory; several parted by semicolons. Never a clause of a book."
    )
    status: Status = Field(description="The worst status of its findings.")
    findings: list[FindingResult] = Field(description="What decides it; empty where nothing does.")


class TogetherResult(Part):
    """Whether the parts stated carry each other, fit and agree, by statics and practice; no clause."""

    status: Status | Literal["not asked"] = Field(description="The worst status of its topics.")
    says: str = Field(description="The outcome in one line.")
    topics: list[TogetherTopic] = Field(description="What was asked.")


class TopicCounts(Part):
    """How many topics came to each outcome; those that only give a figure are not counted."""

    does_not_comply: int = Field(ge=0, description="Topics the design fails.")
    engineering_required: int = Field(ge=0, description="Topics that need an engineer.")
    information_missing: int = Field(ge=0, description="Topics that are not decided.")
    complies: int = Field(ge=0, description="Topics the design complies on.")
    complies_on_memory: int = Field(ge=0, description="Of these, those from memory, unverified.")


class PlaceAsked(Part):
    """Where something is asked."""

    rule_sets: list[str] = Field(description="The rule sets that ask alike, as they are called.")
    cites: list[str] = Field(description="The sections.")
    from_memory: bool = Field(description="Whether a figure there is from memory, unverified.")


class AskedResult(Part):
    """What is allowed of a fact."""

    allowed: str = Field(description="What is allowed, or why an engineer is needed, in words.")
    where: list[PlaceAsked] = Field(description="Where that is asked.")


class WaysResult(Part):
    """The ways one place gives on one day; one kept wholly is enough, none may be mixed."""

    place: str = Field(description="The place and day.")
    ways: dict[str, str] = Field(description="What becomes of the deck by each way alone.")
    kept: list[str] = Field(description="The ways it is known to keep wholly.")
    words: str = Field(description="The same in words.")


class WhatToDo(Part):
    """One fact to act on, with every topic it decides; changing it alone need not cure them all."""

    status: Status = Field(description="Whether the topics fail or need an engineer.")
    fact: str = Field(description="The fact, or the topics where no one fact decides.")
    drawn: str | None = Field(description="What the design has.")
    parts: list[str] = Field(description="The parts of the deck it is read for.")
    topics: list[str] = Field(description="The titles of the topics it decides.")
    asked: list[AskedResult] = Field(description="What is allowed, the strictest first.")


class RuleSetResult(Part):
    """One rule set, and what it makes of the design as a whole."""

    name: str = Field(description="Its name.")
    title: str = Field(description="Its title.")
    kind: Literal["edition", "guide", "report", "place"] = Field(description="What it is.")
    edition: str = Field(description="The edition it rests on.")
    status: Status = Field(description="The worst status of all findings.")
    called: str = Field(description="Its name as people read it.")
    warning: str | None = Field(description="Its own word of how far it has been read in print.")
    counts: TopicCounts = Field(description="Topics by outcome.")


class DesignResult(Part):
    """The design."""

    name: str = Field(description="What it is called.")
    says: str = Field(description="The deck in a line or two.")
    file: str = Field(description="The file it was read from.")


class LayerReceipt(Part):
    """One file, or folder of files, that went into a rule set."""

    name: str = Field(description="Its name.")
    kind: str = Field(description="Edition, guide or amendment.")
    digest: str = Field(description="sha256 of its content.")
    place: str = Field(description="The place, for an amendment.")
    ordinance: str = Field(description="The ordinance, for an amendment.")
    adopted: str = Field(description="The day of adoption, for an amendment.")


class RuleSetReceipt(Part):
    """What one rule set was made of."""

    name: str = Field(description="Its name.")
    digest: str = Field(description="sha256 of all its layers.")
    layers: list[LayerReceipt] = Field(description="What it was made of, in order.")


class Receipt(Part):
    """What a result rests on: rerun with the same and it must come out the same."""

    engine: str = Field(description="The engine's version.")
    schema_file: str = Field(alias="schema", description="The schema of this result.")
    vocabulary: str = Field(description="sha256 of the vocabulary.")
    design: str = Field(description="sha256 of the design file.")
    rule_sets: list[RuleSetReceipt] = Field(description="One a rule set, in order.")


class ComparisonResult(Part):
    """A design compared under several rule sets. Not an engineered design, not an approval."""

    result: Literal[1] = Field(description="The format of this result.")
    design: DesignResult = Field(description="The design.")
    holds_together: TogetherResult = Field(
        description="Whether the deck holds together; no outcome below stands above it."
    )
    rule_sets: list[RuleSetResult] = Field(description="The rule sets, in order.")
    ways_to_comply: list[WaysResult] = Field(
        description="Where a day lets one choose between codes or paths: which is kept wholly."
    )
    what_to_do: list[WhatToDo] = Field(description="What to act on, most pressing first.")
    topics: list[TopicResult] = Field(description="The topics.")
    known: list[KnownResult] = Field(
        description="What is known of the differences, by pair of rule sets explained."
    )
    exit_status: Literal[0, 1, 3] = Field(
        description="0 complies everywhere asked, 1 something does not, 3 undecided."
    )
    receipt: Receipt = Field(description="What the result rests on.")
    cautions: list[str] = Field(description="What the result is not.")
