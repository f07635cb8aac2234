"""List every edition, guide, amendment and place of the rules folder, or those asked for."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from datetime import date

from tabulate import tabulate

from deckclause.cli.shared import date_option, open_catalogue
from deckclause.evaluate.catalogue import Catalogue
from deckclause.rulesets.problems import InputError, suggestion
from deckclause.rulesets.register import Adoption, Place, alike


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the options that narrow the list."""
    parser.add_argument("words", nargs="*", metavar="WORD", help="only names that hold every word")
    parser.add_argument("--within", metavar="PLACE", help="only places within it")
    parser.add_argument("--on", metavar="DATE", help="only what is in force that day")
    parser.add_argument("--edition", metavar="ID", help="only adoptions of this edition")


def run(options: argparse.Namespace) -> int:
    """Print the list. Raises InputError for a filter that means nothing, or lets nothing through."""
    catalogue = open_catalogue(options)
    narrowed = bool(options.within or options.on or options.edition)
    rows = []
    for name in () if narrowed else catalogue.files.rulesets:
        if _holds(name, options.words):
            ruleset = catalogue.ruleset(name)
            shown = [name, ruleset.kind, ruleset.published, len(ruleset.clauses), ruleset.title]
            rows.append(shown)
    places = list(_places(catalogue, options))
    if not rows and not places:
        raise InputError.single("rules list", "nothing in the rules folder is as asked")
    if rows:
        heads = ["rule set", "kind", "published", "clauses", "title"]
        print(tabulate(rows, heads, disable_numparse=True))
        print()
    heads = ["place", "", "within", "from", "until", "edition", "amendments"]
    print(tabulate(places, heads))
    return 0


def _places(catalogue: Catalogue, options: argparse.Namespace) -> Iterator[list[str]]:
    register = catalogue.register
    day = date_option("--on", options.on) if options.on else None
    if options.edition and options.edition not in catalogue.files.rulesets:
        known = suggestion(options.edition, catalogue.files.rulesets)
        raise InputError.single("--edition", f"'{options.edition}' is no edition here.{known}")
    larger = register.place(options.within) if options.within else None
    for place in register.places.values():
        if not _holds(place.name, options.words):
            continue
        if larger is not None and larger not in register.outer(place):
            continue
        yield from _adoptions(place, day, options.edition)


def _adoptions(place: Place, day: date | None, edition: str | None) -> Iterator[list[str]]:
    real = "invented" if place.invented else "real"
    for adoption in place.adoptions:
        if (day is None or adoption.holds(day)) and edition in (None, adoption.edition):
            yield [place.name, real, place.within, *_adopted(adoption)]
    if not place.adoptions and day is None and edition is None:
        yield [place.name, real, place.within, "", "", "as " + place.within, ""]


def _adopted(adoption: Adoption) -> list[str]:
    begins = adoption.begins.isoformat()
    return [
        begins if adoption.first_day_known else f"seen {begins}",
        adoption.ends.isoformat() if adoption.ends else "",
        adoption.edition,
        ", ".join(adoption.amendments),
    ]


def _holds(name: str, words: list[str]) -> bool:
    return all(alike(word) in alike(name) for word in words)
