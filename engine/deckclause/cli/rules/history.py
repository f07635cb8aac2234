"""The years of a place: what was in force from which day, what came, what fell away."""

from __future__ import annotations

import argparse
from collections.abc import Iterable, Iterator
from textwrap import wrap
from typing import TYPE_CHECKING

from deckclause.cli.shared import open_catalogue, terminal_width
from deckclause.rulesets.names import rule_set_title
from deckclause.rulesets.problems import InputError

if TYPE_CHECKING:
    from datetime import date

    from deckclause.rulesets.library import RuleLibrary
    from deckclause.rulesets.register import InForce
    from deckclause.rulesets.vocabulary import Vocabulary


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument("place", metavar="PLACE", help="a place of the register")


def run(options: argparse.Namespace) -> int:
    """Print the years of a place; return the exit status."""
    from deckclause.upkeep.amending.fallen import days_of_change

    catalogue = open_catalogue(options)
    library, words = catalogue.library, catalogue.vocabulary
    place = library.register.place(options.place)
    marked = " (invented)" if place.invented else ""
    print(f"{place.name}{marked}{f', within {place.within}' if place.within else ''}")
    before: object = None
    for day in days_of_change(library, place.name):
        try:
            meaning = library.register.resolve(f"{place.name}@{day}")
        except InputError as fault:
            if before != ():
                print(f"\n{day}")
                _say([fault.problems[0].message])
            before = ()
            continue
        now = (meaning.edition, meaning.amendments, meaning.left_out, meaning.ways)
        if now != before:
            print(f"\n{day}" if meaning.adoption.first_day_known else f"\nseen {day}")
            _say(_told(library, words, meaning, day))
        before = now
    return 0


def _told(library: RuleLibrary, words: Vocabulary, meaning: InForce, day: date) -> Iterator[str]:
    from deckclause.upkeep.amending.fallen import fallen_on

    amended = f" with {', '.join(meaning.amendments)}" if meaning.amendments else ""
    act = meaning.adoption.ordinance
    yield f"{rule_set_title(meaning.edition)}{amended}{f' ({act})' if act else ''}"
    yield from meaning.told
    for setting in library.ruleset(meaning.label).settings:
        yield f"{words.quantities[setting.quantity].called} set by {setting.origin.place}, {setting.origin.ordinance}"
    for rule in fallen_on(library, meaning.place, day):
        yield f"HOLDS NO LONGER, and nobody decided so: {rule}"
    for name in meaning.lets_fall:
        yield f"given up knowingly: {name}"


def _say(sentences: Iterable[str]) -> None:
    for sentence in sentences:
        lines = wrap(sentence, terminal_width(), initial_indent="  ", subsequent_indent="    ")
        print("\n".join(lines))
