"""How a rule set is called wherever a person reads it: one spelling in every output."""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence


def rule_set_title(name: str) -> str:
    """Write a rule set's name as it is read: an edition by its letters and year, a place by its day.

    >>> rule_set_title("irc-2012")
    'IRC 2012'
    >>> rule_set_title("awc-dca6-2015")
    'AWC DCA6 2015'
    >>> rule_set_title("wi-appendix-b")
    'WI Appendix B'
    >>> rule_set_title("Tarn Hollow@2025-03-01")
    'Tarn Hollow, 2025-03-01'
    >>> rule_set_title("irc-2021 with otter-brook-2021")
    'IRC 2021 with otter-brook-2021'
    """
    edition, tried, drafts = name.partition(" with ")
    if tried:
        return f"{rule_set_title(edition)} with {drafts}"
    place, at, day = name.rpartition("@")
    if at:
        return f"{place}, {day}"
    head, _, tail = name.rpartition("-")
    if head and tail.isdigit():
        return f"{head.upper().replace('-', ' ')} {tail}"
    state, appendix, letter = name.partition("-appendix-")
    return f"{state.upper()} Appendix {letter.upper()}" if appendix else name


def rule_set_titles(names: list[str]) -> str:
    """Write several rule sets' names in a row.

    A place's name holds a comma, so a semicolon parts names where one of them does.

    >>> rule_set_titles(["irc-2012", "irc-2015"])
    'IRC 2012, IRC 2015'
    >>> rule_set_titles(["irc-2012", "Tarn Hollow@2025-03-01"])
    'IRC 2012; Tarn Hollow, 2025-03-01'
    """
    titles = [rule_set_title(name) for name in dict.fromkeys(names)]
    return ("; " if any("," in title for title in titles) else ", ").join(titles)


def rule_set_heading(name: str, title: str) -> str:
    """Write a rule set's name with its full title, each once.

    >>> rule_set_heading("irc-2012", "International Residential Code, 2012")
    'IRC 2012: International Residential Code, 2012'
    """
    short = rule_set_title(name)
    return title if title.startswith(short) else f"{short}: {title}"


def short_titles(names: Sequence[str]) -> tuple[str, ...]:
    """Write names for one line each: a place without its day where no other day of it stands by.

    >>> short_titles(["irc-2012", "Tarn Hollow@2025-03-01"])
    ('IRC 2012', 'Tarn Hollow')
    >>> short_titles(["Dunmarrow@2020-01-01", "Dunmarrow@2020-06-01"])
    ('Dunmarrow, 2020-01-01', 'Dunmarrow, 2020-06-01')
    """
    places = [name.rpartition("@")[0] for name in names]
    return tuple(
        place if place and places.count(place) == 1 else rule_set_title(name)
        for name, place in zip(names, places, strict=True)
    )


def name_as_given(text: str, known: Collection[str]) -> str:
    """Return the name a person means who writes a rule set as outputs print it.

    `known` are the ids of editions and guides. A text that is neither is returned as it is.

    >>> name_as_given("IRC 2021", ["irc-2021"])
    'irc-2021'
    >>> name_as_given("Tarn Hollow, 2025-03-01", ["irc-2021"])
    'Tarn Hollow@2025-03-01'
    >>> name_as_given("Tarn Hollow", ["irc-2021"])
    'Tarn Hollow'
    """
    if text in known:
        return text
    plain = "-".join(text.casefold().split())
    if plain in known:
        return plain
    dated = re.fullmatch(r"\s*([^@,]+?)\s*,\s*(\d{4}-\d{2}-\d{2})\s*", text)
    return f"{dated[1]}@{dated[2]}" if dated else text
