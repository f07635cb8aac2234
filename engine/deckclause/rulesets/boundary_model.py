"""What may stand in a file of boundary designs; published as rules/schema/1/boundary.json."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from deckclause.rulesets.file_models import Entry

ComesTo = Literal[
    "complies",
    "not applicable",
    "information missing",
    "engineering required",
    "does not comply",
]


class BoundaryCaseField(Entry):
    """Designs, and what one clause must make of each."""

    of: str = Field(description="The clause's key.")
    branch: str = Field(
        pattern=r"^-?\d+$",
        description="Which part of the clause governs: 0 itself, n its n-th exception, -n its n-th "
        "other reading, 1000 a value the place sets.",
    )
    comes_to: ComesTo = Field(description="What the clause must come to.")
    gives: dict[str, str] = Field(
        default_factory=dict, description="The quantity the clause gives to others, and its value."
    )
    always: dict[str, str] = Field(
        default_factory=dict,
        description="The facts every design of the entry states, derived ones included.",
    )
    place_sets: list[str] = Field(
        default_factory=list,
        description="Which of the facts are values the place sets, not facts of the design.",
    )
    differ: list[str] = Field(
        default_factory=list, description="The facts that differ from design to design."
    )
    designs: str = Field(
        "", description="A line a design: its values of the facts that differ, parted by '; '."
    )


class BoundaryFile(Entry):
    """Designs on both sides of the boundaries of one rule set, as test data."""

    boundary_designs: Literal["1"] = Field(description="The format of this file: 1.")
    under: str = Field(description="The rule set: an id, or Place@date.")
    cases: list[BoundaryCaseField] = Field(description="The cases, in the order of the clauses.")
