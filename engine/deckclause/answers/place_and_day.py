"""The place and the day rule sets are read for, as a drawing's title block names them."""

from __future__ import annotations

from collections.abc import Iterable

NO_PLACE = "none: the book itself"
NO_DAY = "none: no place's day"


def place_and_day(names: Iterable[str]) -> tuple[str, str]:
    """Return the places and the days of rule sets named `Place@day`, each once, in order.

    An edition or a guide by itself has neither, and says so.

    >>> place_and_day(["Tarn Hollow@2025-03-01", "Skerryvane@2025-03-01"])
    ('Tarn Hollow, Skerryvane', '2025-03-01')
    >>> place_and_day(["irc-2021"])[0]
    'none: the book itself'
    """
    places: dict[str, None] = {}
    days: dict[str, None] = {}
    for name in names:
        place, at, day = name.rpartition("@")
        places[place if at else NO_PLACE] = None
        days[day if at else NO_DAY] = None
    return ", ".join(places), ", ".join(days)
