"""What a drawing's sheet says of itself."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class TitleBlock:
    """What a drawing says of itself. `date` is printed as given; cautions add to the standing ones."""

    title: str
    place: str
    rule_set: str
    date: str
    cautions: tuple[str, ...] = ()
