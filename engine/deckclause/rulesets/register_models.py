"""What may stand in the register of places, checked by pydantic and published as JSON Schema."""

from __future__ import annotations

from typing import Literal

from pydantic import Field, model_validator

from deckclause.rulesets.file_models import DateText, Entry, Truth


class AdoptionField(Entry):
    """One adoption: which edition, which amendments, from when until when."""

    edition: str = Field(description="The rule set adopted.")
    amendments: list[str] = Field(default_factory=list, description="Its amendments, in order.")
    ordinance: str = Field(default="", description="The adopting ordinance.")
    begins: DateText | None = Field(default=None, alias="from", description="First day in force.")
    seen_in_force: DateText | None = Field(
        default=None,
        description="Where the first day is not known: a day on which it was seen in force.",
    )
    ends: DateText | None = Field(
        default=None, alias="until", description="First day no longer in force (repeal)."
    )
    sunset: DateText | None = Field(
        default=None, description="First day no longer in force, where it ends by its own terms."
    )
    emergency: Truth = Field(default=False, description="Whether it is an emergency ordinance.")
    announced: list[DateText] = Field(
        default_factory=list, description="Days it was announced for and put back from."
    )
    either: str = Field(
        default="",
        description="While the code before may be used as well: on which condition. The code "
        "before ends (`until`) on the day that stops.",
    )
    path: str = Field(
        default="",
        pattern=r"^[a-z0-9-]*$",
        description="One of several ways to comply that may not be mixed: its short name.",
    )
    decides: Literal["", "application", "complete drawings", "permit", "work"] = Field(
        default="", description="Which day decides which code a job stands under."
    )
    approved: str = Field(
        default="",
        description="Who gave leave for what departs from the larger place's code, and when.",
    )
    transition: str = Field(default="", description="What becomes of permits under way.")
    lets_fall: list[str] = Field(
        default_factory=list,
        description="Rules of earlier or larger codes that are knowingly given up: clause keys or "
        "quantities.",
    )

    @model_validator(mode="after")
    def one_first_day(self) -> AdoptionField:
        """Say either the first day in force or a day it was seen in force."""
        if (self.begins is None) == (self.seen_in_force is None):
            raise ValueError("needs `from`, or `seen_in_force` where the first day is not known")
        if self.ends is not None and self.sunset is not None:
            raise ValueError("ends once: `until` (repealed) or `sunset` (by its own terms)")
        return self


class PlaceField(Entry):
    """A jurisdiction and what it has adopted."""

    within: str | None = Field(
        default=None, description="The larger place whose amendments this one inherits."
    )
    says: str = Field(default="", description="What a reader should know of the place.")
    invented: Truth = Field(default=False, description="True for a demonstration place.")
    as_read: Truth = Field(
        default=False,
        description="True where a real place's law is held only as far as somebody read it, not kept "
        "by the place: every answer says to check with its office.",
    )
    local: Literal[
        "",
        "not at all",
        "by statute only",
        "with approval",
        "stricter only",
        "the strictest governs",
    ] = Field(default="", description="How far places within it may depart from its code.")
    findings: str = Field(
        default="",
        description="What findings a place within it must state to depart from its code.",
    )
    adoptions: list[AdoptionField] = Field(default_factory=list, description="In order of date.")


class RegisterFile(Entry):
    """Which place uses which edition with which amendments over which dates."""

    places: dict[str, PlaceField] = Field(description="Places by name.")
