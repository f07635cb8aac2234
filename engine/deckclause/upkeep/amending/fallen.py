"""Which local rules fall away on a day: an edition changed, here or in a larger place.

Nothing a place or a larger one changed is lost in silence: each rule that held on the day before
and holds no longer is listed, until an amendment carries it or the adoption lets it fall.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Any

from msgspec import Struct

from deckclause.rulesets.ground import ground_quantities
from deckclause.rulesets.layering import read_amendment_tree
from deckclause.rulesets.library import RuleLibrary
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.register import InForce


class FallenRule(Struct, frozen=True):
    """One rule that holds no longer: what it is of, in its own words, and whose it was."""

    target: str
    """The clause's key, the table's name or the quantity."""
    kind: str
    says: str
    place: str
    ordinance: str
    section: str

    def __str__(self) -> str:
        act = " ".join(part for part in (self.ordinance, self.section) if part)
        words = f"{self.target}: {self.says}" if self.says else self.target
        return f"{words} ({self.place}, {act}; {self.kind})"


def fallen_on(library: RuleLibrary, place: str, day: date) -> tuple[FallenRule, ...]:
    """Return the local rules in force at a place the day before `day` that are not on it.

    Values of the ground stay and are not among them. Raises InputError where what is in force on
    `day` cannot be told; a day before on which nothing was in force loses nothing.
    """
    after = library.register.resolve(f"{place}@{day}")
    try:
        before = library.register.resolve(f"{place}@{day - timedelta(days=1)}")
    except InputError:
        return ()
    return fallen_between(library, before, after)


def fallen_between(library: RuleLibrary, before: InForce, after: InForce) -> tuple[FallenRule, ...]:
    """Return the local rules of `before` that `after` neither has, carries nor lets fall."""
    carried = {t for name in after.amendments for t, _, _ in _targets(library, name)}
    decided = set(after.lets_fall)
    stays = ground_quantities(library.vocabulary) if after.ground else frozenset()
    found = []
    for name in before.amendments:
        if name in after.amendments:
            continue
        data = read_amendment_tree(library.files, name).data
        for target, kind, change in _targets(library, name):
            given = (change.get("add") or {}).get("provides")
            if target in carried or target in decided or target in stays or given in stays:
                continue
            says = change.get("says") or (change.get("to") or change.get("add") or {}).get("says")
            found.append(
                FallenRule(
                    target, kind, says or "", data["place"], data["ordinance"],
                    change.get("section") or "",
                )
            )  # fmt: skip
    return tuple(found)


def days_of_change(library: RuleLibrary, place: str) -> tuple[date, ...]:
    """Return the days on which what is in force at a place may change, in order."""
    days: set[date] = set()
    here = library.register.place(place)
    while True:
        for adoption in here.adoptions:
            days.add(adoption.begins)
            if adoption.ends is not None:
                days.add(adoption.ends)
        if not here.within:
            return tuple(sorted(days))
        here = library.register.place(here.within)


def _targets(library: RuleLibrary, name: str) -> Iterator[tuple[str, str, dict[str, Any]]]:
    """Yield what each change of an amendment is of, how it changes it, and the change."""
    for change in read_amendment_tree(library.files, name).data["changes"]:
        if change.get("set"):
            yield from ((quantity, "value set", change) for quantity in change["set"])
        elif change.get("add"):
            yield change["add"]["key"], "clause added", change
        elif change.get("cells"):
            yield change["cells"], "table figures", change
        elif change.get("strike"):
            yield change["strike"], "clause struck", change
        elif change.get("replace"):
            yield change["replace"], "clause replaced", change
        elif change.get("drop"):
            yield change["drop"], "part of a clause taken out", change
        elif change.get("range"):
            ends = change["range"]
            yield f"{ends['from']} to {ends['to']}", "sections changed at once", change
        elif change.get("not_adopted"):
            yield ", ".join(change["not_adopted"]), "not adopted", change
        elif change.get("renumber"):
            yield ", ".join(change["renumber"]), "renumbered", change
