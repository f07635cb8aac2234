"""Names that mean many places: `all-places@DATE`, `towns of COUNTY@DATE`; and folding what is alike."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from datetime import date
from textwrap import wrap
from typing import TYPE_CHECKING

from deckclause.evaluate.catalogue import Catalogue
from deckclause.rulesets.problems import InputError

if TYPE_CHECKING:
    from deckclause.rulesets.register import Place, Register

ALL_PLACES = "all-places"
TOWNS_OF = "towns of "
FOLDED_FROM = 9
"""From so many places on, those under which a deck comes out alike are told as one."""
MOST_NAMED = 12


def places_meant(catalogue: Catalogue, name: str) -> list[str] | None:
    """Return `Place@date` for every place a name of many means; None where it means no such.

    Places in which nothing is in force that day, and those the register is at fault on, are left
    out, and told on the error stream.
    Raises InputError for a date that is none, or a larger place that is none or has none within it.

    >>> places_meant(Catalogue.open(), "irc-2021") is None
    True
    """
    group, at, day = name.rpartition("@")
    wanted = " ".join(group.split())
    if not at or not (wanted == ALL_PLACES or wanted.lower().startswith(TOWNS_OF)):
        return None
    try:
        date.fromisoformat(day.strip())
    except ValueError:
        raise InputError.single(
            name, f"'{day}' is not a date; write it as {wanted}@2024-05-01"
        ) from None
    register = catalogue.register
    places = places_to_ask(register, name)
    if wanted != ALL_PLACES:
        larger = register.place(wanted[len(TOWNS_OF) :])
        places = [p for p in places if larger in register.outer(p)]
    if not places:
        raise InputError.single(name, "the register names no place within it")
    found, without = in_force(catalogue, [place.name for place in places], day.strip())
    if without:
        text = f"nothing is known in force that day in {_some(without)}; left out"
        print(f"deckclause: {name}: {text}", file=sys.stderr)
    if not found:
        raise InputError.single(name, "nothing is in force that day in any of them")
    return found


def places_to_ask(register: Register, asked_as: str) -> list[Place]:
    """Return every place that can be asked; tell on the error stream which the register is at fault on.

    A place within one at fault is left out too: what it takes on from there cannot be read.
    """
    faulty = [name for name, _ in register.faults]
    found = []
    for place in register.places.values():
        try:
            register.outer(place)
            found.append(place)
        except InputError:
            faulty.append(place.name)
    if faulty:
        text = (
            f"the register is at fault on {_some(list(dict.fromkeys(faulty)))}, or a larger place; "
            "left out. `deckclause rules lint` says why"
        )
        print(f"deckclause: {asked_as}: {text}", file=sys.stderr)
    return found


def _some(names: Sequence[str]) -> str:
    more = f" and {len(names) - MOST_NAMED} more" if len(names) > MOST_NAMED else ""
    return ", ".join(names[:MOST_NAMED]) + more


def in_force(catalogue: Catalogue, places: Sequence[str], day: str) -> tuple[list[str], list[str]]:
    """Return `Place@date`, one for each code that may be used, and the places without any."""
    found: list[str] = []
    without: list[str] = []
    for place in places:
        try:
            found += catalogue.register.ways(f"{place}@{day}")
        except InputError:
            without.append(place)
    return found, without


def folded_lines(groups: Sequence[Sequence[str]], width: int) -> list[str]:
    """Say which rule sets each column stands for, the odd ones first; no line wider than `width`."""
    count = sum(map(len, groups))
    head = (
        f"{count} rule sets come out in {len(groups)} ways; below, the first of each stands for those "
        "alike: the same status and the same figures on every topic shown, though their ordinances "
        "may be others. csv and json tell each by itself."
    )
    days = {name.partition("@")[2] for group in groups for name in group}
    if len(days) == 1:  # told once, in the head
        head += f" All on {days.pop()}."
        groups = [[name.partition("@")[0] for name in group] for group in groups]
    lines = wrap(head, width)
    for first, *others in groups:
        text = f"{first}: alone"
        if others:
            text = f"{first}: {len(others) + 1} alike, with {_some(others)}"
        lines += wrap(text, width, initial_indent="  ", subsequent_indent="      ")
    return [*lines, ""]
