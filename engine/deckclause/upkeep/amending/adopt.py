"""Put an amendment in force: the lines of register.yaml, and writing them beside what stands there."""

from __future__ import annotations

from typing import Any

from msgspec import Struct

from deckclause.rulesets.layering import read_amendment_tree
from deckclause.rulesets.library import RuleLibrary
from deckclause.rulesets.problems import InputError, suggestion
from deckclause.rulesets.round_trip import dump_round_trip, load_round_trip
from deckclause.rulesets.ruleset import DRAFT
from deckclause.upkeep.amending.own_words import quoted

EMPTY = """\
# yaml-language-server: $schema=schema/1/register.json
# Which place uses which edition with which amendments over which dates.
places: {}
"""


class Adopting(Struct, frozen=True):
    """An amendment put in force: where, from which day, within which larger place."""

    amendment: str
    begins: str
    place: str = ""
    within: str = ""
    ordinance: str = ""
    adopted: str = ""
    lets_fall: tuple[str, ...] = ()
    """Rules of the code before that are knowingly given up."""


class Adopted(Struct, frozen=True):
    """The two files as they would be, and what was done in words."""

    place: str
    register: str
    amendment: str | None
    """The amendment's text, where its ordinance or date changed."""
    says: tuple[str, ...]


def adopted(library: RuleLibrary, wish: Adopting) -> Adopted:
    """Return the register with the amendment in force. Raises InputError where it cannot be."""
    tree = read_amendment_tree(library.files, wish.amendment)
    ordinance = wish.ordinance or tree.data["ordinance"]
    day = wish.adopted or tree.data["adopted"]
    if day == DRAFT:
        raise InputError.single(
            tree.file,
            "is a draft; say with which ordinance and on which day it was adopted: "
            "--ordinance ... --adopted 2025-03-01",
            tree.line(("adopted",)),
        )
    if _is_day(day) and wish.begins < day:
        raise InputError.single(
            "--from",
            f"{wish.begins} lies before {day}, the day {ordinance} was adopted: nothing is in force "
            "before it is adopted",
        )
    amendment = None
    if wish.ordinance or wish.adopted:
        amendment = _signed(library, wish.amendment, ordinance, day)
    path = library.files.register_path
    text = library.files.content(path).decode("utf-8") if path.is_file() else EMPTY
    data = load_round_trip(text)
    place = wish.place or tree.data["place"]
    shipped = {name for name in library.register.places if name not in data["places"]}
    says = _enter(data, wish, place, tree.data["edition"], ordinance, shipped)
    return Adopted(place, dump_round_trip(data), amendment, tuple(says))


def _enter(
    data: Any, wish: Adopting, place: str, edition: str, ordinance: str, shipped: set[str]
) -> list[str]:
    """Enter the adoption in the register's data; `shipped` are places of a register beneath it."""
    places = data["places"]
    known = {*places, *shipped}
    if wish.within and wish.within not in known:
        raise InputError.single(
            "--within",
            f"'{wish.within}' is not in the register.{suggestion(wish.within, known)}",
        )
    says: list[str] = []
    kept: list[str] = []
    if place not in places:
        fresh = {"within": wish.within} if wish.within else {}
        if hasattr(places, "fa") and not places:
            places.fa.set_block_style()
        places[place] = {**fresh, "adoptions": []}
        says.append(
            f"{place} here takes the place of the one shipped, with its adoptions"
            if place in shipped
            else f"{place} is new in the register"
        )
    entry = places[place]
    adoptions = entry.setdefault("adoptions", [])
    for held in adoptions:
        if wish.amendment in (held.get("amendments") or []):
            raise InputError.single(
                wish.amendment, f"is in force in {place} from {held['from']} already"
            )
        if not held.get("until") and str(held["from"]) < wish.begins:
            held["until"] = _date(wish.begins)
            says.append(f"{held['edition']}, in force from {held['from']}, ends on {wish.begins}")
            if held["edition"] == edition:  # a later amendment of one edition adds to the earlier
                kept = [str(name) for name in held.get("amendments") or []]
    names = [*kept, wish.amendment]
    adoptions.append(_entry(edition, names, ordinance, wish.begins, wish.lets_fall))
    says.append(f"{edition} with {', '.join(names)} is in force in {place} from {wish.begins}")
    return says


def _entry(
    edition: str, amendments: list[str], ordinance: str, begins: str, lets_fall: tuple[str, ...]
) -> Any:
    from ruamel.yaml.comments import CommentedMap, CommentedSeq

    names = CommentedSeq(amendments)
    names.fa.set_flow_style()
    entry = CommentedMap(
        edition=edition, amendments=names, ordinance=ordinance, **{"from": _date(begins)}
    )
    if lets_fall:
        entry["lets_fall"] = CommentedSeq(lets_fall)
        entry["lets_fall"].fa.set_flow_style()
    entry.fa.set_flow_style()
    return entry


def _is_day(text: str) -> bool:
    return text[:1].isdigit()


def _date(text: str) -> Any:
    from datetime import date

    return date.fromisoformat(text)


def _signed(library: RuleLibrary, name: str, ordinance: str, day: str) -> str:
    """Return an amendment's text with its ordinance and the day it was adopted."""
    text = library.files.content(library.files.amendment_path(name)).decode("utf-8")
    data = load_round_trip(text)
    data["ordinance"] = ordinance
    data["adopted"] = _date(day)
    lines = dump_round_trip(data).splitlines()
    return "\n".join(line for line in lines if not line.startswith("# A DRAFT:")) + "\n"


def register_lines(place: str, edition: str, amendment: str, ordinance: str) -> list[str]:
    """Write the lines of register.yaml that put an amendment in force, to be copied."""
    return [
        f"  {place}:",
        "    adoptions:",
        f"      - {{edition: {edition}, amendments: [{amendment}], "
        f"ordinance: {quoted(ordinance)}, from: YYYY-MM-DD}}",
    ]
