"""What a drawing's sheet says of itself."""

from __future__ import annotations

from msgspec import Struct


class TitleBlock(Struct, frozen=True):
    """What a drawing says of itself. `date` is printed as given; cautions add to the standing ones."""

    title: str
    place: str
    rule_set: str
    date: str
    cautions: tuple[str, ...] = ()


class PaperSheet(Struct, frozen=True):
    """What a sheet on paper says beside: its number, who drew and checked it, when, and revisions.

    What nobody stated is left empty, to be filled by hand.
    """

    number: str = "S-1"
    drawn_by: str = ""
    checked_by: str = ""
    drawn_on: str = ""
    revisions: str = ""
