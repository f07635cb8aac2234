"""Add changes to an amendment that is written already; what stands in it stays as it is.

The difference the whole makes is shown first. Nothing is written without --write.
"""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from deckclause.cli.amend.changes import add_change_options, described_changes
from deckclause.cli.amend.shared import (
    add_writing_options,
    preview,
    shown_path,
    tell_exceptions,
)
from deckclause.cli.shared import open_catalogue
from deckclause.rulesets.problems import InputError

if TYPE_CHECKING:
    from deckclause.evaluate.catalogue import Catalogue


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument("amendment", metavar="AMENDMENT", help="the amendment's id, or its file")
    parser.add_argument("--source", default="", help="a source of rules/sources.yaml")
    add_change_options(parser)
    add_writing_options(parser, "write the changed file")


def run(options: argparse.Namespace) -> int:
    """Run the command; return the exit status."""
    from deckclause.rulesets.drafts import amendment_named
    from deckclause.rulesets.layering import read_amendment_tree
    from deckclause.rulesets.stale import bases_of
    from deckclause.rulesets.write_file import write_whole
    from deckclause.upkeep.amending.append import with_changes
    from deckclause.upkeep.amending.describe import AmendmentWriter, Description

    catalogue = open_catalogue(options)
    files = catalogue.files
    name = amendment_named(files, options.amendment)
    if not name:
        files.amendment_path(options.amendment)
        raise InputError.single(options.amendment, "is not an amendment")
    tree = read_amendment_tree(files, name)
    head = tree.data
    _refuse_in_force(catalogue, name, head["place"], head["edition"])
    source = options.source or head["sources"][0]
    description = Description(
        name,
        head["place"],
        head["edition"],
        head["ordinance"],
        head["adopted"],
        source,
        head.get("standing", "memory") if not options.source else "memory",
    )
    loaded = bases_of(catalogue.library, name, head["edition"], head["place"])[0]
    writer = AmendmentWriter(description, loaded, catalogue.vocabulary)
    lines = writer.lines(described_changes(options))
    path = files.amendment_path(name)
    text = with_changes(path.read_text(encoding="utf-8"), tree, lines)
    preview(catalogue, name, text, loaded)
    tell_exceptions(writer.exceptions, writing=options.write)
    if options.write:
        write_whole(path, text)
        print(f"\n{shown_path(path)}: written.")
    else:
        print(f"\nNothing was written. With --write it is added to {shown_path(path)}.")
    return 0


def _refuse_in_force(catalogue: Catalogue, name: str, place: str, edition: str) -> None:
    """Raise InputError where an amendment is law already: a change of it is a second ordinance."""
    from datetime import date

    since = [
        adoption.begins
        for held in catalogue.register.places.values()
        for adoption in held.adoptions
        if name in adoption.amendments and adoption.begins <= date.today()
    ]
    if since:
        raise InputError.single(
            name,
            f"is in force since {min(since)}: adding to it would change the law of days gone by. "
            f'Write a second ordinance: deckclause amend new --place "{place}" --edition {edition} '
            f"--id {name}-b ..., and put it in force from its own day with amend register",
        )
