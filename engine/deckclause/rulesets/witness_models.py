"""What may stand in a witness file, checked by pydantic and published as JSON Schema.

A witness file holds what one person saw in a book of their own: figures, where they stand, when
and in which printing. It holds no sentence of the book.
"""

from __future__ import annotations

from typing import Literal

from pydantic import Field, model_validator

from deckclause.rulesets.file_models import DateText, Entry, Key

Seen = Literal["as shown", "otherwise", "not found"]


class ReadingLine(Entry):
    """What was seen of one clause, one exception of a clause, or one cell of a table."""

    clause: Key | None = Field(default=None, description="The clause looked up.")
    exception: str | None = Field(
        default=None, pattern=r"^[1-9]\d*$", description="Which exception of the clause, from 1."
    )
    table: str | None = Field(default=None, description="The table looked up.")
    at: list[str] = Field(
        default_factory=list, description="Which cell: one key for each axis, columns last."
    )
    seen: Seen = Field(description="As shown, otherwise, or not found in the book.")
    figure: str | None = Field(
        default=None, max_length=40, description="The figure in the book, with its unit."
    )
    what: str | None = Field(
        default=None, max_length=300, description="What is otherwise, in your own words."
    )
    where: str | None = Field(
        default=None, max_length=80, description="The section or table, where it is another."
    )
    fingerprint: str | None = Field(
        default=None, description="Of what was shown, so that a later change is noticed."
    )
    on: DateText = Field(description="The day it was read.")

    @model_validator(mode="after")
    def one_item(self) -> ReadingLine:
        """Name one clause or one cell, with what is needed of each."""
        if (self.clause is None) == (self.table is None):
            raise ValueError("names one clause or one table")
        if self.table is not None:
            if not self.at:
                raise ValueError("`at` is needed with a table: one key for each axis")
            if self.seen != "not found" and not self.figure:
                raise ValueError("`figure` is needed: what the cell reads in the book")
        elif self.seen == "as shown" and not self.fingerprint:
            raise ValueError("`fingerprint` is needed: of the clause as it was shown")
        elif self.seen == "otherwise" and not (self.figure or self.what):
            raise ValueError("`figure` or `what` is needed: what the book says instead")
        return self


class WitnessFile(Entry):
    """What one person read in one book."""

    witness: str = Field(min_length=2, max_length=80, description="Who read it.")
    ruleset: str = Field(description="The edition or guide that was read.")
    printing: str = Field(min_length=1, max_length=80, description="Which printing of the book.")
    readings: list[ReadingLine] = Field(description="What was seen, in the order it was read.")
