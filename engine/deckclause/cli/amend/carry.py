"""Carry an amendment to another edition, across a renumbering; say what could not be carried.

The difference it makes is shown first. Nothing is written without --write, no file is overwritten.
"""

from __future__ import annotations

import argparse
from pathlib import Path

from deckclause.cli.amend.shared import (
    add_writing_options,
    check_date,
    preview,
    shown_path,
    tell_register,
)
from deckclause.cli.amend.source import add_source_options, figures_source
from deckclause.cli.shared import open_catalogue
from deckclause.rulesets.problems import InputError


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument("amendment", metavar="AMENDMENT", help="the amendment's id")
    parser.add_argument("edition", metavar="NEW_EDITION", help="the edition it is carried to")
    parser.add_argument("--id", default="", help="the new amendment's id (default: place and year)")
    parser.add_argument(
        "--ordinance", default="", help="the ordinance of the new adoption (needed to write)"
    )
    parser.add_argument(
        "--adopted", default="", metavar="DATE", help="the day, as 2025-03-01 (needed to write)"
    )
    add_source_options(parser, "")
    add_writing_options(parser, "write the new file")


def run(options: argparse.Namespace) -> int:
    """Run the command; 1 where a change could not be carried."""
    from deckclause.rulesets.layering import read_amendment_tree
    from deckclause.rulesets.write_file import write_new, write_together
    from deckclause.upkeep.amending.carry import NOT_CARRIED, rebased
    from deckclause.upkeep.amending.describe import default_id
    from deckclause.upkeep.amending.trial import amendment_path

    check_date("--adopted", options.adopted)
    catalogue = open_catalogue(options)
    place = read_amendment_tree(catalogue.files, options.amendment).data["place"]
    name = options.id or default_id(place, options.edition)
    if options.write and not (options.ordinance and options.adopted):
        raise InputError.single(
            "amend carry",
            "--ordinance and --adopted of the new adoption must be given to write it",
        )
    source = ""
    beside: dict[Path, str] = {}
    if options.source or options.in_hand:
        catalogue, source, beside = figures_source(catalogue, options, name, place)
    text, outcomes = rebased(
        catalogue.library,
        options.amendment,
        options.edition,
        name,
        options.ordinance,
        options.adopted,
        source,
    )
    print("WHAT IS CARRIED")
    for outcome in outcomes:
        print(f"  {outcome.outcome}: {outcome.kind} {outcome.target}: {outcome.why}")
    print()
    if all(outcome.outcome == NOT_CARRIED for outcome in outcomes):
        print("Nothing could be carried; there is no amendment to write.")
        return 1
    base = catalogue.library.beneath_draft(place, options.edition)
    preview(catalogue, name, text, base, carried=True)
    path = amendment_path(catalogue.files, name)
    if options.write:
        path.parent.mkdir(exist_ok=True)
        write_new(path, text)
        write_together(dict(beside))
        print("".join(f"\n{shown_path(written)}: written." for written in (path, *beside)))
        tell_register(catalogue, options, name, place, options.ordinance)
    else:
        print(f"\nNothing was written. With --write it becomes {shown_path(path)}.")
    return 1 if any(outcome.outcome == NOT_CARRIED for outcome in outcomes) else 0
