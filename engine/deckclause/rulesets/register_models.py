"""What may stand in the register of places, checked by pydantic and published as JSON Schema."""

from __future__ import annotations

from pydantic import Field

from deckclause.rulesets.file_models import DateText, Entry


class AdoptionField(Entry):
    """One adoption: which edition, which amendments, from when until when."""

    edition: str = Field(description="The rule set adopted.")
    amendments: list[str] = Field(default_factory=list, description="Its amendments, in order.")
    ordinance: str = Field(default="", description="The adopting ordinance.")
    begins: DateText = Field(alias="from", description="First day in force.")
    ends: DateText | None = Field(
        default=None, alias="until", description="First day no longer in force (repeal)."
    )


class PlaceField(Entry):
    """A jurisdiction and what it has adopted."""

    within: str | None = Field(
        default=None, description="The larger place whose amendments this one inherits."
    )
    says: str = Field(default="", description="What a reader should know of the place.")
    invented: bool = Field(default=False, description="True for a demonstration place.")
    adoptions: list[AdoptionField] = Field(default_factory=list, description="In order of date.")


class RegisterFile(Entry):
    """Which place uses which edition with which amendments over which dates."""

    places: dict[str, PlaceField] = Field(description="Places by name.")
