"""List every edition, guide, amendment and place of the rules folder."""

from __future__ import annotations

import argparse

from tabulate import tabulate

from deckclause.cli.shared import open_catalogue
from deckclause.evaluate.catalogue import Catalogue


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add no options."""


def run(options: argparse.Namespace) -> int:
    """Print the list."""
    catalogue = open_catalogue(options)
    rows = []
    for name in catalogue.files.rulesets:
        ruleset = catalogue.ruleset(name)
        rows.append([name, ruleset.kind, ruleset.published, len(ruleset.clauses), ruleset.title])
    print(
        tabulate(rows, ["rule set", "kind", "published", "clauses", "title"], disable_numparse=True)
    )
    print()
    print(
        tabulate(
            _places(catalogue),
            ["place", "", "within", "from", "until", "edition", "amendments"],
        )
    )
    return 0


def _places(catalogue: Catalogue) -> list[list[str]]:
    rows = []
    for place in catalogue.register.places.values():
        for adoption in place.adoptions:
            rows.append(
                [
                    place.name,
                    "invented" if place.invented else "real",
                    place.within,
                    adoption.begins.isoformat()
                    if adoption.first_day_known
                    else f"seen {adoption.begins}",
                    adoption.ends.isoformat() if adoption.ends else "",
                    adoption.edition,
                    ", ".join(adoption.amendments),
                ]
            )
        if not place.adoptions:
            real = "invented" if place.invented else "real"
            rows.append([place.name, real, place.within, "", "", "as " + place.within, ""])
    return rows
